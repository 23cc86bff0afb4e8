//! How the posts lean: spacings at base and head, and plumb bobs.
//!
//! The spacings give the two shapes; only a plumb bob tells where the one
//! stands over the other, and it takes three well-chosen bobs to tell both
//! shifts and the turn.

use std::collections::BTreeMap;

use nalgebra::{DMatrix, DVector};
use serde::Serialize;
use serde_json::Value;

use super::fields::{Fields, MOST_THINGS, Refusal};
use super::net::{Corner, Corners, Ground, Pair, Point, Readings, descend, readings, shape, survey};

/// The furthest a bob may hang from the base, in metres.
const MOST_OFFSET_M: f64 = 10.0;
/// The sway is known from this singular value of the bobs on.
const LEAST_KNOWN: f64 = 0.1;
/// Singular values above this part of the greatest count for the rank.
const RANK: f64 = 1e-9;

/// The way a plumb bob is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// Along the length, the plan's x.
    Length,
    /// Along the width, the plan's y.
    Width,
}

/// How far the head of a post stands from its base, by plumb bob.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bob {
    /// The post.
    pub post: Corner,
    /// The way it was read.
    pub axis: Axis,
    /// How far along that way, in metres, −10 to 10.
    pub offset_m: f64,
}

/// The design and what was read at base and head.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// From base marks to head marks in metres.
    pub height_m: f64,
    /// The design's length in metres.
    pub length_m: f64,
    /// The design's width in metres.
    pub width_m: f64,
    /// Lengths read at the base, in metres.
    pub base: Readings,
    /// Lengths read at the heads, in metres.
    pub head: Readings,
    /// The plumb bobs.
    pub bobs: Vec<Bob>,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses what the ranges do not allow, with its place.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut given = Fields::open("", value)?;
        let input = Self {
            height_m: given.length("height_m")?,
            length_m: given.length("length_m")?,
            width_m: given.length("width_m")?,
            base: readings("/base", given.need("base")?)?,
            head: readings("/head", given.need("head")?)?,
            bobs: given
                .list("bobs", 0, MOST_THINGS)?
                .into_iter()
                .map(|(place, value)| Bob::read(&place, value))
                .collect::<Result<_, _>>()?,
        };
        given.end()?;
        Ok(input)
    }
}

impl Bob {
    fn read(place: &str, value: Value) -> Result<Self, Refusal> {
        let mut given = Fields::open(place, value)?;
        let post = given.text("post")?;
        let post = Corner::ALL.into_iter().find(|c| c.name() == post).ok_or_else(|| {
            Refusal::at(given.at("post"), format!("no post is called {post:?}; a, b, c or d would do"))
        })?;
        let axis = match given.text("axis")?.as_str() {
            "length" => Axis::Length,
            "width" => Axis::Width,
            other => {
                let why = format!("no way is called {other:?}; length or width would do");
                return Err(Refusal::at(given.at("axis"), why));
            }
        };
        let offset_m = given.number("offset_m", -MOST_OFFSET_M, MOST_OFFSET_M)?;
        given.end()?;
        Ok(Self { post, axis, offset_m })
    }
}

/// How a post leans from its base.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Lean {
    /// Along the length, in metres.
    pub dx_m: f64,
    /// Across the width, in metres.
    pub dy_m: f64,
    /// In its own direction, in metres.
    pub lean_m: f64,
    /// From plumb, in degrees.
    pub lean_deg: f64,
}

/// What the readings say of the posts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// Whether the bobs tell how the heads stand over the bases.
    pub sway_known: bool,
    /// How many of two shifts and a turn the bobs do not tell.
    pub unseen: usize,
    /// The lean of each post, where the sway is known.
    pub leans: Option<Corners<Lean>>,
    /// Adjusted less read, bob by bob, where the sway is known.
    pub bob_residuals_m: Option<Vec<f64>>,
    /// Head less base between each two corners, in metres.
    pub spacing_m: BTreeMap<Pair, f64>,
}

