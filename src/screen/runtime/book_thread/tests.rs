//! The book's thread, asked and told.

use std::sync::mpsc;
use std::thread::{self, JoinHandle};

use tempfile::TempDir;

use super::*;
use crate::book::Opening;
use crate::build::brief::BriefText;
use crate::build::entry::Item;

fn stamp() -> Stamp {
    let now = "2030-10-14T08:00:00+10:00".parse().expect("a moment");
    Stamp { at: now, now, by: "Tavi".to_owned() }
}

fn start(name: &str) -> Draft {
    let mut said = BriefText::default();
    for (field, text) in [("measure", "Oru"), ("span", "1.742 m"), ("length", "4 sp"), ("ratio", "3:4")] {
        said.say(field, text);
    }
    Draft::Start { name: name.to_owned(), said }
}

fn keep(house: Option<Uuid>, draft: Draft) -> Job {
    Job::Keep { house, draft, stamp: stamp() }
}

/// The thread with a book of its own, and both ends of its talk.
struct Tried {
    _folder: TempDir,
    path: PathBuf,
    jobs: Sender<Job>,
    told: Receiver<Came>,
    planned: Receiver<DaysAsked>,
    thread: JoinHandle<()>,
}

/// Starts the thread on a new book, with these jobs piled up before it.
fn serving(piled: impl IntoIterator<Item = Job>) -> Tried {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("book.spanwright");
    let book = Book::open(&path, Opening::Create).expect("a new book");
    let (jobs, asked) = mpsc::channel();
    let (tell, told) = mpsc::channel();
    piled.into_iter().for_each(|job| jobs.send(job).expect("the other end is kept"));
    let (plans, planned) = mpsc::channel();
    let thread = thread::spawn(move || serve(book, &asked, &tell, &plans));
    Tried { _folder: folder, path, jobs, told, planned, thread }
}

impl Tried {
    fn next(&self) -> Msg {
        match self.told.recv_timeout(Duration::from_secs(30)) {
            Ok(Came::Msg(msg)) => msg,
            other => panic!("a message was expected, not {other:?}"),
        }
    }

    fn ask(&self, asked: u64, question: Question) {
        self.jobs.send(Job::Ask { asked, question }).expect("the thread runs");
    }

    fn started(&self, name: &str) -> Uuid {
        self.jobs.send(keep(None, start(name))).expect("the thread runs");
        match self.next() {
            Msg::Kept(Ok(kept)) => kept.house.expect("a house"),
            other => panic!("the start should be kept, not {other:?}"),
        }
    }
}

#[test]
fn only_the_last_of_the_questions_that_piled_up_is_answered() {
    let ask = |asked| Job::Ask { asked, question: Question::Row { around: None } };
    let tried = serving([ask(1), keep(None, start("Tern house")), ask(2)]);
    assert!(matches!(tried.next(), Msg::Kept(Ok(_))));
    let Msg::Told { asked: 2, answer: Answer::Row { lines, drawn, .. } } = tried.next() else {
        panic!("the second question is answered")
    };
    assert_eq!((lines.len(), drawn.len()), (1, 1));
    assert_eq!(drawn[0].name, "Tern house");
}

#[test]
fn a_house_is_told_as_it_is_after_what_was_kept() {
    let tried = serving([]);
    let id = tried.started("Tern house");
    let unread = |asked| {
        tried.ask(asked, Question::House(id));
        match tried.next() {
            Msg::Told { answer: Answer::House { house, .. }, .. } => {
                house.stage("set-out").expect("a stage").point("ab").expect("a point").reading.is_none()
            }
            other => panic!("a house should be told, not {other:?}"),
        }
    };
    assert!(unread(1));
    let reading = Draft::Reading {
        point: "set-out/ab".to_owned(),
        value: "6.970m".to_owned(),
        again: false,
        with: "tape".to_owned(),
        whose: None,
        bare: None,
    };
    tried.jobs.send(keep(Some(id), reading)).expect("the thread runs");
    assert!(matches!(tried.next(), Msg::Kept(Ok(kept)) if kept.house == Some(id)));
    assert!(!unread(2));
}

#[test]
fn the_stores_and_the_sum_behind_a_need_are_told() {
    let tried = serving([]);
    let id = tried.started("Tern house");
    let today = NaiveDate::from_ymd_opt(2030, 10, 14).expect("a day");
    tried.ask(1, Question::Stores { today, planned: None });
    let Msg::Told { answer: Answer::Stores { rows, ledgers, houses }, .. } = tried.next() else {
        panic!("the stores are told")
    };
    assert_eq!((rows.len(), ledgers.len(), houses.len()), (17, 0, 1));
    tried.ask(2, Question::Sum(id, Item::Post, today));
    let Msg::Told { answer: Answer::Sum { title, lines }, .. } = tried.next() else {
        panic!("the sum is told")
    };
    assert_eq!(title, "post at Tern house");
    assert!(lines.iter().any(|line| line.contains("180 mm thick")), "{lines:?}");
}

#[test]
fn what_a_plan_needs_is_told_after_what_was_kept() {
    let now = stamp().now;
    let tried = serving([Job::Plan(now), keep(None, start("Tern house")), Job::Plan(now)]);
    let asked = tried.planned.recv_timeout(Duration::from_secs(30)).expect("told");
    assert_eq!(asked.plan().expect("a plan").now.houses.len(), 1);
    assert!(tried.planned.recv_timeout(Duration::from_millis(100)).is_err(), "the last one alone");
}

