//! What must hold for any four pegs, and what is refused.

use proptest::prelude::*;
use serde_json::json;

use super::super::net::MOST_REPEATS;
use super::*;

/// The lengths between pegs that stand so, all ten of them.
fn lengths(stand: &Corners<Point>, mark: Point) -> BTreeMap<Pair, f64> {
    let from_mark = |[x, y]: Point| (x - mark[0]).hypot(y - mark[1]);
    let length = |pair: Pair| match pair.ends() {
        (Some(from), to) => stand.distance_m(from, to),
        (None, to) => from_mark(*stand.at(to)),
    };
    Pair::ALL.into_iter().map(|pair| (pair, length(pair))).collect()
}

fn once(lengths: &BTreeMap<Pair, f64>) -> Readings {
    lengths.iter().map(|(pair, length)| (*pair, Reading::One(*length))).collect()
}

fn plan(readings: Readings) -> In {
    In { length_m: 8.0, width_m: 6.0, readings, sigma_m: SIGMA_M }
}

fn solved(input: &In) -> Found {
    match run(input).unwrap() {
        Out::Found(found) => *found,
        Out::Lacking(lacking) => panic!("{lacking:?}"),
    }
}

fn only(names: &str) -> Readings {
    let all = lengths(&Corners::design(8.0, 6.0), [0.0, 0.0]);
    let named = all.into_iter().filter(|(pair, _)| names.split(' ').any(|name| name == pair.name()));
    named.map(|(pair, length)| (pair, Reading::One(length))).collect()
}

fn apart([x, y]: Point, [u, v]: Point) -> f64 {
    (u - x).hypot(v - y)
}

/// Four pegs near the design of 8 m by 6 m, each up to 0.4 m off.
fn pegs() -> impl Strategy<Value = Corners<Point>> {
    prop::array::uniform4([-0.4..0.4, -0.4..0.4]).prop_map(|off| {
        let design = Corners::design(8.0, 6.0);
        Corners::of(|c| [design.at(c)[0] + off[c as usize][0], design.at(c)[1] + off[c as usize][1]])
    })
}

/// All ten lengths, with slips of up to 0.2 m.
fn slipped() -> impl Strategy<Value = BTreeMap<Pair, f64>> {
    (pegs(), prop::collection::vec(-0.2..0.2, 10)).prop_map(|(stand, slips)| {
        let lengths = lengths(&stand, [0.0, 0.0]);
        lengths.into_iter().zip(slips).map(|((pair, length), slip)| (pair, length + slip)).collect()
    })
}

