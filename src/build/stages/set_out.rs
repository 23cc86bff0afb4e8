//! Stage 2: the four pegs.

use super::{SIX, step};
use crate::build::brief::Tolerance;
use crate::build::entry::Item;
use crate::build::findings::{Derived, Findings, SetOut};
use crate::build::readings::Readings;
use crate::build::stage::{Figure, Need, Point, Rule, Stage};
use crate::build::storm::AfterStorm;
use crate::build::telling::both;
use crate::build::worked::Worked;
use crate::reckon::net::{self, Corner, Pair, Reading};
use crate::reckon::{pegs, square};

const ID: &str = "set-out";

/// Pegs are done with once a post stands in their place.
const AFTER_STORM: AfterStorm = AfterStorm {
    shakes: |pair, progress| {
        let corners = pair.chars().filter(|c| *c != 'o').map(|c| c.to_uppercase().to_string());
        corners.into_iter().any(|corner| !progress.stands(&corner))
    },
    asks: |_, _| Vec::new(),
};

/// Stage 2.
pub const STAGE: Stage = Stage {
    id: ID,
    number: 2,
    says: "Set-out",
    short: "set-out",
    steps: &[
        step(
            "Cut the ropes to the kit and mark their middles by folding.",
            "A fold halves exactly; a rule does not. Leave extra for knots.",
        ),
        step(
            "Lay the length rope and the width rope with their middles on the centre mark.",
            "Then the house stands evenly about its mark.",
        ),
        step(
            "Hold the triangle rope: its base on the end line, its point on the mark.",
            "Equal legs stand square to the base.",
        ),
        step(
            "Swing it end for end at the other end.",
            "What was crooked one way shows double the other way.",
        ),
        step("Drive a peg at each of the four corners.", "They carry every post that follows."),
        step(
            "Read back sides, ends and diagonals, then the four from the mark.",
            "Equal diagonals alone do not make a rectangle.",
        ),
    ],
    cautions: &[
        "Ropes at ankle height trip people: hang a leaf on each, and lift them when done.",
        "Sun: work early, drink, and take turns at the rope.",
    ],
    kit,
    points,
    needs,
    findings,
    after_storm: AFTER_STORM,
    rule: Rule::NothingFound,
    rule_says: "the pegs are settled, no reading is suspected, no peg is left to move",
    figure: Figure::Plan,
};

fn kit(worked: &Worked) -> Vec<String> {
    let body = &worked.brief.body;
    let mut kit: Vec<String> = worked
        .setout
        .ropes
        .iter()
        .map(|rope| {
            let marks: Vec<String> = rope.marks_m.iter().map(|m| both(*m, body)).collect();
            format!("{}: cut {}, mark at {}.", rope.name, both(rope.cut_m, body), marks.join(" and "))
        })
        .collect();
    kit.push("No allowance for knots is in these.".to_owned());
    kit.push(format!("Close enough is, {}.", tolerance_says(worked.brief.tolerance)));
    kit
}

fn points(worked: &Worked, _: &Readings) -> Vec<Point> {
    let marks = [("oa", "mark to a"), ("ob", "mark to b"), ("oc", "mark to c"), ("od", "mark to d")];
    SIX.iter()
        .chain(&marks)
        .map(|&(id, says)| {
            let target = worked.distance_m(id);
            Point::near(id, says, target, worked.tolerance_m(target))
        })
        .collect()
}

fn needs(_: &Worked) -> Vec<Need> {
    vec![
        Need::pieces(Item::Rope, 3, "length rope, width rope, triangle rope"),
        Need::pieces(Item::Peg, 4, "one at each corner"),
    ]
}

/// What the readings of the pegs ask of least squares.
#[must_use]
pub fn asked(worked: &Worked, readings: &Readings) -> square::In {
    square::In {
        length_m: worked.brief.length_m,
        width_m: worked.brief.width_m,
        readings: distances(readings, ID, ""),
        sigma_m: worked.brief.tolerance.sigma_m(),
    }
}