/// Works out how the posts lean.
///
/// # Errors
/// Refuses, at `/base` or `/head`, readings that do not fix a shape or
/// contradict each other; at `/bobs`, bobs to which no turn fits.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let design = Corners::design(input.length_m, input.width_m);
    let base = corners("/base", &design, &input.base)?;
    let head = corners("/head", &design, &input.head)?;
    let unseen = unseen(&design, &input.bobs);
    let sway = if unseen == 0 { Some(sway(&base, &head, &input.bobs)?) } else { None };
    Ok(Out {
        sway_known: unseen == 0,
        unseen,
        bob_residuals_m: sway.map(|head| {
            input.bobs.iter().map(|bob| along(&head, bob) - along(&base, bob) - bob.offset_m).collect()
        }),
        leans: sway.map(|head| Corners::of(|post| lean(*base.at(post), *head.at(post), input.height_m))),
        spacing_m: Pair::CORNERS
            .into_iter()
            .filter_map(|pair| {
                let (from, to) = pair.ends();
                let from = from?;
                Some((pair, head.distance_m(from, to) - base.distance_m(from, to)))
            })
            .collect(),
    })
}

fn corners(place: &str, design: &Corners<Point>, readings: &Readings) -> Result<Corners<Point>, Refusal> {
    let survey = survey(design, readings);
    if survey.lacking > 0 {
        let why = format!("these readings do not fix the shape; {} more would do", survey.lacking);
        return Err(Refusal::at(place, why));
    }
    Ok(shape(&survey).map_err(|e| Refusal::at(place, e.to_string()))?.corners)
}

/// How many of two shifts and a turn the bobs do not tell, judged on the
/// design: at least 1 where they tell one of them badly.
fn unseen(design: &Corners<Point>, bobs: &[Bob]) -> usize {
    if bobs.is_empty() {
        return 3;
    }
    let radius = design.a[0].hypot(design.a[1]);
    let rows = bobs.iter().map(|bob| {
        let [x, y] = *design.at(bob.post);
        match bob.axis {
            Axis::Length => [1.0, 0.0, -y / radius],
            Axis::Width => [0.0, 1.0, x / radius],
        }
    });
    let rows: Vec<f64> = rows.flatten().collect();
    let values = DMatrix::from_row_slice(bobs.len(), 3, &rows).singular_values();
    let greatest = values.max();
    let rank = values.iter().filter(|v| **v > RANK * greatest).count();
    if rank == 3 && values.min() >= LEAST_KNOWN { 0 } else { (3 - rank).max(1) }
}

/// The head moved as one piece so that its bobs fit best.
///
/// For any turn the best shifts are the means of what is left, one for each
/// way; with these taken out the turn is the only unknown, found from none.
fn sway(base: &Corners<Point>, head: &Corners<Point>, bobs: &[Bob]) -> Result<Corners<Point>, Refusal> {
    let quarter = head.map(|[x, y]| [-y, *x]);
    let each = |of: &dyn Fn(&Bob) -> f64| DVector::from_iterator(bobs.len(), bobs.iter().map(of));
    let straight = each(&|bob| along(head, bob));
    let across = each(&|bob| along(&quarter, bob));
    let should = each(&|bob| along(base, bob) + bob.offset_m);
    let turn = turn(&less_means(bobs, &straight), &less_means(bobs, &across), &less_means(bobs, &should));
    let (sin, cos) = turn
        .ok_or_else(|| Refusal::at("/bobs", "no turn of the heads fits these; read the bobs again"))?
        .sin_cos();
    let left = should - straight * cos - across * sin;
    let (shift_x, shift_y) = (mean(bobs, &left, Axis::Length), mean(bobs, &left, Axis::Width));
    Ok(head.map(|[x, y]| [cos * x - sin * y + shift_x, sin * x + cos * y + shift_y]))
}

