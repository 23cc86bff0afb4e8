//! Planning the days of all houses.

use std::path::Path;

use spanwright::book::{Book, Opening};

use super::clock::{Line, Trial, time};

/// Measures it in two books, to reading all houses at a glance.
pub fn line(empty: &Path, large: &Path) -> Line {
    let open = |path: &Path| Book::open(path, Opening::Existing).expect("the book");
    let (small_book, large_book) = (open(empty), open(large));
    let now = "2030-10-14T08:00:00+10:00".parse().expect("a moment");
    let (small, many) = (small_book.days(now).expect("asked"), large_book.days(now).expect("asked"));
    Trial {
        what: "planning the days, to reading all houses".to_owned(),
        empty: Box::new(|| time(|| small.plan().expect("a plan"))),
        large: Box::new(|| time(|| many.plan().expect("a plan"))),
        bare: Box::new(|| time(|| large_book.glances().expect("told"))),
    }
    .run(5)
}
