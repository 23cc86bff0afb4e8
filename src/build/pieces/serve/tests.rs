//! What is made of poles that do not do for all.

use proptest::prelude::*;

use super::*;
use crate::build::entry::Item;
use crate::build::pieces::{Plan, Size, wanted};
use crate::build::trial::Trial;

const NAMES: [&str; 4] = ["first", "second", "third", "fourth"];

fn pole(length_m: f64, d_m: f64, count: u32) -> Pole {
    Pole { size: Size { length_m, d_m }, count: Some(count) }
}

fn piece(at: usize, length_m: f64, d_m: f64, count: u32) -> Wanted {
    Wanted { item: Item::Pole, name: NAMES[at], size: Size { length_m, d_m }, count }
}

/// How many of each piece a plan makes.
fn made(plan: &Plan) -> Vec<u32> {
    let of_name = |name: &str| {
        let in_cut = |cut: &Cut| cut.pieces.iter().filter(|p| *p == name).count() as u32 * cut.count;
        plan.out.cuts.iter().map(in_cut).sum()
    };
    plan.wanted.iter().map(|w| of_name(w.name)).collect()
}

/// Source: by hand. Of 12 poles of 6 m x 18 cm ten give the ten posts of
/// 3.10 m, each beside a plate of 2.04 m or a king post or two braces, and two
/// give tie beams of 5.83 m. Then come rafters of 4.54 m: 14 from 5 m x 9 cm,
/// 8 from 7.5 m x 13 cm. For a lifting pole of 5.31 m there is none.
#[test]
fn posts_and_plates_come_before_lifting_poles() {
    let house = Trial::new("Tern house").house();
    let plan = Plan::of(wanted(&house), vec![pole(7.5, 0.13, 8), pole(6.0, 0.18, 12), pole(5.0, 0.09, 14)]);
    let counts: Vec<(&str, u32)> = plan.wanted.iter().map(|w| w.name).zip(made(&plan)).collect();
    let of = |name: &str| counts.iter().find(|(n, _)| *n == name).unwrap().1;
    assert_eq!((of("post"), of("tie beam"), of("plate"), of("wall brace")), (10, 2, 8, 8), "{counts:?}");
    assert_eq!((of("rafter"), of("lifting pole")), (22, 0), "{counts:?}");
    assert!(plan.lacking_proved && plan.out.proved, "{}", plan.told());
    for cut in plan.out.cuts.iter().filter(|cut| cut.pieces.iter().any(|p| p == "rafter")) {
        assert!(plan.pole(cut).unwrap().size.d_m < 0.18, "{cut:?}");
    }
}

/// Source: by hand. Two thick pieces fit one thick pole and two thin ones one
/// thin pole; one of each on two thick poles would be as few.
#[test]
fn of_plans_with_as_few_poles_the_thin_ones_are_taken() {
    let wanted = vec![piece(0, 3.0, 0.18, 2), piece(1, 2.9, 0.08, 2)];
    let plan = Plan::of(wanted, vec![pole(6.5, 0.18, 2), pole(6.5, 0.09, 2)]);
    let thick: Vec<&Cut> = plan.out.cuts.iter().filter(|cut| cut.stock == 0).collect();
    assert_eq!((plan.out.poles, thick.len(), thick[0].count), (2, 1, 1), "{:?}", plan.out.cuts);
    // A thin pole is taken where it is the longer one, too.
    let plan = Plan::of(vec![piece(0, 2.9, 0.08, 1)], vec![pole(3.0, 0.18, 2), pole(6.5, 0.09, 2)]);
    assert_eq!((plan.out.cuts[0].stock, plan.out.length_m), (1, 6.5));
}

#[test]
fn a_thick_piece_is_not_left_lacking_for_a_longer_thin_one_after_it() {
    let wanted = vec![piece(0, 2.0, 0.16, 1), piece(1, 5.5, 0.08, 1)];
    let plan = Plan::of(wanted, vec![pole(6.0, 0.16, 1)]);
    assert_eq!((made(&plan), plan.lacking[0].name), (vec![1, 0], "second"));
    assert!(plan.told().ends_with("no fewer would do for what is made (proved)."), "{}", plan.told());
}

