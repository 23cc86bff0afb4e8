//! How hard the wind lifts, presses and pushes a roof: net coefficients.
//!
//! Open sides: EN 1991-1-4 Table 7.7, duopitch canopies (typed copies of it,
//! which agree with each other; it ends at 30°). Closed sides: Tables 7.4a and
//! 7.4b with the pressure inside (c_pe,1 from memory).

use serde::Serialize;

use crate::build::brief::Sides;

/// Net coefficients of a roof, outward as lift.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Net {
    /// Lift on a small patch anywhere: panel ties, battens.
    pub patch: f64,
    /// Lift at the gable edge: the end rafter.
    pub edge: f64,
    /// Lift on the field of a slope: plates and posts.
    pub field: f64,
    /// Pressing down on the field of a slope.
    pub down: f64,
    /// Pressing down at the gable edge: the end rafter.
    pub edge_down: f64,
    /// Whether the table reaches this pitch.
    pub covered: bool,
    /// Where they come from, in a sentence.
    pub source: String,
}

/// A row of Table 7.7: the pitch; the lift in zones A (field), B (gable edge),
/// C (eave) and D (ridge) with nothing below the roof and with the way blocked
/// at the lee eave; the pressing down in A and in B.
struct Open(f64, [f64; 4], [f64; 4], [f64; 2]);

const OPEN: [Open; 6] = [
    Open(5.0, [0.6, 1.4, 1.4, 1.1], [1.3, 2.0, 1.8, 1.5], [0.6, 1.8]),
    Open(10.0, [0.7, 1.5, 1.4, 1.4], [1.3, 2.0, 1.8, 1.8], [0.7, 1.8]),
    Open(15.0, [0.9, 1.7, 1.4, 1.8], [1.3, 2.2, 1.6, 2.1], [0.9, 1.9]),
    Open(20.0, [1.2, 1.8, 1.4, 2.0], [1.4, 2.2, 1.6, 2.1], [1.1, 1.9]),
    Open(25.0, [1.4, 1.9, 1.4, 2.0], [1.4, 2.0, 1.5, 2.0], [1.2, 1.9]),
    Open(30.0, [1.4, 1.9, 1.4, 2.0], [1.4, 1.8, 1.4, 2.0], [1.3, 1.9]),
];

/// A row of Tables 7.4: the pitch; the most suction on 1 m² anywhere (from
/// memory), the most of the fields H, I and J, the most pressure.
struct Closed(f64, f64, f64, f64);

const CLOSED: [Closed; 5] = [
    // H at 90° from memory.
    Closed(5.0, 2.5, 0.7, 0.2),
    Closed(15.0, 2.0, 1.0, 0.2),
    Closed(30.0, 2.0, 0.8, 0.7),
    Closed(45.0, 2.0, 0.9, 0.7),
    Closed(60.0, 2.0, 0.8, 0.7),
];

/// Pressure inside where openings are not known (EN 1991-1-4, 7.2.9(6); from
/// memory): outward, inward.
const INSIDE: (f64, f64) = (0.2, 0.3);

/// The coefficients for a pitch; the builder's own lift takes the place of all
/// lifts.
#[must_use]
pub fn net(sides: Sides, pitch_deg: f64, own: Option<f64>) -> Net {
    let mut net = match sides {
        Sides::Open => open(pitch_deg),
        Sides::Closed => closed(pitch_deg),
    };
    if let Some(c) = own {
        (net.patch, net.edge, net.field) = (c, c, c);
        net.source = format!("Wind: your own net uplift coefficient {c} everywhere. {}", net.source);
    }
    net
}

