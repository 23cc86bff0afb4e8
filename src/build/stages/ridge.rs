//! Stage 6: raising the ridge.

use super::roof_frame::BATTEN_D_M;
use super::{lashed, nothing, step};
use crate::build::entry::Item;
use crate::build::readings::Readings;
use crate::build::stage::{Figure, Need, Point, Rule, Stage};
use crate::build::storm::AfterStorm;
use crate::build::telling::both;
use crate::build::worked::Worked;
use crate::reckon::GRAVITY_M_S2;

/// Wind pushes the ridge over and works at the rafters' lashings.
const AFTER_STORM: AfterStorm = AfterStorm {
    shakes: |point, _| point.starts_with("legs/") || point.starts_with("king-") || point == "rafters/turns",
    asks: |_, _| Vec::new(),
};

/// Stage 6.
pub const STAGE: Stage = Stage {
    id: "ridge",
    number: 6,
    says: "Raising the ridge",
    short: "ridge",
    steps: &[
        step(
            "Tie the lifting poles crossed, in two pairs, and dig their feet in.",
            "A foot that slides lets everything fall.",
        ),
        step("Count the people at hand against the number that is needed.", "Too few is worse than not yet."),
        step(
            "Raise it together, one voice calling, a rope on each side.",
            "The ropes hold what the poles cannot.",
        ),
        step("Stand a king post on every tie beam and stay it.", "They carry the ridge from now on."),
        step(
            "Make the two legs equal at both ends and in the middle.",
            "Equal legs put the ridge over the middle.",
        ),
        step(
            "Tie the rafters to ridge and plates from the middle outward.",
            "The load stays even on both sides.",
        ),
        step("Brace both slopes.", "The braces keep the ridge from running toward a gable."),
        step("Take the lifting poles away last.", "Nothing is let go before everything is tied."),
    ],
    cautions: &[
        "The most dangerous step. No overhead line within reach: stop and have it moved.",
        "One voice calls, everybody else is silent. Nobody under it, ever.",
        "Falls: whoever stands on a beam or ties at the ridge is tied off above; nobody leans out.",
        "Stop in wind. Stop when anyone says stop.",
        "A rope on each side, held by people who are not lifting. Helmets, or nobody near.",
        "The weights are worked out, not weighed. A licensed lifter where the law asks for one.",
    ],
    kit,
    points,
    needs,
    findings: nothing,
    after_storm: AFTER_STORM,
    rule: Rule::AllTrue,
    rule_says: "the legs are equal and the king posts plumb",
    figure: Figure::Section,
};

fn kit(worked: &Worked) -> Vec<String> {
    let lift = &worked.lift;
    let what = if worked.raises_rafters() { "The ridge with its rafters" } else { "The bare ridge" };
    // In kilograms, as people feel it.
    let kg = |newtons: f64| newtons / GRAVITY_M_S2;
    let mut kit = vec![
        format!("{what}: {:.0} kg. Not less than {} people at the poles.", lift.mass_kg, worked.people()),
        format!(
            "Each lifting leg bears {:.0} kg; each foot is pushed outward by {:.0} kg.",
            kg(lift.leg_n),
            kg(lift.foot_thrust_n)
        ),
        format!("Both legs, plate to ridge: {}.", both(worked.roof.rafter_to_plate_m, &worked.brief.body)),
    ];
    if worked.raises_rafters() {
        kit.push(format!(
            "Raised bare, the ridge alone takes {} people; the rafters follow one by one.",
            worked.people_bare()
        ));
    }
    kit
}

fn points(worked: &Worked, _: &Readings) -> Vec<Point> {
    let leg_m = worked.brief.width_m / 200.0;
    let plumb_m = worked.roof.rise_m / 200.0;
    let mut points = vec![Point::count("people", "people at hand", worked.people()).beside()];
    for (id, says) in [("da", "d-a end"), ("middle", "middle"), ("bc", "b-c end")] {
        let legs = Point::equal(format!("legs/{id}"), format!("{says}, a-b leg less c-d leg"), leg_m);
        points.push(legs.short(format!("legs {says}")));
    }
    for i in 1..=worked.frames_m.len() {
        for (axis, says, toward) in [("plumb-along", "along", "b-c"), ("plumb-across", "across", "c-d")] {
            let plumb = Point::signed(
                format!("king-{i}/{axis}"),
                format!("king post {i} leans toward {toward}"),
                0.0,
                plumb_m,
            );
            points.push(plumb.short(format!("king {i} {says}")));
        }
    }
    let tied = Point::count("rafters/turns", "rafters, fewest turns in a lashing", worked.brief.frame.wraps);
    points.push(tied.short("rafter turns").beside());
    points
}

/// What a lifting pole reaches above the crossing, m (common practice).
const ABOVE_M: f64 = 0.6;

fn needs(worked: &Worked) -> Vec<Need> {
    let frame = &worked.brief.frame;
    let (frames, rafters) = (worked.frames_m.len() as u32, worked.rafter_count());
    let at_ridge = if worked.raises_rafters() { 0 } else { rafters };
    let (head_m, rise_m) = (worked.brief.posts.height_m, worked.roof.rise_m);
    let (rafter, ridge) = (frame.rafter_d_m, frame.ridge_d_m);
    vec![
        Need::pieces(Item::LiftingPole, 4, "2 pairs, crossed")
            .line(format!(
                "{head_m:.2} m to the heads, {rise_m:.2} m to the ridge, {ABOVE_M} m above the crossing"
            ))
            .line("no thinner than the ridge pole; thicker where the load bends them (common practice)")
            .poles(head_m + rise_m + ABOVE_M, ridge),
        Need::pieces(Item::KingPost, frames, format!("one on each of {frames} tie beams"))
            .poles(rise_m, ridge),
        Need::pieces(Item::Brace, 4, "2 slopes, two in each, crossing").poles(worked.roof.rafter_m, rafter),
        lashed(
            worked,
            &[
                ("rafter to plate", rafters, rafter, frame.beam_d_m),
                ("rafter to ridge", at_ridge, rafter, ridge),
                ("king post, head and foot", 2 * frames, ridge, frame.beam_d_m),
                ("slope brace, both ends", 8, rafter, rafter),
                ("eave batten to rafter", rafters, rafter, BATTEN_D_M),
            ],
        ),
    ]
}