/// The turn, in radians, that brings cos·straight + sin·across nearest to
/// where the bobs should be.
fn turn(straight: &DVector<f64>, across: &DVector<f64>, should: &DVector<f64>) -> Option<f64> {
    let rounding = 16.0 * f64::EPSILON * straight.amax().max(across.amax()).max(should.amax());
    let found = descend(DVector::zeros(1), 1.0, |turn| {
        let (sin, cos) = turn.sum().sin_cos();
        let there = straight * cos + across * sin;
        let off = &there - should;
        let rate = across * cos - straight * sin;
        let one = |number: f64| DMatrix::from_element(1, 1, number);
        Ground {
            height: 0.5 * off.norm_squared(),
            blur: off.iter().map(|off| rounding * (off.abs() + rounding)).sum(),
            slope: DVector::from_element(1, off.dot(&rate)),
            bend: one(rate.norm_squared() - off.dot(&there)),
            firm: one(rate.norm_squared()),
        }
    });
    found.map(|turn| turn.sum())
}

fn along(corners: &Corners<Point>, bob: &Bob) -> f64 {
    let [x, y] = *corners.at(bob.post);
    match bob.axis {
        Axis::Length => x,
        Axis::Width => y,
    }
}

/// The mean over the bobs read one way.
fn mean(bobs: &[Bob], all: &DVector<f64>, axis: Axis) -> f64 {
    let these = || bobs.iter().zip(all).filter(|(bob, _)| bob.axis == axis);
    these().map(|(_, number)| number).sum::<f64>() / these().count().max(1) as f64
}

fn less_means(bobs: &[Bob], all: &DVector<f64>) -> DVector<f64> {
    let (x, y) = (mean(bobs, all, Axis::Length), mean(bobs, all, Axis::Width));
    let middle = |bob: &Bob| if bob.axis == Axis::Length { x } else { y };
    DVector::from_iterator(bobs.len(), bobs.iter().zip(all).map(|(bob, number)| number - middle(bob)))
}