fn open(pitch_deg: f64) -> Net {
    let worst = |zones: &[usize]| {
        let row = |Open(pitch, empty, blocked, _): &Open| {
            let most = zones.iter().filter_map(|z| Some(empty.get(*z)?.max(*blocked.get(*z)?)));
            (*pitch, most.fold(0.0, f64::max))
        };
        between(OPEN.iter().map(row), pitch_deg)
    };
    let covered = pitch_deg <= 30.0;
    let beyond = if covered {
        String::new()
    } else {
        format!(" The table ends at 30°: its last row is held for {pitch_deg}°, which it does not cover.")
    };
    Net {
        patch: worst(&[0, 1, 2, 3]),
        edge: worst(&[1]),
        field: worst(&[0]),
        down: between(OPEN.iter().map(|r| (r.0, r.3[0])), pitch_deg),
        edge_down: between(OPEN.iter().map(|r| (r.0, r.3[1])), pitch_deg),
        covered,
        source: format!(
            "Wind: EN 1991-1-4 Table 7.7 (open sides), the worse of nothing below the roof and the way blocked; worst zone for ties and battens, gable edge for rafters, field for plates and posts.{beyond}"
        ),
    }
}

fn closed(pitch_deg: f64) -> Net {
    let local = between(CLOSED.iter().map(|r| (r.0, r.1)), pitch_deg) + INSIDE.0;
    // The most pressure of all zones, at the edge as on the field.
    let down = between(CLOSED.iter().map(|r| (r.0, r.3)), pitch_deg) + INSIDE.1;
    let covered = pitch_deg <= 60.0;
    let beyond = if covered { "" } else { " Past 60° the values for 60° are held." };
    Net {
        patch: local,
        edge: local,
        field: between(CLOSED.iter().map(|r| (r.0, r.2)), pitch_deg) + INSIDE.0,
        down,
        edge_down: down,
        covered,
        source: format!(
            "Wind: EN 1991-1-4 Tables 7.4 (closed sides) with 0.2 from inside; 1 m² values for ties, battens and rafters, the worst field for plates and posts. A door or wall that bursts on the windward side lifts much more.{beyond}"
        ),
    }
}

/// Straight between rows in order of pitch; beyond them the nearest row.
fn between(rows: impl Iterator<Item = (f64, f64)>, pitch_deg: f64) -> f64 {
    let mut before: Option<(f64, f64)> = None;
    for (pitch, c) in rows {
        if pitch_deg <= pitch {
            return before.map_or(c, |(p0, c0)| c0 + (c - c0) * (pitch_deg - p0) / (pitch - p0));
        }
        before = Some((pitch, c));
    }
    before.map_or(0.0, |(_, c)| c)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: EN 1991-1-4 Table 7.7, 30° and 20° (two typed copies that agree).
    #[test]
    fn an_open_roof_takes_the_worse_of_empty_and_blocked() {
        let at = |pitch| net(Sides::Open, pitch, None);
        let thirty = at(30.0);
        assert_eq!((thirty.patch, thirty.edge, thirty.field, thirty.down), (2.0, 1.9, 1.4, 1.3));
        assert_eq!([5.0, 15.0, 30.0, 45.0].map(|pitch| at(pitch).edge_down), [1.8, 1.9, 1.9, 1.9]);
        assert_eq!(at(20.0).edge, 2.2);
        assert!((at(22.5).edge - 2.1).abs() < 1e-12, "straight between 2.2 and 2.0");
    }

    #[test]
    fn a_pitch_the_table_does_not_cover_says_so() {
        let steep = net(Sides::Open, 45.0, None);
        assert_eq!(steep.edge, 1.9);
        assert!(!steep.covered && steep.source.contains("does not cover"), "{}", steep.source);
        assert!(net(Sides::Open, 30.0, None).covered);
    }

    /// Source: EN 1991-1-4 Table 7.4b, zone H at 45° −0.9, with +0.2 inside.
    #[test]
    fn closed_walls_are_lifted_from_inside_too() {
        let closed = net(Sides::Closed, 45.0, None);
        assert!((closed.field - 1.1).abs() < 1e-12);
        assert!((closed.patch - 2.2).abs() < 1e-12);
        assert!((closed.down - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_builders_own_number_wins() {
        let own = net(Sides::Open, 45.0, Some(1.1));
        assert_eq!((own.patch, own.edge, own.field), (1.1, 1.1, 1.1));
        assert!(own.source.contains("your own"));
    }
}
