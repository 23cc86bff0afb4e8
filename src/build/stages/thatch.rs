//! Stage 7: the thatch.

use super::step;
use crate::build::entry::Item;
use crate::build::findings::Findings;
use crate::build::readings::Readings;
use crate::build::stage::{Figure, Need, Point, Rule, Stage};
use crate::build::storm::AfterStorm;
use crate::build::worked::Worked;

const ID: &str = "thatch";

/// Cord for one tie of a panel to a rafter, m (common practice).
const TIE_M: f64 = 0.35;
/// How level a row should be, m.
const ROW_M: f64 = 0.020;
/// The slopes may be this many rows apart.
const ROWS_APART: f64 = 2.0;

/// Wind takes rows; what was lost is tallied and asked for again.
const AFTER_STORM: AfterStorm =
    AfterStorm { shakes: |point, _| matches!(point, "rows-ab" | "rows-cd"), asks: |_, _| Vec::new() };

/// Stage 7.
pub const STAGE: Stage = Stage {
    id: ID,
    number: 7,
    says: "Thatch",
    short: "thatch",
    steps: &[
        step(
            "Lay the first row at the eave with its other face up.",
            "It tilts the rows above and sheds the drip.",
        ),
        step("Go up row by row, each at its mark.", "Even courses shed water evenly."),
        step(
            "Keep both slopes within two rows of each other.",
            "A roof loaded on one side pushes the ridge over.",
        ),
        step("Tie every panel to every rafter it crosses.", "The wind finds the one that was left out."),
        step(
            "Every fourth row, measure to the ridge at both ends.",
            "A row that climbs shows early and is mended cheaply.",
        ),
    ],
    cautions: &[
        "Falls: tread on the rafters only, never between them.",
        "Not on wet thatch. Not in wind. A line round the waist, over the ridge, tied off.",
        "Dust and insects: cover mouth and eyes, shake each panel on the ground.",
        "Fire: no flame, no smoking, water at hand.",
    ],
    kit,
    points,
    needs,
    findings,
    after_storm: AFTER_STORM,
    rule: Rule::AllTrue,
    rule_says: "all rows are laid and every point is true",
    figure: Figure::Slope,
};

/// The slopes, by the plate each rises from.
const SLOPES: [(&str, &str); 2] = [("ab", "a-b slope"), ("cd", "c-d slope")];

fn kit(worked: &Worked) -> Vec<String> {
    let thatch = &worked.thatch;
    let marks = |every: usize| -> Vec<String> {
        let marks = thatch.row_marks_m.iter().enumerate().skip(every).step_by(every);
        marks.map(|(row, m)| format!("row {} at {m:.3}", row + 1)).collect()
    };
    vec![
        format!("{} rows on each slope, {} panels in each.", thatch.rows_per_slope, thatch.panels_per_row),
        format!("Rows evened out: {:.0} mm apart, from the eave up.", thatch.even_course_m * 1000.0),
        format!("Feet of the rows up the slope, m: row 1 at 0, {}.", marks(8).join(", ")),
        format!("Have {} panels woven in all, a tenth of them spoiled allowed for.", thatch.order_panels),
    ]
}

fn points(worked: &Worked, _: &Readings) -> Vec<Point> {
    let rows = worked.thatch.rows_per_slope;
    let mut points = vec![Point::yes("first-row", "first row lies other face up").short("first row")];
    for (id, says) in SLOPES {
        points.push(
            Point::yes(format!("eave-{id}"), format!("{says}, eave line straight"))
                .short(format!("{id} eave line")),
        );
    }
    for (id, says) in SLOPES {
        points.push(
            Point::count(format!("rows-{id}"), format!("{says}, rows laid"), rows)
                .short(format!("{id} rows")),
        );
    }
    for row in (4..=rows).step_by(4) {
        for (id, says) in SLOPES {
            points.push(
                Point::equal(
                    format!("row-{row}/{id}"),
                    format!("row {row}, {says}, ends to the ridge"),
                    ROW_M,
                )
                .short(format!("row {row} {id}")),
            );
        }
    }
    points
}

fn needs(worked: &Worked) -> Vec<Need> {
    let thatch = &worked.thatch;
    let ties = 2 * thatch.rows_per_slope * worked.rafters.count;
    vec![
        Need::pieces(
            Item::Panel,
            thatch.roof_panels,
            format!(
                "2 slopes of {} rows of {}; order {} with the caps, a tenth spoiled allowed",
                thatch.rows_per_slope, thatch.panels_per_row, thatch.order_panels
            ),
        ),
        Need::amount(
            Item::Cord,
            f64::from(ties) * TIE_M * 1.1,
            format!("{ties} ties of {TIE_M} m, a tenth to spare"),
        ),
    ]
}

fn findings(_: &Worked, readings: &Readings) -> Findings {
    let mut found = Findings::default();
    let rows = |id: &str| readings.number(ID, id);
    if let (Some(ab), Some(cd)) = (rows("rows-ab"), rows("rows-cd"))
        && (ab - cd).abs() > ROWS_APART
    {
        let (behind, by) = if ab < cd { ("a-b", cd - ab) } else { ("c-d", ab - cd) };
        let word =
            format!("The {behind} slope is {by:.0} rows behind: bring it up before the other goes on.");
        found.bars.push("the slopes are more than two rows apart".to_owned());
        found.next = Some(word.clone());
        found.told.push(word);
    }
    found
}