/// The distances read between four corners under a stage and a prefix.
pub(super) fn distances(readings: &Readings, stage: &str, prefix: &str) -> net::Readings {
    let mut asked = net::Readings::new();
    for pair in Pair::ALL {
        let Some(current) = readings.of(stage, &format!("{prefix}{}", pair.name())) else { continue };
        let read: Vec<f64> = current.values.iter().map(|v| v.number()).filter(|m| *m >= 1e-6).collect();
        match read.as_slice() {
            [] => {}
            &[one] => {
                asked.insert(pair, Reading::One(one));
            }
            _ => {
                asked.insert(pair, Reading::Many(read));
            }
        }
    }
    asked
}

fn findings(worked: &Worked, readings: &Readings) -> Findings {
    let mut found = Findings::default();
    let asked = asked(worked, readings);
    let out = match square::run(&asked) {
        Ok(square::Out::Found(out)) => out,
        Ok(square::Out::Lacking(short)) => {
            found.bars.push(format!(
                "the pegs are not settled yet: {} more {} needed",
                short.lacking,
                if short.lacking == 1 { "distance is" } else { "distances are" }
            ));
            derive(&mut found, worked, None);
            return found;
        }
        Err(refusal) => {
            found.bars.push(format!("no four pegs fit these readings: {}", refusal.why));
            found.told.push("The readings contradict each other. Read the sides again.".to_owned());
            derive(&mut found, worked, None);
            return found;
        }
    };
    if out.suspects.is_empty() {
        let placed = pegs::pegs(&out, worked.peg_tolerance_m());
        let tolerance_m = worked.peg_tolerance_m();
        let poor =
            if placed.peg_moves.is_empty() { Vec::new() } else { poor_fits(&out, &asked, tolerance_m) };
        let firm = placed.peg_moves.is_empty() || (out.redundancy > 0 && poor.is_empty());
        if firm {
            moves_told(&mut found, &placed.peg_moves, worked);
        } else if out.redundancy == 0 {
            unchecked(&mut found, &asked);
        } else {
            suspected(&mut found, &poor, &out, &asked);
        }
        found.set_out = Some(SetOut { square: out, kept: placed.kept, moves: placed.peg_moves, firm });
    } else {
        suspected(&mut found, &out.suspects, &out, &asked);
        found.set_out = Some(SetOut { square: out, kept: Vec::new(), moves: Vec::new(), firm: false });
    }
    let set_out = found.set_out.clone();
    derive(&mut found, worked, set_out.as_ref());
    found
}

/// Readings that must be looked at again before a peg is moved: those that
/// fit the others too poorly, and those without which no peg would be out.
///
/// Too poorly: the test value is past what chance gives once in twenty times
/// (1.96, two-sided), and leaving the reading out would explain the rest about
/// as well as leaving out the worst (3.84, the same level for one unknown).
fn poor_fits(out: &square::Found, asked: &square::In, tolerance_m: f64) -> Vec<Pair> {
    let worst = |pair: &Pair| {
        let of_pair = out.w.get(pair).into_iter().flat_map(|w| w.all().iter().flatten());
        of_pair.copied().fold(0.0, f64::max)
    };
    let most = out.w.keys().map(worst).fold(0.0, f64::max);
    let poor = |pair: &Pair| most > 1.96 && worst(pair).powi(2) > most * most - 3.84;
    let alone = |pair: &Pair| {
        let mut without = asked.clone();
        without.readings.remove(pair);
        match square::run(&without) {
            Ok(square::Out::Found(rest)) => pegs::pegs(&rest, tolerance_m).peg_moves.is_empty(),
            _ => false,
        }
    };
    out.w.keys().filter(|pair| poor(pair) || alone(pair)).copied().collect()
}

/// Pegs seem to be out, but no reading checks another yet.
fn unchecked(found: &mut Findings, asked: &square::In) {
    let unread = Pair::ALL.into_iter().find(|p| !asked.readings.contains_key(p));
    let next = unread
        .map_or_else(|| "Read the sides again.".to_owned(), |p| format!("Read {} first.", said(p.name())));
    found.bars.push("no reading checks another yet".to_owned());
    found.told.push("Pegs seem to be out, but nothing checks these readings: move none yet.".to_owned());
    found.told.push(next.clone());
    found.next = Some(next);
}

/// A pair of marks as it is called: a-c, mark to a.
fn said(name: &str) -> String {
    match name.split_at_checked(1) {
        Some(("o", corner)) => format!("mark to {corner}"),
        Some((from, to)) => format!("{from}-{to}"),
        None => name.to_owned(),
    }
}

