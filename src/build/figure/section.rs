//! The end of the house cut open: posts in the ground, tie beam, king post,
//! ridge and the two legs. The a-b side is at the left.

use super::elevation::BEAM_PAST_M;
use super::{Means, Side, Sign, Sketch, enlarged, standing};
use crate::build::house::House;
use crate::build::verdict::Verdict;
use crate::reckon::legs;

/// The share of the width that the ridge's offset may take up.
const ROOM: f64 = 0.2;
/// Where along a leg, from the ridge, its words stand.
const WORDS: f64 = 0.22;

/// Draws the end of a house.
#[must_use]
pub fn section(house: &House) -> Sketch {
    let (worked, built) = (&house.worked, standing(house));
    let (brief, roof) = (&worked.brief, &worked.roof);
    let (half, head) = (brief.width_m / 2.0, brief.posts.height_m);
    let out = half + brief.frame.eave_m;
    let mut sketch = Sketch::default();
    let ridge_off = off(house);
    let off_m = ridge_off.as_ref().map_or(0.0, |off| off.metres);
    let times = enlarged(off_m.abs(), ROOM * brief.width_m);
    let ridge = [times * off_m, head + roof.rise_m];
    let leg = if built.raised { Means::Rafter } else { Means::Design };
    for side in [-1.0, 1.0] {
        sketch.line([side * out, head - roof.eave_drop_m], ridge, leg);
    }
    sketch.line([-out - BEAM_PAST_M, 0.0], [out + BEAM_PAST_M, 0.0], Means::Ground);
    for x in [-half, half] {
        sketch.line([x, -brief.posts.depth_m], [x, head], Means::Post);
    }
    sketch.line([0.0, head], [0.0, ridge[1]], if built.raised { Means::Post } else { Means::Design });
    sketch.line([-half - BEAM_PAST_M, head], [half + BEAM_PAST_M, head], Means::Beam);
    if built.raised {
        if ridge_off.as_ref().is_some_and(|off| off.out) {
            sketch.way(ridge, [0.0, ridge[1]], Means::Move);
        }
        sketch.sign(ridge, Sign::Pole, Means::Beam);
    } else if built.ridge_laid {
        sketch.sign([0.0, head], Sign::Pole, Means::Beam);
    }
    let at = |side: f64| [ridge[0] + WORDS * (side * half - ridge[0]), ridge[1] - WORDS * roof.rise_m];
    // The flatter the leg, the further off the words: a line of them is high.
    let gap = " ".repeat((2.0 / roof.pitch_deg.to_radians().tan()).ceil() as usize + 1);
    sketch.label(at(-1.0), Side::Left, format!("{:.2} m{gap}", roof.rafter_to_plate_m), Means::Note);
    sketch.label(at(1.0), Side::Right, format!("{gap}{:.0}°", roof.pitch_deg), Means::Note);
    sketch.label([-half, head / 2.0], Side::Right, " a-b", Means::Note);
    sketch.label([half, head / 2.0], Side::Left, "c-d ", Means::Note);
    sketch.caption = caption(ridge_off.as_ref(), times);
    sketch
}

/// Where the ridge stands.
struct Off {
    /// Past the middle, toward c-d, m.
    metres: f64,
    /// Whether the legs differ by more than they may.
    out: bool,
    /// At which pair of legs.
    says: &'static str,
}

/// How far the ridge is off the middle, by the pair of legs that differ most.
fn off(house: &House) -> Option<Off> {
    let stage = house.stage("ridge")?;
    let pairs = [("da", "d-a end"), ("middle", "middle"), ("bc", "b-c end")];
    let (difference, verdict, says) = pairs
        .into_iter()
        .filter_map(|(id, says)| {
            let point = stage.point(&format!("legs/{id}"))?;
            Some((point.value?, point.verdict, says))
        })
        .max_by(|(one, ..), (other, ..)| one.abs().total_cmp(&other.abs()))?;
    let leg = house.worked.roof.rafter_to_plate_m;
    let legs = legs::In {
        width_m: house.worked.brief.width_m,
        left_m: leg + difference / 2.0,
        right_m: leg - difference / 2.0,
    };
    let out = legs::run(&legs).ok()?;
    Some(Off { metres: out.off_m, out: verdict == Verdict::Out, says })
}

fn caption(off: Option<&Off>, times: f64) -> String {
    const SEEN: &str = "from the b-c\u{a0}end";
    let Some(Off { metres, says, .. }) = off else { return SEEN.to_owned() };
    let mm = (metres * 1000.0).round();
    if mm == 0.0 {
        return format!("{SEEN}, legs equal");
    }
    let toward = if mm > 0.0 { "c-d" } else { "a-b" };
    let says = says.replace(' ', "\u{a0}");
    format!("{SEEN}, error x\u{a0}{times:.0}: ridge {:.0}\u{a0}mm to\u{a0}{toward} at the {says}", mm.abs())
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
        let found = off(&house).unwrap();
        let (leg, width) = (1.5 * 1.742 * 2.0_f64.sqrt(), 3.0 * 1.742);
        let expected = ((leg + 0.02).powi(2) - (leg - 0.02).powi(2)) / (2.0 * width);
        assert!((found.metres - expected).abs() < 1e-9);
        assert!(found.out);
        let told = "from the b-c end, error x 20: ridge 28 mm to c-d at the b-c end";
        assert_eq!(section(&house).caption.replace('\u{a0}', " "), told);
    }

    #[test]
    fn the_posts_reach_into_the_ground() {
        let (least, _) = section(&Trial::new("Tern house").house()).reach();
        assert_eq!(least[1], -0.9);
    }
}
