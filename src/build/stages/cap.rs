//! Stage 8: the ridge cap.

use super::{nothing, step};
use crate::build::entry::Item;
use crate::build::readings::Readings;
use crate::build::stage::{Figure, Need, Point, Rule, Stage};
use crate::build::storm::AfterStorm;
use crate::build::telling::both;
use crate::build::worked::Worked;

/// Wind takes caps and pulls pins.
const AFTER_STORM: AfterStorm =
    AfterStorm { shakes: |point, _| matches!(point, "caps" | "pins"), asks: |_, _| Vec::new() };

/// Stage 8.
pub const STAGE: Stage = Stage {
    id: "cap",
    number: 8,
    says: "Ridge cap",
    short: "cap",
    steps: &[
        step(
            "Lay the upper ridge pole over the top rows and tie it.",
            "It gives the caps something to be pinned to.",
        ),
        step(
            "Fold the doubled panels over it, lapping away from the wind.",
            "Rain is driven into a lap that faces it.",
        ),
        step(
            "Pin each cap under the pole, the pins pointing down and out.",
            "A pin that points in leads the water in.",
        ),
        step("Look from inside for daylight.", "Where light comes, water comes."),
    ],
    cautions: &[
        "Falls: this is the highest work of all. A line over the ridge, tied off on the other side.",
        "Pins are sharp: point them away, keep them in a quiver, none on the ground.",
    ],
    kit,
    points,
    needs,
    findings: nothing,
    after_storm: AFTER_STORM,
    rule: Rule::AllTrue,
    rule_says: "every point is true",
    figure: Figure::Slope,
};

fn kit(worked: &Worked) -> Vec<String> {
    let thatch = &worked.thatch;
    vec![
        format!(
            "{} caps over {}, each two panels laid together.",
            thatch.cap_panels,
            both(worked.roof.ridge_m, &worked.brief.body)
        ),
        format!("{} pins, {} in each cap.", thatch.pins, worked.brief.roofing.pins_per_cap),
    ]
}

fn points(worked: &Worked, _: &Readings) -> Vec<Point> {
    vec![
        Point::count("caps", "cap panels laid", worked.thatch.cap_panels).short("caps laid"),
        Point::count("pins", "fewest pins in a cap", worked.brief.roofing.pins_per_cap).short("fewest pins"),
        Point::yes("no-daylight", "no daylight seen from inside").short("no daylight"),
    ]
}

fn needs(worked: &Worked) -> Vec<Need> {
    let (caps, ridge_m) = (worked.thatch.cap_panels, worked.roof.ridge_m);
    let roofing = &worked.brief.roofing;
    vec![
        Need::pieces(
            Item::DoubledPanel,
            caps,
            format!("{ridge_m:.2} m of ridge, each two panels laid together"),
        )
        .line(format!("each {} m long, lapped {} m on the next", roofing.panel_m, roofing.cap_lap_m)),
        Need::pieces(Item::UpperRidgePole, 1, "one over the top rows, under the caps")
            .poles(ridge_m, worked.brief.frame.rafter_d_m),
        Need::pieces(
            Item::Pin,
            worked.thatch.pins,
            format!("{} in each of {caps} caps", roofing.pins_per_cap),
        ),
    ]
}
