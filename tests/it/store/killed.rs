//! Killed at any instant, the book opens again with all that was kept.

use std::thread::sleep;
use std::time::Duration;

use spanwright::book::Filter;

use super::another::Another;
use super::merging::all;
use super::told::{Shelf, Teller};

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

#[test]
fn a_merge_that_was_killed_has_taken_in_all_or_nothing() {
    const KILLS: u64 = 16;
    let (other, mut teller) = (Shelf::new(), Teller::new());
    let mut told = teller.tells_of_everything();
    for reading in 0..1000_u32 {
        told.push(teller.reads(told[0].id, told[3].id, "ab", f64::from(reading) / 7.0));
    }
    other.book().keep(&told).expect("kept");
    let (mut nothing, mut whole) = (0, 0);
    for kill in 0..=KILLS {
        let shelf = Shelf::with_a_book();
        shelf.book().keep(&[teller.holds(None, "feast")]).expect("kept");
        let merging = Another::on(&shelf).merges(&other);
        if kill < KILLS {
            sleep(Duration::from_micros(kill * kill * 1500));
            merging.killed();
        } else {
            merging.ended();
        }
        let book = shelf.book();
        match all(&book).len() {
            1 => nothing += 1,
            count => {
                assert_eq!(count, told.len() + 1, "all or nothing");
                whole += 1;
            }
        }
        assert_eq!(book.verify().expect("verified"), []);
        drop(book);
        shelf.book().merge(&other.path()).expect("it goes on");
        assert_eq!(all(&shelf.book()).len(), told.len() + 1);
    }
    assert!(nothing > 1 && whole > 0, "{nothing} were killed in the middle, {whole} after it");
}
