//! The days, planned on a thread of their own: many houses take a while.

use std::iter;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender};

use super::Came;
use crate::book::DaysAsked;
use crate::screen::msg::Msg;

/// Plans the days until nobody will ask any more. Of what was asked while
/// another plan was made only the last still counts.
pub fn plan(asked: &Receiver<DaysAsked>, tell: &Sender<Came>) {
    while let Ok(first) = asked.recv() {
        let Some(last) = iter::once(first).chain(asked.try_iter()).last() else { return };
        let planned = last.plan().map(Arc::new).map_err(|e| e.to_string());
        if tell.send(Came::Msg(Msg::Planned(planned))).is_err() {
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc;

    use super::*;
    use crate::book::{Book, Opening};

    #[test]
    fn of_what_piled_up_the_last_alone_is_planned() {
        let folder = tempfile::tempdir().expect("a folder");
        let book = Book::open(&folder.path().join("book.spanwright"), Opening::Create).expect("a book");
        let (ask, asked) = mpsc::channel();
        let (tell, told) = mpsc::channel();
        for day in ["14", "15"] {
            let now = format!("2030-10-{day}T08:00:00+10:00").parse().expect("a moment");
            ask.send(book.days(now).expect("asked")).expect("kept");
        }
        drop(ask);
        plan(&asked, &tell);
        let Ok(Came::Msg(Msg::Planned(Ok(days)))) = told.recv() else { panic!("planned") };
        assert_eq!(days.now.today.to_string(), "2030-10-15");
        assert!(told.try_recv().is_err());
    }
}
