//! The nine stages, a file each. Tolerances, counts and cautions are common
//! practice unless a source is named.

pub mod beams;
pub mod cap;
pub mod centre_mark;
pub mod handing_over;
pub mod posts;
pub mod ridge;
pub mod roof_frame;
pub mod set_out;
pub mod thatch;

use super::findings::Findings;
use super::readings::Readings;
use super::stage::{Need, Step};
use super::worked::Worked;
use crate::build::entry::Item;
use crate::reckon::{cord, lift};

/// How level and how plumb heads and beams should be, m.
const LEVEL_M: f64 = 0.010;

/// The six distances between four corners, with what people call them.
const SIX: [(&str, &str); 6] = [
    ("ab", "a-b side"),
    ("bc", "b-c end"),
    ("cd", "c-d side"),
    ("da", "d-a end"),
    ("ac", "a-c across"),
    ("bd", "b-d across"),
];

/// What a pole weighs as lifted, and how many people that asks for.
fn heavy(name: &str, length_m: f64, d_m: f64, worked: &Worked) -> String {
    let density_kg_m3 = worked.green_kg_m3;
    let part = lift::Part { name: name.to_owned(), count: 1, length_m, d_m, density_kg_m3 };
    let pole_m = worked.brief.posts.height_m;
    let asked = lift::In {
        parts: vec![part],
        mates: 0,
        pairs: 2,
        pole_m,
        foot_spread_m: 0.6 * pole_m,
        each_kg: 25.0,
        team: 0.5,
    };
    lift::run(&asked).map_or_else(
        |e| e.to_string(),
        |out| {
            format!(
                "A {name} weighs about {:.0} kg green: not less than {} people to lift it.",
                out.mass_kg, out.people
            )
        },
    )
}

/// The cord that lashings are tied with, m (common practice).
const CORD_D_M: f64 = 0.006;
/// What is left at each lashing to pull and tuck, m (common practice).
const TAILS_M: f64 = 0.3;

/// Lashings of one kind: their name, how many, and the diameters of the poles,
/// the hitches on the first, m.
type Lashings = (&'static str, u32, f64, f64);

/// The cord that lashings take with the brief's turns, kind by kind, a tenth
/// to spare.
fn lashed(worked: &Worked, lashings: &[Lashings]) -> Need {
    let frame = &worked.brief.frame;
    let (wraps, fraps) = (f64::from(frame.wraps), f64::from(frame.fraps));
    let joints = lashings.iter().filter(|(_, count, ..)| *count > 0).map(|&(name, count, d1_m, d2_m)| {
        cord::Joint { name: name.to_owned(), count, d1_m, d2_m, wraps, fraps }
    });
    let asked = cord::In { joints: joints.collect(), cord_d_m: CORD_D_M, tails_m: TAILS_M, spare: 0.1 };
    let Ok(out) = cord::run(&asked) else { return Need::amount(Item::Cord, 0.0, "no lashings") };
    let head = format!("{:.1} m in the lashings and a tenth to spare", out.cord_m);
    let need = Need::amount(Item::Cord, out.order_m, head);
    asked.joints.iter().zip(&out.joints).fold(need, |need, (joint, cord)| {
        let turns = cord::Turns::round(joint.d1_m, joint.d2_m, CORD_D_M);
        need.line(format!(
            "{} {}: {wraps} wraps of {:.2} m, {fraps} frappings of {:.2} m, hitches {:.2} m, tails {TAILS_M} m: \
             {:.2} m each, {:.1} m",
            joint.count, joint.name, turns.wrap_m, turns.frap_m, turns.hitches_m, cord.each_m, cord.total_m
        ))
    })
}

/// For a stage whose readings speak for themselves.
fn nothing(_: &Worked, _: &Readings) -> Findings {
    Findings::default()
}

const fn step(does: &'static str, why: &'static str) -> Step {
    Step { does, why }
}
