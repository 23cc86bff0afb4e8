//! Stage 4: tie beams and plates.

use super::{LEVEL_M, SIX, heavy, lashed, nothing, posts, step};
use crate::build::entry::{Item, PointName};
use crate::build::readings::Readings;
use crate::build::stage::{Figure, Need, Point, Rule, Stage};
use crate::build::storm::AfterStorm;
use crate::build::telling::both;
use crate::build::worked::Worked;

const ID: &str = "beams";

/// How far a tie beam reaches past the posts, m (common practice).
const PAST_M: f64 = 0.3;

/// Wind pulls a frame out of square and works at its lashings.
const AFTER_STORM: AfterStorm = AfterStorm {
    shakes: |point, _| point.starts_with("head/") || point.ends_with("/turns"),
    asks: |_, _| Vec::new(),
};

/// Stage 4.
pub const STAGE: Stage = Stage {
    id: ID,
    number: 4,
    says: "Beams and plates",
    short: "beams",
    steps: &[
        step(
            "Lay a tie beam across every pair of posts and tie it.",
            "It keeps the walls from spreading under the roof.",
        ),
        step("Lay the plates along both sides and tie them to posts and beams.", "They carry every rafter."),
        step(
            "Tie a diagonal brace in each wall at every corner.",
            "Without diagonals the frame leans on its posts alone.",
        ),
        step("Read the head rectangle again.", "Tying pulls a frame out of square."),
        step("Count the turns of every lashing.", "A joint holds by its turns, not by its knot."),
    ],
    cautions: &[
        "Nobody stands under a beam that is not tied.",
        "A tie beam goes up on two ladders or a stage, with the people its weight asks for and a rope on it.",
        "Ladders: tied at the head, footed at the foot, one person at a time.",
        "Plant-fibre cord creeps when wet: tie it damp, and tighten it when it has dried.",
    ],
    kit,
    points,
    needs,
    findings: nothing,
    after_storm: AFTER_STORM,
    rule: Rule::AllTrue,
    rule_says: "every point is true",
    figure: Figure::Elevation,
};

fn kit(worked: &Worked) -> Vec<String> {
    let frame = &worked.brief.frame;
    let across = worked.brief.width_m + 2.0 * PAST_M;
    vec![
        format!(
            "Tie beams: {} long, {:.0} mm thick.",
            both(across, &worked.brief.body),
            frame.beam_d_m * 1000.0
        ),
        heavy("tie beam", across, frame.beam_d_m, worked),
        format!("Each lashing: {} wraps and {} frappings.", frame.wraps, frame.fraps),
        "Square still means the six distances of the set-out, now between the heads.".to_owned(),
    ]
}

fn points(worked: &Worked, _: &Readings) -> Vec<Point> {
    let turns = worked.brief.frame.wraps;
    let mut points: Vec<Point> = SIX
        .iter()
        .map(|&(pair, says)| {
            let target = worked.distance_m(pair);
            Point::near(format!("head/{pair}"), format!("head {says}"), target, worked.tolerance_m(target))
                .short(format!("head {}", &says[..3]))
        })
        .collect();
    for i in 1..=worked.frames_m.len() {
        let level = Point::signed(
            format!("beam-{i}/level"),
            format!("beam {i}, c-d end above a-b end"),
            0.0,
            LEVEL_M,
        );
        let tied =
            Point::count(format!("beam-{i}/turns"), format!("beam {i}, fewest turns in a lashing"), turns);
        points.extend([level.short(format!("beam {i} level")), tied.short(format!("beam {i} turns"))]);
    }
    for (id, says) in [("ab", "a-b"), ("cd", "c-d")] {
        let tied = Point::count(
            format!("plate-{id}/turns"),
            format!("plate {says}, fewest turns in a lashing"),
            turns,
        );
        points.push(tied.short(format!("plate {says} turn")));
    }
    let braces = Point::count("braces/turns", "wall braces, fewest turns in a lashing", turns);
    points.push(braces.short("brace turns"));
    points
}

/// The head that a point of the posts and one of the beams both read, by the
/// other's name.
#[must_use]
pub fn same_head(point: &PointName) -> Option<PointName> {
    if !point.point.starts_with("head/") {
        return None;
    }
    match point.stage.as_str() {
        posts::ID => Some(PointName::new(ID, &point.point)),
        ID => Some(PointName::new(posts::ID, &point.point)),
        _ => None,
    }
}

/// What a plate laps the next at a post, m (common practice).
const LAP_M: f64 = 0.3;
/// How far below its corner, and beside it, a wall brace is tied, m (common
/// practice).
const BRACE_M: f64 = 1.0;

fn needs(worked: &Worked) -> Vec<Need> {
    let frames = worked.frames_m.len() as u32;
    let (bays, width_m) = (frames - 1, worked.brief.width_m);
    let frame = &worked.brief.frame;
    let (post, beam, brace) = (worked.brief.posts.d_m, frame.beam_d_m, frame.rafter_d_m);
    let bay_m = worked.brief.length_m / f64::from(bays);
    let slant_m = BRACE_M * 2.0_f64.sqrt();
    vec![
        Need::pieces(Item::TieBeam, frames, format!("{frames} pairs of posts, one across each"))
            .line(format!("{width_m:.2} m between the posts and {PAST_M} m past each"))
            .poles(width_m + 2.0 * PAST_M, beam),
        Need::pieces(Item::Plate, 2 * bays, format!("2 sides of {bays} bays, one to a bay"))
            .line(format!("{bay_m:.2} m from post to post and {LAP_M} m of lap"))
            .poles(bay_m + LAP_M, beam),
        Need::pieces(Item::Brace, 8, "4 corners, one in each of the 2 walls that meet there")
            .line(format!("from {BRACE_M} m below the head to {BRACE_M} m along the beam or plate"))
            .poles(slant_m, brace),
        lashed(
            worked,
            &[
                ("tie beam to post", 2 * frames, post, beam),
                ("plate to post", 2 * frames, post, beam),
                ("wall brace, both ends", 16, post, brace),
            ],
        ),
    ]
}
