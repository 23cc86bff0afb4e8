//! The set-out from above: what is meant, what was read, what is to move.

use super::{At, Key, Means, Side, Sign, Sketch, enlarged};
use crate::build::findings::SetOut;
use crate::build::house::House;
use crate::reckon::net::{Corner, Corners, Pair};
use crate::reckon::pegs;

/// The share of the width that the largest error may take up.
const ROOM: f64 = 0.25;

/// Draws the set-out of a house.
#[must_use]
pub fn plan(house: &House) -> Sketch {
    let design = design(house);
    let mut sketch = Sketch { anchor: Some(design.c), ..Sketch::default() };
    let found = house.stage("set-out").and_then(|s| s.findings.set_out.as_ref());
    match found {
        Some(set_out) if set_out.square.suspects.is_empty() => as_read(&mut sketch, house, set_out, &design),
        found => {
            let suspects = found.map_or(&[][..], |s| &s.square.suspects);
            distances(&mut sketch, house, suspects, &design);
            pegs_at(&mut sketch, &design, Means::Note);
            sketch.caption = "plan".to_owned();
            sketch.legend = vec![(Key::Line(Means::Design), "meant"), (Key::Line(Means::Read), "read")];
            if !suspects.is_empty() {
                sketch.legend.push((Key::Letter('?'), "may be a slip"));
            }
        }
    }
    sketch.sign([0.0, 0.0], Sign::Mark, Means::Note);
    sketch
}

/// The corners as they are meant.
pub(super) fn design(house: &House) -> Corners<At> {
    let brief = &house.worked.brief;
    Corners::<At>::design(brief.length_m, brief.width_m)
}

/// The four sides.
pub(super) fn sides(sketch: &mut Sketch, corners: &Corners<At>, means: Means) {
    for corner in Corner::ALL {
        sketch.line(*corners.at(corner), *corners.at(corner.next()), means);
    }
}

/// Where side posts will stand.
fn side_posts(sketch: &mut Sketch, house: &House) {
    for post in house.worked.posts.iter().filter(|p| !p.corner) {
        sketch.sign([post.x_m, post.y_m], Sign::Hole, Means::Design);
    }
}

fn pegs_at(sketch: &mut Sketch, pegs: &Corners<At>, means: Means) {
    for corner in Corner::ALL {
        sketch.label(*pegs.at(corner), Side::On, corner.name().to_uppercase(), means);
    }
}

/// Before the pegs are settled: which distances were read, and which of them
/// may be a slip.
fn distances(sketch: &mut Sketch, house: &House, suspects: &[Pair], design: &Corners<At>) {
    sides(sketch, design, Means::Design);
    let read = |pair: &Pair| house.readings.of("set-out", pair.name()).is_some();
    // The sides over the diagonals, the suspected over all.
    for suspected in [false, true] {
        if suspected {
            side_posts(sketch, house);
        }
        for pair in Pair::ALL.into_iter().rev().filter(read).filter(|p| suspects.contains(p) == suspected) {
            let (from, to) = pair.ends();
            let from = from.map_or([0.0, 0.0], |c| *design.at(c));
            let to = *design.at(to);
            let means = if suspected { Means::Suspected } else { Means::Read };
            sketch.line(from, to, means);
            if suspected {
                sketch.label(part_way(from, to, pair), Side::On, "?", Means::Suspected);
            }
        }
    }
}

/// A place on a distance that no other distance runs through.
fn part_way([x, y]: At, [u, v]: At, pair: Pair) -> At {
    let share = if matches!(pair, Pair::Ac | Pair::Bd) { 0.25 } else { 0.5 };
    [x + share * (u - x), y + share * (v - y)]
}

