//! What came of taking in another book.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::PathBuf;

use uuid::Uuid;

use crate::build::entry::{Item, Kind};
use crate::build::telling::of_item;

/// What was taken in.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Merged {
    /// The other book's file, with links followed.
    pub other: PathBuf,
    /// How many entries were new, by house (none: about all of them) and kind.
    pub new: BTreeMap<Option<Uuid>, BTreeMap<Kind, u64>>,
    /// How many entries were in both books.
    pub shared: u64,
    /// Houses whose names were taken here, and what they are called instead.
    pub renamed: BTreeMap<Uuid, String>,
    /// Entries that now have a strike of either book's.
    pub struck_twice: BTreeSet<Uuid>,
    /// Houses that cannot be told from what was taken in, and why.
    pub untold: BTreeMap<Uuid, String>,
    /// Kinds of tree of which more were cut than permits allow, with no word
    /// why, now that both books are one, and how many.
    pub past_permits: BTreeMap<String, u64>,
    /// Heaps of which more is gone than came, now that both books are one.
    pub lacking: Vec<Lacking>,
}

/// A heap of which more is gone than came.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lacking {
    /// The house.
    pub house: Uuid,
    /// What.
    pub item: Item,
    /// How much more is gone; metres of cord, m³ of stone.
    pub count: f64,
}

impl Merged {
    /// How many entries were new.
    #[must_use]
    pub fn new_count(&self) -> u64 {
        self.new.values().flat_map(BTreeMap::values).sum()
    }

    /// What was taken in, in words, a line a thing; `names` has what houses are
    /// called here.
    #[must_use]
    pub fn in_words(&self, names: &HashMap<Uuid, String>) -> Vec<String> {
        let called = |house: &Uuid| names.get(house).cloned().unwrap_or_else(|| house.to_string());
        let new = self.new_count();
        let mut lines = vec![if new == 0 {
            format!("Nothing was new: {} here already.", entries(self.shared, "is", "are"))
        } else {
            format!(
                "{} taken in; {} here already.",
                entries(new, "was", "were"),
                entries(self.shared, "is", "are")
            )
        }];
        lines.extend(self.cautions(names));
        for (house, kinds) in &self.new {
            let house = house.as_ref().map_or_else(|| "all houses".to_owned(), called);
            let kinds: Vec<String> = kinds.iter().map(|(kind, count)| format!("{kind} {count}")).collect();
            lines.push(format!("{house}: {}", kinds.join(", ")));
        }
        lines
    }

    /// What should be known of books that were one in part only.
    fn cautions(&self, names: &HashMap<Uuid, String>) -> Vec<String> {
        let called = |house: &Uuid| names.get(house).cloned().unwrap_or_else(|| house.to_string());
        let mut lines: Vec<String> = self
            .renamed
            .values()
            .map(|name| format!("The other book's house of a name that was taken is called {name} here."))
            .collect();
        if !self.struck_twice.is_empty() {
            let count = entries(self.struck_twice.len() as u64, "was", "were");
            lines.push(format!("{count} struck in both books; the strike written first stands."));
        }
        lines.extend(
            self.untold.values().map(|why| format!("{why}; strike its start if it is no house of yours.")),
        );
        lines.extend(self.past_permits.iter().map(|(tree, count)| {
            format!("{count} more of {tree} were cut than the permits allow; permit list tells them.")
        }));
        lines.extend(self.lacking.iter().map(|l| {
            let many = of_item(l.item, l.count);
            format!("{}: {many} more gone than came; count the heap, and tally it.", called(&l.house))
        }));
        lines
    }
}

fn entries(count: u64, is: &str, are: &str) -> String {
    if count == 1 { format!("1 entry {is}") } else { format!("{count} entries {are}") }
}