/// What can be made at best in the order of the pieces, found by trying
/// everything: each piece onto each pole, or onto none.
fn best_of_all(pieces: &[Wanted], poles: &[Pole]) -> (Vec<u32>, usize) {
    let each: Vec<usize> = (0..pieces.len()).flat_map(|p| vec![p; pieces[p].count as usize]).collect();
    let all: Vec<Size> = poles.iter().flat_map(|p| vec![p.size; p.count.unwrap() as usize]).collect();
    let mut room: Vec<f64> = all.iter().map(|size| size.length_m + KERF_M + timber::SPARE_M).collect();
    let mut best = (vec![0; pieces.len()], usize::MAX);
    put(pieces, &each, &all, &mut room, &mut vec![0; pieces.len()], &mut best);
    best
}

fn put(
    pieces: &[Wanted],
    each: &[usize],
    all: &[Size],
    room: &mut [f64],
    made: &mut Vec<u32>,
    best: &mut (Vec<u32>, usize),
) {
    let Some((piece, rest)) = each.split_first() else {
        let begun = room.iter().zip(all).filter(|(room, size)| **room < size.length_m).count();
        let more = made.as_slice().cmp(best.0.as_slice());
        if more.is_gt() || (more.is_eq() && begun < best.1) {
            *best = (made.clone(), begun);
        }
        return;
    };
    let size = pieces[*piece].size;
    for at in 0..all.len() {
        // Of poles alike with as much room the first does for all.
        let twin = (0..at).any(|before| all[before] == all[at] && room[before] == room[at]);
        if all[at].d_m >= size.d_m && room[at] >= size.length_m + KERF_M && !twin {
            room[at] -= size.length_m + KERF_M;
            made[*piece] += 1;
            put(pieces, rest, all, room, made, best);
            made[*piece] -= 1;
            room[at] += size.length_m + KERF_M;
        }
    }
    put(pieces, rest, all, room, made, best);
}

fn a_pole() -> impl Strategy<Value = Pole> {
    (30_u32..70, 8_u32..19, 1_u32..3)
        .prop_map(|(dm, cm, n)| pole(f64::from(dm) / 10.0, f64::from(cm) / 100.0, n))
}

fn some_pieces() -> impl Strategy<Value = Vec<Wanted>> {
    let one = (10_u32..60, 6_u32..20, 1_u32..4);
    prop::collection::vec(one, 1..4).prop_map(|all| {
        let of = |(at, (dm, cm, n)): (usize, (u32, u32, u32))| {
            piece(at, f64::from(dm) / 10.0, f64::from(cm) / 100.0, n)
        };
        all.into_iter().enumerate().map(of).collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_piece_is_left_lacking_for_one_after_it(
        pieces in some_pieces(), poles in prop::collection::vec(a_pole(), 1..4),
    ) {
        let plan = Plan::of(pieces.clone(), poles.clone());
        let (most, fewest) = best_of_all(&pieces, &poles);
        prop_assert!(plan.lacking_proved);
        prop_assert_eq!(made(&plan), most);
        let fewest = if plan.out.poles == 0 { 0 } else { fewest };
        prop_assert_eq!(plan.out.poles as usize, fewest);
        let asked = asked(&pieces, &poles);
        for (at, pole) in poles.iter().enumerate() {
            let used: u32 = plan.out.cuts.iter().filter(|c| c.stock == at).map(|c| c.count).sum();
            prop_assert!(used <= pole.count.unwrap());
            for cut in plan.out.cuts.iter().filter(|_| used < pole.count.unwrap()) {
                let (length_m, d_m) = least(cut, &asked);
                let does = pole.size.length_m >= length_m && pole.size.d_m >= d_m;
                prop_assert!(!does || pole.size.d_m >= plan.pole(cut).unwrap().size.d_m, "{:?}", cut);
            }
        }
    }
}