#[test]
fn readings_that_do_not_fix_the_shape_say_what_is_lacking() {
    for (names, lacking, unused) in [
        ("", 5, vec![]),
        ("ab bc cd da", 1, vec![]),
        ("ab bc cd da oa oc", 1, vec![Pair::Oa, Pair::Oc]),
        ("ab bc cd da oa ob", 1, vec![]),
        // Each half lies in one line with its diagonal and tells nothing new.
        ("ac bd oa ob oc od", 3, vec![]),
        ("oa", 5, vec![Pair::Oa]),
    ] {
        let out = run(&plan(only(names))).unwrap();
        assert_eq!(out, Out::Lacking(Lacking { determined: false, lacking, unused }), "{names}");
    }
    let shown = serde_json::to_string(&run(&plan(only("oc ab"))).unwrap()).unwrap();
    assert_eq!(shown, r#"{"determined":false,"lacking":4,"unused":["oc"]}"#);
    // Fixed with nothing to check it: one way by a diagonal, one by the mark.
    assert_eq!(solved(&plan(only("ab bc cd da bd"))).redundancy, 0);
    assert_eq!(solved(&plan(only("ab bc cd da oa ob oc"))).redundancy, 0);
}

#[test]
fn nothing_is_tested_where_nothing_checks_it() {
    let found = solved(&plan(only("ab bc cd da ac")));
    assert_eq!((found.sigma_0, found.chance), (None, None));
    assert!(found.w.values().all(|w| *w == Reading::One(None)));
    assert!(found.least_findable_m.values().all(|least| *least == Reading::One(None)));
}

#[test]
fn lists_stay_lists_and_single_readings_single() {
    let mut readings = only("ab bc cd da ac");
    readings.insert(Pair::Ac, Reading::Many(vec![10.01, 9.99]));
    readings.insert(Pair::Bc, Reading::Many(vec![6.0]));
    let out = serde_json::to_value(solved(&plan(readings))).unwrap();
    for key in ["residuals_m", "redundancy_numbers", "w", "least_findable_m"] {
        let each = &out[key];
        assert!(each["ab"].as_array().is_none(), "{key}");
        assert_eq!(each["ac"].as_array().map(Vec::len), Some(2), "{key}");
        assert_eq!(each["bc"].as_array().map(Vec::len), Some(1), "{key}");
        let pairs: Vec<_> = each.as_object().unwrap().keys().cloned().collect();
        assert_eq!(pairs, ["ab", "bc", "cd", "da", "ac"], "{key}");
    }
    assert_eq!(out["w"]["bc"], json!([null]));
}

#[test]
fn a_slip_among_repeats_is_found_by_the_others() {
    let mut readings = only("ab bc cd da ac bd");
    readings.insert(Pair::Ab, Reading::Many(vec![8.0, 8.0, 8.1]));
    assert_eq!(solved(&plan(readings)).suspects, [Pair::Ab]);
}

#[test]
fn what_cannot_be_laid_out_is_refused_at_the_readings() {
    for (pair, length) in [(Pair::Ac, 20.0), (Pair::Ac, 14.0), (Pair::Ac, 1e-6)] {
        let mut readings = only("ab bc cd da ac");
        readings.insert(pair, Reading::One(length));
        assert_eq!(run(&plan(readings)).unwrap_err().place, "/readings");
    }
    let mut readings = only("ab bc cd da ac bd");
    readings.insert(Pair::Ac, Reading::One(1000.0));
    assert_eq!(run(&plan(readings)).unwrap_err().place, "/readings");
}

#[test]
fn each_slip_in_the_input_is_refused_where_it_is() {
    let good = json!({"length_m": 8, "width_m": 6, "sigma_m": 0.003, "readings": {"ab": 8, "oc": [5, 5.01]}});
    assert!(In::read(good.clone()).is_ok());
    let many = vec![8.0; MOST_REPEATS + 1];
    for (place, wrong) in [
        ("/length_m", json!(0)),
        ("/width_m", json!(1000.1)),
        ("/width_m", json!("6")),
        ("/sigma_m", json!(0)),
        ("/sigma_m", json!(null)),
        ("/sigma_m", json!(2e12)),
        ("/readings", json!([])),
        ("/readings", json!(null)),
        ("/readings/ab", json!(null)),
        ("/readings/ab", json!(-8)),
        ("/readings/ab", json!([])),
        ("/readings/ab", json!(many)),
        ("/readings/oc/1", json!(1e-7)),
        ("/readings/oc/0", json!([5])),
        ("/readings/ca", json!(8)),
        ("/sigma", json!(0.01)),
    ] {
        let mut input = good.clone();
        let (parent, key) = place.rsplit_once('/').unwrap();
        match input.pointer_mut(parent).unwrap() {
            Value::Array(all) => all[key.parse::<usize>().unwrap()] = wrong,
            object => object[key] = wrong,
        }
        assert_eq!(In::read(input).unwrap_err().place, place);
    }
    for missing in ["length_m", "width_m", "readings"] {
        let mut input = good.clone();
        input.as_object_mut().unwrap().remove(missing);
        assert_eq!(In::read(input).unwrap_err().place, format!("/{missing}"));
    }
}

#[test]
fn ten_thousand_readings_are_laid_out_as_ten_lengths() {
    let repeats = |length: f64| (0..1000).map(|i| length + f64::from(i % 7 - 3) * 0.004).collect();
    let lengths = lengths(&Corners::design(8.0, 6.0), [0.0, 0.0]);
    let readings = lengths.into_iter().map(|(pair, length)| (pair, Reading::Many(repeats(length)))).collect();
    let found = solved(&plan(readings));
    assert_eq!(found.distances.len(), 10);
    assert_eq!(found.redundancy, 9993);
}

proptest! {
    #[test]
    fn pegs_come_back_as_they_stand(stand in pegs(), mark in [-0.3..0.3, -0.3..0.3]) {
        let read = lengths(&stand, mark);
        let found = solved(&plan(once(&read)));
        for pair in Pair::CORNERS {
            let (from, to) = pair.ends();
            let laid = found.corners.distance_m(from.unwrap(), to);
            // Rounding of lengths of ten metres.
            prop_assert!((laid - read[&pair]).abs() < 1e-13);
        }
        prop_assert!(found.residuals_m.values().flat_map(Reading::all).all(|v| v.abs() < 1e-13));
        // The mark lies on the origin.
        for corner in Corner::ALL {
            let from_mark = apart(*found.corners.at(corner), [0.0, 0.0]);
            prop_assert!((from_mark - apart(*stand.at(corner), mark)).abs() < 1e-13);
        }
        prop_assert!(found.suspects.is_empty());
    }

    #[test]
    fn no_turn_lays_the_pegs_nearer_to_the_design(read in slipped(), turn in -0.1..0.1_f64, mark: bool) {
        let mut readings = once(&read);
        if !mark {
            readings.retain(|pair, _| !pair.from_mark());
        }
        let found = solved(&plan(readings));
        let (sin, cos) = turn.sin_cos();
        let turned = found.corners.map(|[x, y]| [cos * x - sin * y, sin * x + cos * y]);
        let off = |corners: &Corners<Point>| -> f64 {
            Corner::ALL.iter().map(|c| apart(*corners.at(*c), *found.design.at(*c)).powi(2)).sum()
        };
        prop_assert!(off(&found.corners) <= off(&turned) + 1e-12);
        if !mark {
            let middle = Corner::ALL.iter().fold([0.0, 0.0], |m, c| [m[0] + found.corners.at(*c)[0], m[1] + found.corners.at(*c)[1]]);
            prop_assert!(middle[0].abs() < 1e-13 && middle[1].abs() < 1e-13);
        }
    }

    #[test]
    fn moves_bring_the_pegs_to_the_design(read in slipped()) {
        let found = solved(&plan(once(&read)));
        for corner in Corner::ALL {
            let ([x, y], by) = (*found.corners.at(corner), found.moves.at(corner));
            prop_assert!(apart([x + by.dx_m, y + by.dy_m], *found.design.at(corner)) < 1e-14);
            prop_assert!((by.distance_m - by.dx_m.hypot(by.dy_m)).abs() < 1e-15);
        }
        let around: f64 = Corner::ALL.iter().map(|c| found.angles_deg.at(*c)).sum();
        prop_assert!((around - 360.0).abs() < 1e-10);
        let sum: f64 = found.redundancy_numbers.values().flat_map(Reading::all).sum();
        prop_assert!((sum - found.redundancy as f64).abs() < 1e-12);
    }

    /// Seen from the other end of the house the plan is the same.
    #[test]
    fn walking_round_half_the_plan_changes_nothing_but_the_names(read in slipped()) {
        use Pair::{Ab, Ac, Bc, Bd, Cd, Da, Oa, Ob, Oc, Od};
        let names = [(Ab, Cd), (Bc, Da), (Cd, Ab), (Da, Bc), (Ac, Ac), (Bd, Bd), (Oa, Oc), (Ob, Od), (Oc, Oa), (Od, Ob)];
        let round = names.into_iter().map(|(here, there)| (here, read[&there])).collect();
        let (here, there) = (solved(&plan(once(&read))), solved(&plan(once(&round))));
        for corner in Corner::ALL {
            let [x, y] = *there.corners.at(corner.next().next());
            prop_assert!(apart(*here.corners.at(corner), [-x, -y]) < 1e-12);
        }
        prop_assert!((here.sigma_0.unwrap() / there.sigma_0.unwrap() - 1.0).abs() < 1e-9);
    }

    /// Sizes: everything twice as great stands twice as far.
    #[test]
    fn a_plan_twice_the_size_has_the_same_shape(read in slipped()) {
        let twice = read.iter().map(|(pair, length)| (*pair, 2.0 * length)).collect();
        let one = solved(&plan(once(&read)));
        let two = solved(&In { length_m: 16.0, width_m: 12.0, sigma_m: 0.02, readings: once(&twice) });
        for corner in Corner::ALL {
            prop_assert!(apart(one.corners.at(corner).map(|x| 2.0 * x), *two.corners.at(corner)) < 1e-12);
        }
        prop_assert!((one.chance.unwrap() - two.chance.unwrap()).abs() < 1e-9);
        prop_assert_eq!(one.suspects, two.suspects);
    }

    /// A list weighs as many times its mean as it is long.
    #[test]
    fn repeats_count_as_their_mean_so_many_times(
        read in slipped(), many in prop::collection::vec(-0.1..0.1, 1..20),
    ) {
        let length = read[&Pair::Ac];
        let mean = length + many.iter().sum::<f64>() / many.len() as f64;
        let mut apart_read = once(&read);
        let mut alike = apart_read.clone();
        apart_read.insert(Pair::Ac, Reading::Many(many.iter().map(|off| length + off).collect()));
        alike.insert(Pair::Ac, Reading::Many(vec![mean; many.len()]));
        let (one, other) = (solved(&plan(apart_read)), solved(&plan(alike)));
        for corner in Corner::ALL {
            prop_assert!(apart(*one.corners.at(corner), *other.corners.at(corner)) < 1e-12);
        }
        prop_assert_eq!(one.redundancy, other.redundancy);
        prop_assert!(one.sigma_0.unwrap() >= other.sigma_0.unwrap() - 1e-12);
    }

    #[test]
    fn one_more_reading_never_leaves_more_lacking(taken in prop::collection::vec(any::<bool>(), 10), more in 0..10_usize) {
        let all = only("ab bc cd da ac bd oa ob oc od");
        let lacking = |taken: &[bool]| {
            let some = all.iter().zip(taken).filter(|(_, taken)| **taken);
            match run(&plan(some.map(|((pair, read), _)| (*pair, read.clone())).collect())).unwrap() {
                Out::Lacking(lacking) => lacking.lacking,
                Out::Found(_) => 0,
            }
        };
        let mut with = taken.clone();
        with[more] = true;
        prop_assert!(lacking(&with) <= lacking(&taken));
    }
}
