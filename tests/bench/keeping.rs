//! Keeping a reading, synced to the disk.

use std::path::Path;

use chrono::Duration;
use spanwright::book::{Book, Opening, Stamp};
use spanwright::build::draft::Draft;

use super::bare;
use super::clock::{Line, Run, Trial, time};

/// Measures it in two books.
pub fn line(empty: &Path, large: &Path, folder: &Path) -> Line {
    let conn = bare::file(&folder.join("bare.sqlite"));
    let bare = Box::new(|| time(|| bare::keep(&conn)));
    Trial { what: "keeping a reading".to_owned(), empty: keeping(empty), large: keeping(large), bare }
        .run(200)
}

fn keeping(path: &Path) -> Run<'static> {
    let mut book = Book::open(path, Opening::Existing).expect("a book");
    let houses = book.houses(None, u32::MAX).expect("its houses");
    let house = houses[houses.len() / 2].clone();
    let reading = Draft::Reading {
        point: "set-out/ab".to_owned(),
        value: "4 sp".to_owned(),
        again: false,
        with: "long rope".to_owned(),
        whose: None,
        bare: None,
    };
    let mut at = house.started + Duration::days(4000);
    Box::new(move || {
        at += Duration::minutes(1);
        let stamp = Stamp { at, now: at, by: "Oru".to_owned() };
        time(|| book.keep_draft(Some(house.id), &reading, &stamp).expect("it is kept"))
    })
}
