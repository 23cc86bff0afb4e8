//! Which pole to cut into which pieces, held against taking each piece, the
//! longest first, from the first pole that still has room for it.

use spanwright::build::entry::Item;
use spanwright::build::pieces::{KERF_M, Plan, Pole, Size, Wanted};

use super::clock::{Line, Trial, time};

/// Twenty kinds of pieces, ten of each, no two of a length.
const KINDS: [(&str, f64, f64); 20] = [
    ("post", 3.1, 0.18),
    ("corner post", 3.3, 0.18),
    ("porch post", 2.45, 0.14),
    ("tie beam", 5.826, 0.16),
    ("plate", 2.042, 0.16),
    ("long plate", 3.784, 0.16),
    ("wall brace", 1.414, 0.08),
    ("slope brace", 4.544, 0.08),
    ("king post", 2.613, 0.12),
    ("lifting pole", 5.313, 0.12),
    ("rafter", 4.4, 0.08),
    ("porch rafter", 2.27, 0.08),
    ("batten", 3.97, 0.04),
    ("eave batten", 4.18, 0.04),
    ("floor joist", 2.91, 0.1),
    ("floor bearer", 3.57, 0.14),
    ("stair stringer", 1.83, 0.1),
    ("rail", 1.27, 0.05),
    ("door post", 2.13, 0.1),
    ("stay", 2.76, 0.05),
];
const EACH: u32 = 10;
/// The lengths of poles, all thick enough.
const POLES_M: [f64; 3] = [9.0, 7.5, 6.0];

/// Measures a list of one kind and the list of twenty.
pub fn line() -> Line {
    let whole = wanted(&KINDS);
    let plan = plan(&whole);
    let pieces: u32 = whole.iter().map(|w| w.count).sum();
    Trial {
        what: format!(
            "{pieces} pieces of {} kinds: {} poles, {}",
            whole.len(),
            plan.out.poles,
            if plan.out.proved { "proved" } else { "not proved" }
        ),
        empty: Box::new(|| time(|| self::plan(&wanted(&KINDS[..1])))),
        large: Box::new(|| time(|| self::plan(&whole))),
        bare: Box::new(|| time(|| first_fit(&whole))),
    }
    .run(5)
}

fn wanted(kinds: &[(&'static str, f64, f64)]) -> Vec<Wanted> {
    let piece = |&(name, length_m, d_m): &(&'static str, f64, f64)| Wanted {
        item: Item::Pole,
        name,
        size: Size { length_m, d_m },
        count: EACH,
    };
    kinds.iter().map(piece).collect()
}

fn plan(wanted: &[Wanted]) -> Plan {
    let poles = POLES_M.map(|length_m| Pole { size: Size { length_m, d_m: 0.2 }, count: None });
    Plan::of(wanted.to_vec(), poles.to_vec())
}

/// How many of the longest poles that takes.
fn first_fit(wanted: &[Wanted]) -> usize {
    let mut lengths: Vec<f64> =
        wanted.iter().flat_map(|w| (0..w.count).map(move |_| w.size.length_m)).collect();
    lengths.sort_by(|a, b| b.total_cmp(a));
    let mut left: Vec<f64> = Vec::new();
    for length in lengths {
        match left.iter_mut().find(|room| **room >= length) {
            Some(room) => *room -= length + KERF_M,
            None => left.push(POLES_M[0] - length - KERF_M),
        }
    }
    left.len()
}