fn lean([x, y]: Point, [u, v]: Point, height_m: f64) -> Lean {
    let (dx_m, dy_m) = (u - x, v - y);
    let lean_m = dx_m.hypot(dy_m);
    Lean { dx_m, dy_m, lean_m, lean_deg: (lean_m / height_m).atan().to_degrees() }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::json;

    use super::super::net::Reading;
    use super::*;

    fn all(corners: &Corners<Point>) -> Readings {
        let read = |pair: Pair| Some((pair, Reading::One(corners.distance_m(pair.ends().0?, pair.ends().1))));
        Pair::CORNERS.into_iter().filter_map(read).collect()
    }

    fn frame(bobs: Vec<Bob>) -> In {
        let plan = all(&Corners::design(8.0, 6.0));
        In { height_m: 2.1, length_m: 8.0, width_m: 6.0, base: plan.clone(), head: plan, bobs }
    }

    fn bob(post: Corner, axis: Axis, offset_m: f64) -> Bob {
        Bob { post, axis, offset_m }
    }

    #[test]
    fn too_few_bobs_leave_the_sway_unseen() {
        use Axis::{Length, Width};
        use Corner::{A, B, C, D};
        let unseen = |bobs: &[(Corner, Axis)]| {
            let out = run(&frame(bobs.iter().map(|(post, axis)| bob(*post, *axis, 0.0)).collect())).unwrap();
            assert_eq!((out.sway_known, out.leans.is_some()), (out.unseen == 0, out.unseen == 0));
            out.unseen
        };
        assert_eq!(unseen(&[]), 3);
        assert_eq!(unseen(&[(A, Length)]), 2);
        // Two posts in line with the way they were read tell the same.
        assert_eq!(unseen(&[(A, Length), (B, Length)]), 2);
        assert_eq!(unseen(&[(A, Length), (D, Length)]), 1);
        assert_eq!(unseen(&[(A, Length), (A, Width)]), 1);
        assert_eq!(unseen(&[(A, Length), (C, Length), (A, Width)]), 0);
        assert_eq!(unseen(&[(A, Length), (A, Width), (A, Width)]), 1);
    }

    #[test]
    fn a_turn_that_is_told_badly_is_not_known() {
        use Axis::{Length, Width};
        // On a long narrow plan two bobs along the length hardly tell a turn.
        let narrow = Corners::design(10.0, 0.5);
        let bobs = [bob(Corner::A, Length, 0.0), bob(Corner::D, Length, 0.0), bob(Corner::B, Width, 0.0)];
        assert_eq!(unseen(&narrow, &bobs), 1);
    }

    #[test]
    fn a_base_or_head_that_is_not_fixed_is_refused() {
        let mut input = frame(Vec::new());
        input.base.remove(&Pair::Ac);
        input.base.remove(&Pair::Bd);
        assert_eq!(run(&input).unwrap_err().place, "/base");
        let mut input = frame(Vec::new());
        input.head.clear();
        assert_eq!(run(&input).unwrap_err().place, "/head");
        let mut input = frame(Vec::new());
        input.head.insert(Pair::Ab, Reading::One(1000.0));
        assert_eq!(run(&input).unwrap_err().place, "/head");
    }

    #[test]
    fn each_slip_in_the_input_is_refused_where_it_is() {
        let plan = json!({"ab": 8, "bc": 6, "cd": 8, "da": 6, "ac": 10});
        let good = json!({"height_m": 2.1, "length_m": 8, "width_m": 6, "base": plan, "head": plan,
            "bobs": [{"post": "a", "axis": "length", "offset_m": -0.01}]});
        assert!(In::read(good.clone()).is_ok());
        for (place, wrong) in [
            ("/height_m", json!(0)),
            ("/base/ab", json!(0)),
            ("/base/sigma_m", json!(0.01)),
            ("/head/ac", json!([])),
            ("/bobs", json!({})),
            ("/bobs/0/post", json!("e")),
            ("/bobs/0/axis", json!("height")),
            ("/bobs/0/axis", json!(null)),
            ("/bobs/0/offset_m", json!(10.1)),
            ("/sigma_m", json!(0.01)),
        ] {
            let mut input = good.clone();
            let (parent, key) = place.rsplit_once('/').unwrap();
            input.pointer_mut(parent).unwrap()[key] = wrong;
            assert_eq!(In::read(input).unwrap_err().place, place);
        }
    }

    proptest! {
        #[test]
        fn a_head_moved_as_one_piece_is_found_with_any_bobs_that_tell(
            along in -0.5..0.5, across in -0.5..0.5, turn in -0.3..0.3_f64,
            bobs in prop::collection::vec((0..4_usize, any::<bool>()), 3..12),
        ) {
            let design = Corners::design(8.0, 6.0);
            let (sin, cos) = turn.sin_cos();
            let moved = design.map(|[x, y]| [cos * x - sin * y + along, sin * x + cos * y + across]);
            let bobs = bobs.into_iter().map(|(post, length)| {
                let axis = if length { Axis::Length } else { Axis::Width };
                let mut one = bob(Corner::ALL[post], axis, 0.0);
                one.offset_m = super::along(&moved, &one) - super::along(&design, &one);
                one
            });
            let out = run(&frame(bobs.collect())).unwrap();
            prop_assert!(out.spacing_m.values().all(|apart| apart.abs() < 1e-13));
            let Some(leans) = out.leans else { return Ok(()) };
            for corner in Corner::ALL {
                let (lean, [x, y], [u, v]) = (leans.at(corner), design.at(corner), moved.at(corner));
                // The least singular value is 0.1: rounding grows tenfold and more.
                prop_assert!((lean.dx_m - (u - x)).abs() < 1e-12 && (lean.dy_m - (v - y)).abs() < 1e-12);
            }
        }

        /// What is left over cannot be made less by a shift: along each way
        /// the residuals add up to nothing.
        #[test]
        fn the_residuals_of_each_way_add_up_to_nothing(offsets in prop::collection::vec(-1.0..1.0, 8)) {
            let each = Corner::ALL.into_iter().flat_map(|post| [(post, Axis::Length), (post, Axis::Width)]);
            let bobs = each.zip(&offsets).map(|((post, axis), offset_m)| bob(post, axis, *offset_m));
            let input = frame(bobs.collect());
            let left = run(&input).unwrap().bob_residuals_m.unwrap();
            for axis in [Axis::Length, Axis::Width] {
                let these = left.iter().zip(&input.bobs).filter(|(_, bob)| bob.axis == axis);
                prop_assert!(these.map(|(v, _)| v).sum::<f64>().abs() < 1e-12);
            }
        }
    }
}
