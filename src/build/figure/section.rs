//! The end of the house cut open: posts in the ground, tie beam, king post,
//! ridge and the two legs. The a-b side is at the left.

use super::elevation::BEAM_PAST_M;
use super::{Means, Side, Sign, Sketch, enlarged, standing};
use crate::build::house::House;
use crate::reckon::legs;

/// The share of the width that the ridge's offset may take up.
const ROOM: f64 = 0.15;
/// Where along a leg, from the ridge, its words stand.
const WORDS: f64 = 0.3;

/// Draws the end of a house.
#[must_use]
pub fn section(house: &House) -> Sketch {
    let (worked, built) = (&house.worked, standing(house));
    let (brief, roof) = (&worked.brief, &worked.roof);
    let (half, head) = (brief.width_m / 2.0, brief.posts.height_m);
    let out = half + brief.frame.eave_m;
    let mut sketch = Sketch::default();
    sketch.line([-out - BEAM_PAST_M, 0.0], [out + BEAM_PAST_M, 0.0], Means::Ground);
    for x in [-half, half] {
        sketch.line([x, -brief.posts.depth_m], [x, head], Means::Post);
    }
    let off = off(house);
    let times = enlarged(off.map_or(0.0, |(off_m, _)| off_m.abs()), ROOM * brief.width_m);
    let ridge = [times * off.map_or(0.0, |(off_m, _)| off_m), head + roof.rise_m];
    let leg = if built.raised { Means::Rafter } else { Means::Design };
    for side in [-1.0, 1.0] {
        sketch.line([side * out, head - roof.eave_drop_m], ridge, leg);
    }
    sketch.line([0.0, head], [0.0, ridge[1]], if built.raised { Means::Post } else { Means::Design });
    sketch.line([-half - BEAM_PAST_M, head], [half + BEAM_PAST_M, head], Means::Beam);
    if built.raised {
        sketch.way(ridge, [0.0, ridge[1]], Means::Move);
        sketch.sign(ridge, Sign::Pole, Means::Beam);
    } else if built.ridge_laid {
        sketch.sign([0.0, head], Sign::Pole, Means::Beam);
    }
    let at = |side: f64| [side * half * WORDS, head + roof.rise_m * (1.0 - WORDS)];
    sketch.label(at(-1.0), Side::Left, format!("{:.2} m ", roof.rafter_to_plate_m), Means::Note);
    sketch.label(at(1.0), Side::Right, format!(" {:.0}°", roof.pitch_deg), Means::Note);
    sketch.label([-half, head / 2.0], Side::Left, "a-b ", Means::Note);
    sketch.label([half, head / 2.0], Side::Right, " c-d", Means::Note);
    sketch.caption = caption(off, times);
    sketch
}

/// How far the ridge stands past the middle toward c-d, and where, by the
/// pair of legs that differ most.
fn off(house: &House) -> Option<(f64, &'static str)> {
    let stage = house.stage("ridge")?;
    let pairs = [("da", "d-a end"), ("middle", "middle"), ("bc", "b-c end")];
    let (difference, says) = pairs
        .into_iter()
        .filter_map(|(id, says)| Some((stage.point(&format!("legs/{id}"))?.value?, says)))
        .max_by(|(one, _), (other, _)| one.abs().total_cmp(&other.abs()))?;
    let leg = house.worked.roof.rafter_to_plate_m;
    let legs = legs::In {
        width_m: house.worked.brief.width_m,
        left_m: leg + difference / 2.0,
        right_m: leg - difference / 2.0,
    };
    legs::run(&legs).ok().map(|out| (out.off_m, says))
}

fn caption(off: Option<(f64, &'static str)>, times: f64) -> Vec<String> {
    let seen = "seen from the b-c end".to_owned();
    let Some((off_m, says)) = off else { return vec![seen] };
    let mm = (off_m * 1000.0).round();
    if mm == 0.0 {
        return vec![seen, "legs equal".to_owned()];
    }
    let toward = if mm > 0.0 { "c-d" } else { "a-b" };
    vec![format!("{says}: ridge {:.0} mm to {toward}", mm.abs()), format!("{seen}, x {times:.0}")]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::trial::Trial;

    /// A longer a-b leg pushes the ridge over to c-d.
    ///
    /// Source: the law of cosines, Euclid, Elements II.13: over a width w the
    /// foot of the ridge is (l² - r²) / 2w past the middle.
    #[test]
    fn unequal_legs_put_the_ridge_off_the_middle() {
        let house = Trial::new("Tern house").read("ridge/legs/bc", "40 mm").house();
        let (off_m, says) = off(&house).unwrap();
        let (leg, width) = (1.5 * 1.742 * 2.0_f64.sqrt(), 3.0 * 1.742);
        let expected = ((leg + 0.02).powi(2) - (leg - 0.02).powi(2)) / (2.0 * width);
        assert!((off_m - expected).abs() < 1e-9);
        assert_eq!(says, "b-c end");
        assert_eq!(section(&house).caption[0], "b-c end: ridge 28 mm to c-d");
    }

    #[test]
    fn the_posts_reach_into_the_ground() {
        let (least, _) = section(&Trial::new("Tern house").house()).reach();
        assert_eq!(least[1], -0.9);
    }
}
