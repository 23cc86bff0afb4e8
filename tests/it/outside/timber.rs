use serde_json::{Value, json};

use super::asked::{answer, near, number};

/// Source: a published one-roll example, cut from 5,600 mm (13 widths, 219
/// pieces; figures from a transcription): 73 rolls are the fewest, 0.401 % is
/// wasted, first fit decreasing needs 82. The bound is the linear program's
/// 72.92, which scipy 1.17.1 (optimize.linprog) gives too.
#[test]
fn a_published_list_takes_seventy_three_and_that_is_proved() {
    let widths = [
        (1380, 22),
        (1520, 25),
        (1560, 12),
        (1710, 14),
        (1820, 18),
        (1880, 18),
        (1930, 20),
        (2000, 10),
        (2050, 12),
        (2100, 14),
        (2140, 16),
        (2150, 18),
        (2200, 20),
    ];
    let pieces: Vec<Value> = widths
        .iter()
        .map(|(mm, count)| {
            json!({"name": mm.to_string(), "length_m": f64::from(*mm) / 1000.0, "count": count})
        })
        .collect();
    let out = answer("timber", json!({"stock": [{"length_m": 5.6}], "pieces": pieces, "kerf_m": 0}));
    assert_eq!((&out["poles"], &out["bound"], &out["proved"]), (&json!(73), &json!(73), &json!(true)));
    near(100.0 * number(&out, "/waste_m") / number(&out, "/length_m"), 0.401, 5e-4);
    assert!(first_fit_decreasing(5600, &widths) == 82, "the simple way, for comparison");
}

/// The poles that first fit decreasing takes.
fn first_fit_decreasing(length: u32, pieces: &[(u32, u32)]) -> usize {
    let mut rooms: Vec<u32> = Vec::new();
    for (piece, count) in pieces.iter().rev() {
        for _ in 0..*count {
            match rooms.iter_mut().find(|room| **room >= *piece) {
                Some(room) => *room -= piece,
                None => rooms.push(length - piece),
            }
        }
    }
    rooms.len()
}

/// Lengths and diameters in millimetres; stock as (length, count, diameter),
/// pieces as (length, count, least diameter).
type Kinds<'k> = (&'k [(u32, Option<u32>, Option<u32>)], &'k [(u32, u32, u32)]);

/// Checks the length made, the number of poles and their length.
#[track_caller]
fn comes_to((stock, pieces): Kinds, kerf_mm: u32, (made_mm, poles, length_mm): (u32, u32, u32)) {
    let metres = |mm: u32| f64::from(mm) / 1000.0;
    let stock: Vec<Value> = stock
        .iter()
        .map(|(length, count, d)| json!({"length_m": metres(*length), "count": count, "d_m": d.map(metres)}))
        .collect();
    let pieces: Vec<Value> = pieces
        .iter()
        .enumerate()
        .map(|(i, (length, count, d))| {
            json!({
                "name": i.to_string(), "length_m": metres(*length), "count": count, "min_d_m": metres(*d),
            })
        })
        .collect();
    let out = answer("timber", json!({"stock": stock, "pieces": pieces, "kerf_m": metres(kerf_mm)}));
    near(number(&out, "/length_m") - number(&out, "/waste_m"), metres(made_mm), 1e-9);
    near(number(&out, "/length_m"), metres(length_mm), 1e-9);
    assert_eq!((&out["poles"], &out["bound"]), (&json!(poles), &json!(poles)));
}

/// Source: scipy 1.17.1, optimize.milp (HiGHS) over all ways to cut a pole, on
/// invented lists: the most length made, then the fewest poles, then the least
/// length, one after the other.
#[test]
fn stocks_of_several_lengths_are_used_as_well_as_can_be() {
    comes_to(
        (
            &[
                (4000, None, Some(80)),
                (3500, Some(4), Some(160)),
                (7000, Some(10), None),
                (6500, None, Some(80)),
            ],
            &[
                (3000, 6, 0),
                (1500, 7, 0),
                (3000, 1, 150),
                (1000, 7, 0),
                (500, 6, 0),
                (3000, 8, 0),
                (4000, 8, 0),
            ],
        ),
        5,
        (97_500, 16, 105_000),
    );
    comes_to(
        (
            &[
                (5850, Some(2), Some(120)),
                (3100, Some(0), Some(120)),
                (3780, None, None),
                (3340, None, Some(120)),
            ],
            &[
                (2450, 2, 150),
                (2280, 1, 150),
                (2110, 0, 0),
                (2760, 3, 0),
                (800, 2, 0),
                (3030, 6, 100),
                (3380, 8, 100),
                (2500, 9, 100),
                (1920, 1, 0),
                (2400, 2, 0),
            ],
        ),
        5,
        (91_500, 30, 109_180),
    );
    comes_to(
        (
            &[(4500, None, None), (6000, Some(3), Some(120)), (6500, Some(3), Some(120))],
            &[
                (3500, 9, 150),
                (3000, 2, 100),
                (1500, 3, 0),
                (3500, 7, 100),
                (2500, 5, 100),
                (3000, 1, 150),
                (500, 3, 100),
            ],
        ),
        0,
        (83_500, 19, 94_000),
    );
    comes_to(
        (
            &[(3500, None, None), (5500, Some(10), None)],
            &[(2500, 10, 0), (3000, 6, 0), (1500, 2, 150), (500, 6, 0), (500, 5, 150)],
        ),
        0,
        (51_500, 10, 53_000),
    );
}

/// Source: as above; here thick poles run out, and pieces are lacking.
#[test]
fn where_poles_run_out_as_much_is_made_as_can_be() {
    comes_to(
        (
            &[
                (5500, None, Some(80)),
                (3000, Some(5), Some(160)),
                (6500, None, Some(80)),
                (5000, Some(1), Some(120)),
            ],
            &[
                (2000, 10, 0),
                (3500, 4, 100),
                (1000, 7, 100),
                (2500, 1, 150),
                (2500, 10, 0),
                (4000, 8, 0),
                (2500, 6, 0),
                (3500, 10, 150),
                (1500, 4, 100),
                (4000, 3, 100),
                (3000, 3, 0),
            ],
        ),
        0,
        (120_500, 22, 121_000),
    );
    comes_to(
        (
            &[(4000, Some(12), Some(120)), (5600, Some(11), Some(80)), (5600, Some(5), Some(160))],
            &[
                (600, 1, 150),
                (4000, 3, 0),
                (3900, 4, 0),
                (3800, 7, 0),
                (2200, 6, 100),
                (3900, 10, 150),
                (2400, 3, 0),
                (1200, 4, 0),
            ],
        ),
        0,
        (99_500, 27, 132_000),
    );
}
