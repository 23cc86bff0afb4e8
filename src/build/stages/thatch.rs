//! Stage 7: the thatch.

use super::step;
use crate::build::bands::{self, Band};
use crate::build::brief::THATCHES;
use crate::build::entry::{Item, PointName};
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
const ROWS_APART: u32 = 2;
/// Heights this near are the same, m.
const LEVEL_M: f64 = 1e-6;

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

/// The slope whose rows a point counts: 0 for a-b, 1 for c-d.
#[must_use]
pub fn slope(point: &PointName) -> Option<usize> {
    let counted = point.point.strip_prefix("rows-").filter(|_| point.stage == ID)?;
    SLOPES.iter().position(|(id, _)| *id == counted)
}

/// The rows, or caps, that lie where so many were read: whole ones. The mean of
/// repeats that differ need not be whole.
#[must_use]
pub fn whole(read: f64) -> u32 {
    // The cast keeps to the bounds of its type.
    read.floor() as u32
}

/// The rows that lie on the a-b and on the c-d slope, as far as they were read.
#[must_use]
pub fn rows_read(readings: &Readings) -> [Option<u32>; 2] {
    SLOPES.map(|(id, _)| readings.number(ID, &format!("rows-{id}")).map(whole))
}

fn kit(worked: &Worked) -> Vec<String> {
    let [ab, cd] = &worked.slopes;
    let mut kit = if ab == cd {
        laid("On each slope", ab)
    } else {
        [laid("On the a-b slope", ab), laid("On the c-d slope", cd)].concat()
    };
    kit.push(format!("Panels: {}.", order(worked)));
    kit
}

/// How a slope is laid, band by band, and where its rows go.
fn laid(on: &str, slope: &[Band]) -> Vec<String> {
    let mut after = 0;
    let mut told = Vec::new();
    for band in slope {
        let rows = if slope.len() == 1 {
            format!("{} rows", band.rows)
        } else {
            format!("rows {} to {} of {}", after + 1, after + band.rows, band.way.kind.id)
        };
        told.push(format!("{on}: {rows}, {} panels in each.", band.panels_per_row));
        told.push(format!(
            "Rows evened out: {:.0} mm apart, from {} up.",
            band.even_course_m * 1000.0,
            if after == 0 { "the eave".to_owned() } else { format!("{:.3} m", band.from_m) }
        ));
        after += band.rows;
    }
    let marks = bands::marks_m(slope);
    let marks = marks.iter().enumerate().skip(8).step_by(8);
    let marks: Vec<String> = marks.map(|(row, m)| format!("row {} at {m:.3}", row + 1)).collect();
    told.push(format!("Feet of the rows up the slope, m: row 1 at 0, {}.", marks.join(", ")));
    told
}

fn points(worked: &Worked, _: &Readings) -> Vec<Point> {
    let mut points = vec![Point::yes("first-row", "first row lies other face up").short("first row")];
    for (id, says) in SLOPES {
        points.push(
            Point::yes(format!("eave-{id}"), format!("{says}, eave line straight"))
                .short(format!("{id} eave line")),
        );
    }
    let rows = worked.slopes.each_ref().map(|bands| bands::rows(bands));
    for ((id, says), rows) in SLOPES.into_iter().zip(rows) {
        points.push(
            Point::count(format!("rows-{id}"), format!("{says}, rows laid"), rows)
                .short(format!("{id} rows")),
        );
    }
    for row in (4..=rows[0].max(rows[1])).step_by(4) {
        for ((id, says), _) in SLOPES.into_iter().zip(rows).filter(|(_, rows)| row <= *rows) {
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
    let rows: u32 = worked.bands().map(|band| band.rows).sum();
    let ties = rows * worked.rafters.count;
    let ties_m = f64::from(ties) * TIE_M;
    vec![
        Need::pieces(Item::Panel, worked.roof_panels(), sum(worked)).line(order(worked)),
        Need::amount(Item::Cord, ties_m * 1.1, format!("{ties_m:.1} m in the ties and a tenth to spare"))
            .line(format!("{rows} rows on {} rafters: {ties} ties of {TIE_M} m", worked.rafters.count)),
    ]
}

/// How many panels to weave in all, and why so many.
fn order(worked: &Worked) -> String {
    format!(
        "{} to weave in all, for {} with the {} caps of two: {}",
        worked.order_panels(),
        worked.panels(),
        worked.thatch.cap_panels,
        worked.spoil.told()
    )
}

/// The sum of the panels, in words: how many of which kind where there are two.
fn sum(worked: &Worked) -> String {
    let [ab, cd] = &worked.slopes;
    let of = |band: &Band| format!("{} rows of {}", band.rows, band.panels_per_row);
    if let ([ab], [cd]) = (ab.as_slice(), cd.as_slice())
        && ab == cd
    {
        return format!("2 slopes of {}", of(ab));
    }
    let mut sums = Vec::new();
    for kind in THATCHES {
        let of_kind = || worked.bands().filter(|band| band.way.kind.id == kind.id);
        let panels: u32 = of_kind().map(Band::panels).sum();
        if panels > 0 {
            let rows: Vec<String> = of_kind().map(of).collect();
            sums.push(format!("{panels} {} ({})", kind.id, rows.join(" + ")));
        }
    }
    sums.join(", ")
}

/// The slope that is behind, 0 for a-b and 1 for c-d, and how many rows it
/// has room for below the height of the other; nothing where they are level.
/// Rows of one slope may be closer than those of the other: height counts.
#[must_use]
pub fn behind(worked: &Worked, rows: [u32; 2]) -> Option<(usize, u32)> {
    let reached = |slope: usize| bands::reached_m(&worked.slopes[slope], rows[slope]);
    let (ab, cd) = (reached(0), reached(1));
    let (low, high_m) = if ab < cd { (0, cd) } else { (1, ab) };
    let slope = &worked.slopes[low];
    let no_higher = |rows: &u32| bands::reached_m(slope, *rows) <= high_m + LEVEL_M;
    let as_high = (1..=bands::rows(slope)).take_while(no_higher).count() as u32;
    Some((low, as_high.saturating_sub(rows[low]))).filter(|(_, by)| *by > 0)
}

fn findings(worked: &Worked, readings: &Readings) -> Findings {
    let mut found = Findings::default();
    if let [Some(ab), Some(cd)] = rows_read(readings)
        && let Some((low, by)) = behind(worked, [ab, cd]).filter(|(_, by)| *by > ROWS_APART)
    {
        let behind = SLOPES[low].1.trim_end_matches(" slope");
        let word = format!("The {behind} slope is {by} rows behind: bring it up before the other goes on.");
        found.bars.push("the slopes are more than two rows apart".to_owned());
        found.next = Some(word.clone());
        found.told.push(word);
    }
    found
}