/// The pegs as read, their errors enlarged, and where they are to go.
fn as_read(sketch: &mut Sketch, house: &House, set_out: &SetOut, design: &Corners<At>) {
    let laid = pegs::laid(&set_out.square, &set_out.kept);
    let off = |corner: Corner| {
        let ([x, y], [u, v]) = (*laid.at(corner), *design.at(corner));
        [x - u, y - v]
    };
    let largest = Corner::ALL.into_iter().map(|c| off(c)[0].hypot(off(c)[1])).fold(0.0, f64::max);
    let times = enlarged(largest, ROOM * house.worked.brief.width_m);
    let shown = Corners::of(|corner| {
        let ([x, y], [u, v]) = (*design.at(corner), off(corner));
        [x + times * u, y + times * v]
    });
    sides(sketch, design, Means::Design);
    sides(sketch, &shown, Means::Read);
    side_posts(sketch, house);
    // No arrow while the readings disagree.
    let moves = || set_out.moves.iter().filter(|_| set_out.firm).map(|m| m.corner);
    for corner in moves() {
        sketch.way(*shown.at(corner), *design.at(corner), Means::Move);
    }
    pegs_at(sketch, &shown, Means::Note);
    for corner in moves() {
        sketch.label(*shown.at(corner), Side::On, corner.name().to_uppercase(), Means::Move);
    }
    sketch.caption = format!("plan, errors x\u{a0}{times:.0}");
    sketch.legend = vec![(Key::Line(Means::Design), "meant"), (Key::Line(Means::Read), "as read")];
    if moves().next().is_some() {
        sketch.legend.push((Key::Way(Means::Move), "move"));
    }
}

#[cfg(test)]
mod tests {
    use super::super::Shape;
    use super::*;
    use crate::build::trial::Trial;

    fn lines(sketch: &Sketch, wanted: Means) -> usize {
        sketch
            .shapes
            .iter()
            .filter(|s| matches!(s, Shape::Line { means, .. } | Shape::Way { means, .. } if *means == wanted))
            .count()
    }

    #[test]
    fn a_distance_is_drawn_when_it_is_read() {
        let house =
            Trial::new("Tern house").read("set-out/ab", "6.970 m").read("set-out/oa", "4.354 m").house();
        let sketch = plan(&house);
        assert_eq!((lines(&sketch, Means::Read), lines(&sketch, Means::Move)), (2, 0));
    }

    #[test]
    fn no_peg_is_moved_while_a_slip_is_not_found() {
        let sketch = plan(&slip().house());
        assert!(lines(&sketch, Means::Suspected) > 0);
        assert_eq!(lines(&sketch, Means::Move), 0);
    }

    /// Peg C stands 60 mm too far along the house.
    ///
    /// Source: Euclid, Elements I.47, from the corners of 8 m by 6 m.
    #[test]
    fn the_arrow_leads_from_the_peg_as_read_to_where_it_is_meant() {
        let house = Trial::new("Tern house")
            .span("2 m")
            .read("set-out/ab", "8.000 m")
            .read("set-out/bc", "6.0003 m")
            .read("set-out/cd", "8.060 m")
            .read("set-out/da", "6.000 m")
            .read("set-out/ac", "10.0481 m")
            .read("set-out/bd", "10.000 m")
            .house();
        let sketch = plan(&house);
        let ways: Vec<(At, At)> = sketch
            .shapes
            .iter()
            .filter_map(|s| match s {
                Shape::Way { from, to, .. } => Some((*from, *to)),
                _ => None,
            })
            .collect();
        let [(from, to)] = ways.as_slice() else { panic!("{ways:?}") };
        assert_eq!(*to, [4.0, 3.0]);
        // 20 times 60 mm; the readings are rounded to 0.1 mm.
        assert!((from[0] - 5.2).abs() < 0.01 && (from[1] - 3.0).abs() < 0.01, "{from:?}");
        assert_eq!(sketch.caption, "plan, errors x\u{a0}20");
    }

    fn slip() -> Trial {
        Trial::new("Tern house")
            .read("set-out/ab", "6.970 m")
            .read("set-out/bc", "5.225 m")
            .read("set-out/cd", "6.966 m")
            .read("set-out/da", "5.228 m")
            .read("set-out/ac", "8.792 m")
            .read("set-out/bd", "8.709 m")
    }
}
