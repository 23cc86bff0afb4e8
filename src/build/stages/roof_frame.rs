//! Stage 5: the roof frame, on the tie beams and on the ground.

use super::{lashed, nothing, step};
use crate::build::entry::Item;
use crate::build::readings::Readings;
use crate::build::stage::{Figure, Need, Point, Rule, Stage};
use crate::build::storm::UNSHAKEN;
use crate::build::telling::both;
use crate::build::worked::Worked;

/// How close a rafter should stand to its place, m.
const PLACE_M: f64 = 0.020;
/// How equal the halves of a tie beam should be, m.
const MIDDLE_M: f64 = 0.005;

/// Stage 5.
pub const STAGE: Stage = Stage {
    id: "roof-frame",
    number: 5,
    says: "Roof frame",
    short: "frame",
    steps: &[
        step("Find the middle of each tie beam by folding a cord.", "The ridge stands over these marks."),
        step("Lay the ridge pole along them and mark its middle.", "The rafters are counted from there."),
        step(
            "Mark the rafters' places from the middle outward, halving each time.",
            "Halves do not add up their errors as steps do.",
        ),
        step(
            "Where the ridge goes up with its rafters, tie them to it now, in that order.",
            "On the ground a lashing can be pulled tight.",
        ),
        step(
            "Else only cut the rafters and count them.",
            "What is missing is found before anyone is up there.",
        ),
    ],
    cautions: &[
        "Cutting tools: clear a circle, cut away from yourself, sheathe what is not in the hand.",
        "Long poles: one at each end, and look behind before you turn.",
    ],
    kit,
    points,
    needs,
    findings: nothing,
    after_storm: UNSHAKEN,
    rule: Rule::AllTrue,
    rule_says: "every point is true",
    figure: Figure::Section,
};

/// The name of a rafter's place: 0 in the middle, +1 the first toward b-c.
fn place(index: usize, count: usize) -> String {
    let from_middle = index as i64 - (count / 2) as i64;
    if from_middle == 0 { "0".to_owned() } else { format!("{from_middle:+}") }
}

fn kit(worked: &Worked) -> Vec<String> {
    let body = &worked.brief.body;
    let (roof, rafters) = (&worked.roof, &worked.rafters);
    vec![
        format!(
            "Ridge pole: {}, its middle at {}.",
            both(roof.ridge_m, body),
            both(roof.ridge_m / 2.0, body)
        ),
        format!(
            "{} places for rafters, {:.3} m apart: halve {} times.",
            rafters.count, rafters.spacing_m, rafters.halvings
        ),
        format!(
            "Rafters: {} from ridge to eave, {} of it from ridge to plate.",
            both(roof.rafter_m, body),
            both(roof.rafter_to_plate_m, body)
        ),
        format!("The ridge stands {} above the plates, at {:.0}°.", both(roof.rise_m, body), roof.pitch_deg),
    ]
}

fn points(worked: &Worked, _: &Readings) -> Vec<Point> {
    let mut points: Vec<Point> = (1..=worked.frames_m.len())
        .map(|i| {
            Point::equal(format!("beam-{i}/halves"), format!("beam {i}, a-b half less c-d half"), MIDDLE_M)
                .short(format!("beam {i} halves"))
        })
        .collect();
    points.push(
        Point::not_less("ridge-length", "ridge pole length", worked.roof.ridge_m).short("ridge length"),
    );
    let positions = &worked.rafters.positions_m;
    for target in &worked.rafters.order_m {
        let Some(index) = positions.iter().position(|p| p == target) else { continue };
        let name = place(index, positions.len());
        let says = if name == "0" {
            "rafter 0, at the middle".to_owned()
        } else {
            format!("rafter {name} from the middle")
        };
        points.push(
            Point::signed(format!("rafter/{name}"), says, *target, PLACE_M).short(format!("rafter {name}")),
        );
    }
    points.push(
        Point::count("rafters", "rafters cut, both slopes", worked.rafter_count()).short("rafters cut"),
    );
    points
}

/// How thick the battens along the eaves are, m (common practice).
pub(super) const BATTEN_D_M: f64 = 0.04;

fn needs(worked: &Worked) -> Vec<Need> {
    let frame = &worked.brief.frame;
    let (rafters, ridge_m) = (worked.rafter_count(), worked.roof.ridge_m);
    let gable_m = frame.gable_m;
    let mut needs = vec![
        Need::pieces(
            Item::RidgePole,
            1,
            format!("{:.2} m and {gable_m} m past each end", worked.brief.length_m),
        )
        .poles(ridge_m, frame.ridge_d_m),
        Need::pieces(Item::Rafter, rafters, format!("2 slopes of {}", worked.rafters.count))
            .line(format!(
                "{ridge_m:.2} m halved {} times: {:.0} cm apart",
                worked.rafters.halvings,
                worked.rafters.spacing_m * 100.0
            ))
            .poles(worked.roof.rafter_m, frame.rafter_d_m),
        Need::pieces(Item::Batten, 2, "one along each eave, to tilt the first row")
            .poles(ridge_m, BATTEN_D_M),
    ];
    if worked.raises_rafters() {
        needs.push(lashed(worked, &[("rafter to ridge", rafters, frame.rafter_d_m, frame.ridge_d_m)]));
    }
    needs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_named_from_the_middle() {
        let names: Vec<String> = (0..5).map(|i| place(i, 5)).collect();
        assert_eq!(names, ["-2", "-1", "0", "+1", "+2"]);
    }
}