/// The pegs to move, in the words of the plan.
fn moves_told(found: &mut Findings, moves: &[pegs::PegMove], worked: &Worked) {
    for m in moves {
        let corner = m.corner.name();
        let mm = |metres: f64| (metres * 1000.0).round().abs();
        let along = if m.along_m >= 0.0 { "toward the b-c end" } else { "toward the d-a end" };
        let across = if m.across_m >= 0.0 { "toward the c-d side" } else { "toward the a-b side" };
        let word = format!(
            "Move peg {} {:.0} mm along the house {along} and {:.0} mm across it {across}.",
            corner.to_uppercase(),
            mm(m.along_m),
            mm(m.across_m)
        );
        found.bars.push(format!("peg {} is to move", corner.to_uppercase()));
        if found.next.is_none() {
            found.next = Some(format!("{word} Then tell that it was moved and read to it again."));
        }
        found.told.push(word);
    }
    if moves.is_empty() {
        let mm = worked.peg_tolerance_m() * 1000.0;
        found.told.push(format!("The pegs stand true, all within {mm:.0} mm of their places."));
    }
}

/// Which readings are suspected, and what to read next to tell them apart.
fn suspected(found: &mut Findings, pairs: &[Pair], out: &square::Found, asked: &square::In) {
    let names: Vec<&str> = pairs.iter().map(|p| p.name()).collect();
    let marks_read =
        Pair::ALL.iter().filter(|p| p.from_mark()).filter(|p| asked.readings.contains_key(p)).count();
    let (word, next) = if let [one] = names.as_slice() {
        (format!("The reading {} does not fit the others.", said(one)), format!("Read {} again.", said(one)))
    } else if marks_read < 4 {
        (
            format!(
                "The {} disagree: one is a slip, and they cannot say which.",
                told_count(out.distances.len())
            ),
            "Read the four from the mark to the pegs; they may tell.".to_owned(),
        )
    } else {
        let all: Vec<String> = names.iter().map(|n| said(n)).collect();
        (
            format!("One of these is a slip, and they cannot be told apart: {}.", all.join(", ")),
            format!("Read {} again.", all.join(", ")),
        )
    };
    found.bars.push("a reading is suspected".to_owned());
    for name in names {
        found.remarks.push((name.to_owned(), "suspected of a slip".to_owned()));
    }
    found.next = Some(next.clone());
    found.told.push(word);
    found.told.push(next);
}

fn told_count(n: usize) -> String {
    const WORDS: [&str; 11] =
        ["none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    WORDS.get(n).map_or_else(|| n.to_string(), |w| (*w).to_owned())
}

/// The worked-out points: the largest move, the diagonals, the crossing.
fn derive(found: &mut Findings, worked: &Worked, set_out: Option<&SetOut>) {
    let peg = worked.peg_tolerance_m();
    let diagonal = worked.tolerance_m(worked.setout.diagonal_m);
    let square = set_out.map(|s| &s.square);
    let largest = square.map(|s| Corner::ALL.iter().map(|c| s.moves.at(*c).distance_m).fold(0.0, f64::max));
    // Where the mark lies is known only from readings to it.
    let crossing = square
        .filter(|s| s.has_mark())
        .and_then(|s| s.bisect.as_ref())
        .map(|b| b.crossing[0].hypot(b.crossing[1]));
    let all = [
        ("largest-move", "largest peg move", "largest move", peg, largest),
        (
            "diagonal-difference",
            "a-c less b-d, as settled",
            "a-c less b-d",
            diagonal,
            square.map(|s| s.diagonal_difference_m),
        ),
        ("crossing", "crossing of the diagonals off the mark", "crossing off", peg, crossing),
    ];
    for (id, says, short, tolerance, value) in all {
        let point = Point::signed(id, says, 0.0, tolerance).short(short).beside();
        found.derived.push(Derived { point, value });
    }
}

/// Whether ropes or a tape are used, in a few words.
fn tolerance_says(tolerance: Tolerance) -> &'static str {
    match tolerance {
        Tolerance::Rope => "by rope: 1/200, not under 10 mm",
        Tolerance::Tape => "by tape: 1.5 mm for the root of each metre, not under 4 mm",
    }
}