#[test]
fn another_book_is_taken_in_and_what_cannot_be_is_told() {
    let (tried, theirs) = (serving([]), serving([keep(None, start("Tern house"))]));
    assert!(matches!(theirs.next(), Msg::Kept(Ok(_))));
    tried.jobs.send(Job::TakeIn { other: theirs.path.clone() }).expect("the thread runs");
    let told = tried.next();
    assert!(
        matches!(&told, Msg::TakenIn(lines) if lines[0].starts_with("3 entries were taken in")),
        "{told:?}"
    );
    tried.jobs.send(Job::TakeIn { other: tried.path.clone() }).expect("the thread runs");
    assert!(matches!(tried.next(), Msg::NotKept(why) if why.contains("the book itself")));
}

#[test]
fn a_refusal_names_the_field() {
    let tried = serving([keep(None, start(""))]);
    let Msg::Kept(Err(refused)) = tried.next() else { panic!("a house needs a name") };
    assert!(refused.iter().any(|r| r.field == "name"), "{refused:?}");
}

#[test]
fn a_house_that_is_not_in_the_book_is_told_as_a_failure() {
    let tried = serving([]);
    tried.ask(1, Question::House(Uuid::nil()));
    assert!(matches!(tried.next(), Msg::Failed(why) if why.contains("nothing in the book starts it")));
}

#[test]
fn all_that_piled_up_is_kept_before_the_end_though_nobody_listens() {
    let left = Left { page: "row".to_owned(), ..Left::default() };
    let tried = serving([keep(None, start("Tern house")), Job::Remember(left.clone())]);
    drop((tried.jobs, tried.told));
    tried.thread.join().expect("no panic");
    let book = Book::open(&tried.path, Opening::Existing).expect("the book");
    assert_eq!(book.houses(None, 9).expect("listed").len(), 1);
    let text = book.left(LEFT).expect("read").expect("left");
    assert_eq!(serde_json::from_str::<Left>(&text).expect("as it was left"), left);
}

#[test]
fn the_place_is_found_again_and_what_cannot_be_read_is_none() {
    let left = Left { page: "house".to_owned(), house: Some(Uuid::max()), ..Left::default() };
    let tried = serving([Job::Remember(left.clone())]);
    tried.ask(1, Question::Left(stamp().now));
    assert!(
        matches!(tried.next(), Msg::Told { answer: Answer::Left { left: Some(told), .. }, .. } if told == left)
    );
    let mut other = Book::open(&tried.path, Opening::Existing).expect("the book");
    other.leave(LEFT, "{\"page\": 7}").expect("left");
    tried.ask(2, Question::Left(stamp().now));
    let after = [tried.next(), tried.next()];
    assert!(
        matches!(after, [Msg::Changed, Msg::Told { answer: Answer::Left { left: None, .. }, .. }]),
        "{after:?}"
    );
}

#[test]
fn what_another_program_writes_is_told_without_being_asked() {
    let tried = serving([]);
    tried.started("Tern house");
    let mut other = Book::open(&tried.path, Opening::Existing).expect("the book");
    other.keep_draft(None, &start("Landing house"), &stamp()).expect("kept");
    assert!(matches!(tried.next(), Msg::Changed));
    tried.ask(1, Question::Row { around: None });
    let Msg::Told { answer: Answer::Row { drawn, .. }, .. } = tried.next() else { panic!("the row is told") };
    assert_eq!(drawn.len(), 2);
}

#[test]
fn the_houses_around_the_chosen_one_are_told_those_in_sight_first() {
    let tried = serving([]);
    let ids: Vec<Uuid> = (0..30).map(|n| tried.started(&format!("House {n}"))).collect();
    let told = || match tried.next() {
        Msg::Told { answer: Answer::Row { lines, drawn, .. }, .. } => {
            assert_eq!(lines.len(), 30);
            drawn.iter().map(|house| house.id).collect::<Vec<_>>()
        }
        other => panic!("the row should be told, not {other:?}"),
    };
    tried.ask(1, Question::Row { around: Some(ids[20]) });
    assert_eq!(told(), ids[20 - IN_SIGHT..=20 + IN_SIGHT]);
    assert_eq!(told(), ids[20 - NEIGHBOURS..]);
    // One house nearer the start there is one more to fold, and all the rest stay.
    tried.ask(2, Question::Row { around: Some(ids[19]) });
    assert_eq!(told(), ids[20 - NEIGHBOURS..]);
    assert_eq!(told(), ids[19 - NEIGHBOURS..]);
    // Nothing is left to fold.
    tried.ask(3, Question::Row { around: Some(ids[19]) });
    assert_eq!(told(), ids[19 - NEIGHBOURS..]);
}

#[test]
fn a_page_of_the_day_book_says_whether_there_are_more() {
    let tried = serving([]);
    tried.started("Tern house");
    for (limit, page, more) in [(1, 1, true), (2, 2, true), (3, 3, false), (50, 3, false)] {
        tried.ask(u64::from(limit), Question::DayBook(Filter { limit, ..Filter::default() }));
        match tried.next() {
            Msg::Told { answer: Answer::DayBook { lines, more: told, .. }, .. } => {
                assert_eq!((lines.len(), told), (page, more), "{limit}");
            }
            other => panic!("a page should be told, not {other:?}"),
        }
    }
}
