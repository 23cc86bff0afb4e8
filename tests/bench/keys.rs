//! From a key to the cells that change: update, view and difference.

use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use chrono::{TimeZone, Utc};
use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use spanwright::book::{Book, Opening};
use spanwright::build::{House, Moment};
use spanwright::screen::model::{DayBookPage, HousePage, Model, Page, RowPage};
use spanwright::screen::msg::{Answer, Msg};
use spanwright::screen::update::update;
use spanwright::screen::view::view;

use super::bare;
use super::clock::{Line, Run, Trial, time};

/// The houses that the screen has told at once.
const ROW: usize = 25;

/// A page, and two keys that change it and change it back.
type Opened = fn(&Book) -> (Model, [KeyCode; 2]);

const PAGES: [(&str, Opened); 4] = [
    ("row of houses", row),
    ("house", |book| (house(book), [KeyCode::Down, KeyCode::Up])),
    ("day book", day_book),
    ("reading form", |book| {
        let mut model = house(book);
        press(&mut model, KeyCode::Char('3'));
        (model, [KeyCode::Char('4'), KeyCode::Backspace])
    }),
];

/// Measures every page in two books and two sizes.
pub fn lines(empty: &Path, large: &Path) -> Vec<Line> {
    let mut lines = Vec::new();
    for (what, opened) in PAGES {
        for (width, height) in [(80, 24), (120, 40)] {
            let trial = Trial {
                what: format!("key to frame, {what}, {width}x{height}"),
                empty: frames(empty, opened, width, height),
                large: frames(large, opened, width, height),
                bare: plain(width, height),
            };
            lines.push(trial.run(100));
        }
    }
    lines
}

fn frames(book: &Path, opened: Opened, width: u16, height: u16) -> Run<'static> {
    let book = Book::open(book, Opening::Existing).expect("a book");
    let (mut model, keys) = opened(&book);
    let mut terminal = screen(width, height);
    draw(&mut terminal, &model);
    let mut keys = keys.into_iter().cycle();
    Box::new(move || {
        let key = keys.next().unwrap_or(KeyCode::Null);
        time(|| {
            press(&mut model, key);
            draw(&mut terminal, &model);
        })
    })
}

fn plain(width: u16, height: u16) -> Run<'static> {
    let mut terminal = screen(width, height);
    let mut turn = 0;
    Box::new(move || -> Duration {
        turn += 1;
        time(|| bare::draw(&mut terminal, turn))
    })
}

fn screen(width: u16, height: u16) -> Terminal<TestBackend> {
    Terminal::new(TestBackend::new(width, height)).expect("a screen")
}

fn draw(terminal: &mut Terminal<TestBackend>, model: &Model) {
    let drawing = terminal.draw(|frame| drop(view(model, frame.buffer_mut())));
    drawing.expect("drawn");
}

fn press(model: &mut Model, key: KeyCode) {
    update(model, Msg::Key(KeyEvent::new(key, KeyModifiers::NONE)), now());
}

fn now() -> Moment {
    Utc.with_ymd_and_hms(2031, 10, 14, 8, 0, 0).single().expect("a moment").fixed_offset()
}

/// A page that has been told what the book says.
fn told(page: Page, answer: Answer) -> Model {
    let mut model = Model::new("Oru".to_owned(), now());
    model.page = page;
    model.reload();
    let asked = model.asked;
    update(&mut model, Msg::Told { asked, answer }, now());
    model
}

fn row(book: &Book) -> (Model, [KeyCode; 2]) {
    let lines = book.houses(None, u32::MAX).expect("its houses");
    let drawn = lines.iter().take(ROW).map(|line| Arc::new(fold(book, line.id))).collect();
    (
        told(
            Page::Row(RowPage::default()),
            Answer::Row { lines, drawn, holds: Vec::new(), tied: Vec::new() },
        ),
        [KeyCode::Right, KeyCode::Left],
    )
}

fn house(book: &Book) -> Model {
    let houses = book.houses(None, u32::MAX).expect("its houses");
    let house = Arc::new(fold(book, houses[houses.len() / 2].id));
    let mut model =
        told(Page::House(HousePage::new(house.id, None)), Answer::House { house, houses, trees: Vec::new() });
    if let Page::House(page) = &mut model.page {
        // The posts have the most points, and their drawing shows how they lean.
        page.open(2, None);
        page.how = false;
    }
    model
}

fn day_book(book: &Book) -> (Model, [KeyCode; 2]) {
    let page = DayBookPage::default();
    let lines = book.log(&page.filter(false)).expect("a page");
    let houses = book.houses(None, u32::MAX).expect("its houses");
    let answer = Answer::DayBook { lines, more: true, older: false, houses };
    (told(Page::DayBook(page), answer), [KeyCode::Down, KeyCode::Up])
}

fn fold(book: &Book, id: uuid::Uuid) -> House {
    House::of(id, &book.entries_of(Some(id)).expect("its entries")).expect("a house")
}
