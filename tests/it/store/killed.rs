//! Killed at any instant, the book opens again with all that was kept.

use std::thread::sleep;
use std::time::Duration;

use spanwright::book::Filter;

use super::another::Another;
use super::told::Shelf;

#[test]
fn a_book_whose_writer_was_killed_has_all_that_was_kept_and_nothing_by_halves() {
    const BOOKS: u64 = 30;
    const KILLS: u64 = 8;
    let mut acknowledged = 0;
    for round in 0..BOOKS {
        let shelf = Shelf::new();
        let mut kept: Vec<String> = vec![];
        for kill in 0..KILLS {
            let mut writing = Another::on(&shelf).writes();
            // The first is killed while it begins the book, the others while they open it or write.
            if kill % 4 != 0 {
                kept.extend(writing.next_kept());
            }
            sleep(Duration::from_micros((round * KILLS + kill) * 379 % 12_000));
            kept.extend(writing.killed());

            let book = shelf.book();
            for id in &kept {
                book.entry(id).expect("what was kept is there");
            }
            let houses = book.houses(None, u32::MAX).expect("houses");
            assert!(houses.len() >= kept.len());
            for house in houses {
                let filter = Filter { house: Some(house.id), ..Filter::default() };
                assert_eq!(book.log(&filter).expect("its entries").len(), 3, "whole or not at all");
            }
        }
        acknowledged += kept.len();
        assert_eq!(shelf.book().verify().expect("verified"), []);
    }
    assert!(acknowledged > 100, "{acknowledged} were kept before the kills");
}
