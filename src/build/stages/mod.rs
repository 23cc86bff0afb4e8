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
use super::stage::Step;
use super::worked::Worked;
use crate::reckon::lift;

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

/// For a stage whose readings speak for themselves.
fn nothing(_: &Worked, _: &Readings) -> Findings {
    Findings::default()
}

const fn step(does: &'static str, why: &'static str) -> Step {
    Step { does, why }
}
