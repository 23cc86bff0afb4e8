//! The posts from above: which stand, and how far their heads lean.

use super::plan::{design, sides};
use super::{Key, Means, Side, Sign, Sketch, enlarged};
use crate::build::house::{House, StageNow};
use crate::build::verdict::Verdict;
use crate::build::worked::Post;

/// The share of the width that the largest lean may take up.
const ROOM: f64 = 0.25;

/// Draws the posts of a house.
#[must_use]
pub fn lean(house: &House) -> Sketch {
    let design = design(house);
    let mut sketch = Sketch { anchor: Some(design.c), ..Sketch::default() };
    let Some(stage) = house.stage("posts") else { return sketch };
    sides(&mut sketch, &design, Means::Design);
    sketch.sign([0.0, 0.0], Sign::Mark, Means::Note);
    let leans: Vec<(&Post, [f64; 2], bool)> =
        house.worked.posts.iter().filter_map(|post| lean_of(stage, post)).collect();
    let largest = leans.iter().map(|(_, [x, y], _)| x.hypot(*y)).fold(0.0, f64::max);
    let times = enlarged(largest, ROOM * house.worked.brief.width_m);
    for (post, [x, y], out) in &leans {
        let at = [post.x_m, post.y_m];
        let means = if *out { Means::Out } else { Means::Read };
        sketch.way(at, [at[0] + times * x, at[1] + times * y], means);
    }
    for post in &house.worked.posts {
        let at = [post.x_m, post.y_m];
        let sign = if founded(stage, post) { Sign::Post } else { Sign::Hole };
        sketch.sign(at, sign, Means::Post);
        // Out of the way of the lean.
        let along = leans.iter().find(|(p, ..)| p.id == post.id).map_or(0.0, |(_, [x, _], _)| *x);
        let right = if along == 0.0 { post.x_m > 0.0 } else { along < 0.0 };
        if post.corner {
            sketch.label(at, if right { Side::Right } else { Side::Left }, &*post.id, Means::Note);
        }
    }
    let scale = if leans.is_empty() { String::new() } else { format!(", leans x\u{a0}{times:.0}") };
    sketch.caption = format!("posts{scale}");
    sketch.legend = vec![(Key::Sign(Sign::Hole), "place"), (Key::Sign(Sign::Post), "on hard ground")];
    sketch
}

/// How a post's head leans along and across, as far as it is known, and
/// whether that is too far.
fn lean_of<'w>(stage: &StageNow, post: &'w Post) -> Option<(&'w Post, [f64; 2], bool)> {
    let now = |way: &str| stage.point(&format!("{}/plumb-{way}", post.id));
    let (along, across) = (now("along")?, now("across")?);
    if along.value.is_none() && across.value.is_none() {
        return None;
    }
    let out = [along, across].iter().any(|p| p.verdict == Verdict::Out);
    Some((post, [along.value.unwrap_or(0.0), across.value.unwrap_or(0.0)], out))
}

/// Whether a post is known to stand deep enough and on hard ground.
fn founded(stage: &StageNow, post: &Post) -> bool {
    ["depth", "hard-ground"]
        .iter()
        .all(|what| stage.point(&format!("{}/{what}", post.id)).is_some_and(|p| p.verdict == Verdict::True))
}

#[cfg(test)]
mod tests {
    use super::super::Shape;
    use super::*;
    use crate::build::trial::Trial;

    fn signs(sketch: &Sketch, wanted: Sign) -> usize {
        sketch.shapes.iter().filter(|s| matches!(s, Shape::Sign { sign, .. } if *sign == wanted)).count()
    }

    #[test]
    fn a_post_is_filled_when_its_depth_and_its_ground_are_right() {
        let house = Trial::new("Tern house")
            .read("posts/A/depth", "0.95 m")
            .read("posts/A/hard-ground", "yes")
            .read("posts/B/depth", "0.95 m")
            .read("posts/C/depth", "0.95 m")
            .read("posts/C/hard-ground", "no")
            .house();
        assert_eq!(signs(&lean(&house), Sign::Post), 1);
    }

    #[test]
    fn a_head_that_leans_too_far_is_drawn_as_out() {
        let house = Trial::new("Tern house").read("posts/B/plumb-along", "30 mm").house();
        let sketch = lean(&house);
        let way = sketch.shapes.iter().find_map(|s| match s {
            Shape::Way { from, to, means } => Some((to[0] - from[0], to[1] - from[1], *means)),
            _ => None,
        });
        let (along, across, means) = way.unwrap();
        // 20 times 30 mm would be 0.6 m; 50 times would pass a quarter of 5.226 m.
        assert!((along - 0.6).abs() < 1e-9 && across == 0.0);
        assert_eq!(means, Means::Out);
        assert_eq!(sketch.caption, "posts, leans x\u{a0}20");
    }
}
