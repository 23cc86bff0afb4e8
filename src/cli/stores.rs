//! `stores`: all items over all houses, or the sum behind one.

use chrono::NaiveDate;
use serde_json::{Value, json};

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::houses::cannot_be_told;
use super::says::Said;
use super::scribe::{Scribe, house};
use super::told;
use crate::book::{Book, Untold};
use crate::build::House;
use crate::build::accept;
use crate::build::days::telling::day;
use crate::build::days::{Days, Village};
use crate::build::entry::Item;
use crate::build::glance::Glance;
use crate::build::heap::{Heap, ItemNow};
use crate::build::house::StageNow;
use crate::build::kinds::LeftOver;
use crate::build::stage::STAGES;
use crate::build::stores::{self, AtHouse, Row, reached};
use crate::build::telling::of_item;

/// All items over all houses, or the sum behind one.
#[derive(Debug, clap::Args)]
pub(super) struct Stores {
    /// Only this house
    house: Option<String>,
    /// This item of it: the sum behind the need, joint by joint
    item: Option<String>,
    /// Only what must come within a week
    #[arg(long, conflicts_with = "item")]
    this_week: bool,
}

impl Stores {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let book = scribe.open_to_tell()?;
        if let (Some(named), Some(item)) = (&self.house, &self.item) {
            let item = Item::said(item).map_err(|e| CliError::refused("item", e.to_string()))?;
            let house = house(&book, named)?;
            let sum = Sum::of(&house, item, scribe.stamp.now.date_naive());
            return Ok(if scribe.json { Said::Json(sum.json()) } else { Said::Lines(sum.lines()) });
        }
        let only = self.house.as_deref().map(|named| book.house_named(named)).transpose()?;
        let today = scribe.stamp.now.date_naive();
        let (mut rows, untold) = rows(&book, today)?;
        if self.this_week {
            rows.retain(|row| row.bites_within_a_week(today));
        }
        let shown = |at: &AtHouse| {
            only.is_none_or(|only| at.house == only) && (!self.this_week || at.bites_within_a_week(today))
        };
        if scribe.json {
            return Ok(Said::Json(rows.iter().filter_map(|row| row_json(row, &shown)).collect()));
        }
        let lines =
            if only.is_some() { of_house(&rows, &shown, today) } else { of_all(&rows, &shown, today) };
        let nothing =
            if self.this_week { "Nothing must come this week." } else { "Nothing is in the stores." };
        let mut lines = if lines.is_empty() { vec![nothing.to_owned()] } else { lines };
        lines.extend(cannot_be_told(&untold));
        Ok(Said::Lines(lines))
    }
}

/// The stores of a book on a day.
fn rows(book: &Book, today: NaiveDate) -> Result<(Vec<Row>, Vec<Untold>), CliError> {
    let (houses, untold) = book.glances()?;
    // Where no day is worked there is no plan: then the usual pace tells.
    let planned = Days::of(&houses, &Village::of(&book.entries_of(None)?), today).ok();
    let rows = stores::of(&houses, |house: &Glance, stage| reached(house, stage, planned.as_ref(), today));
    Ok((rows, untold))
}

const HEAD: [&str; 11] = [
    "item",
    "need",
    "used",
    "spoiled",
    "lost",
    "needed yet",
    "on hand",
    "promised",
    "short",
    "by",
    "to spare",
];
const SIDES: [Side; 12] = [
    Side::Left,
    Side::Right,
    Side::Right,
    Side::Right,
    Side::Right,
    Side::Right,
    Side::Right,
    Side::Right,
    Side::Right,
    Side::Left,
    Side::Right,
    Side::Left,
];

fn head(last: &str) -> Vec<String> {
    HEAD.iter().copied().chain([last]).map(str::to_owned).collect()
}

/// The counts of a line of the table.
struct Counts<'r> {
    need: f64,
    heap: &'r Heap,
    left: f64,
    lacks: f64,
    short: f64,
    by: Option<NaiveDate>,
    spare: f64,
}

impl Counts<'_> {
    fn cells(self, name: String, remark: String, today: NaiveDate) -> Vec<String> {
        let Heap { used, spoiled, lost, on_hand, promised, .. } = *self.heap;
        let counts = [self.need, used, spoiled, lost, self.left, on_hand, promised, self.short];
        let by = match self.by {
            Some(by) => day(by, today),
            None if self.lacks > 0.0 => "held".to_owned(),
            None => String::new(),
        };
        let after = [by, accept::told(self.spare), remark];
        std::iter::once(name).chain(counts.map(accept::told)).chain(after).collect()
    }
}

impl<'r> From<&'r Row> for Counts<'r> {
    fn from(row: &'r Row) -> Self {
        let Row { need, heap, left, lacks, short, bites: by, spare, .. } = row;
        Self { need: *need, heap, left: *left, lacks: *lacks, short: *short, by: *by, spare: *spare }
    }
}

impl<'r> From<&'r AtHouse> for Counts<'r> {
    fn from(at: &'r AtHouse) -> Self {
        let AtHouse { need, heap, left, lacks, short, bites: by, spare, .. } = at;
        Self { need: *need, heap, left: *left, lacks: *lacks, short: *short, by: *by, spare: *spare }
    }
}

/// Under a table of all houses.
const RULE: &str =
    "All houses count, those handed over too; under an item stand those that lack it or have some to spare.";

/// Totals, and under each the houses that lack, can lend or are overdrawn.
fn of_all(rows: &[Row], shown: &impl Fn(&AtHouse) -> bool, today: NaiveDate) -> Vec<String> {
    let mut table = vec![head("")];
    for row in rows {
        table.push(Counts::from(row).cells(named(row.item), String::new(), today));
        let remarkable =
            |at: &AtHouse| at.too_small > 0.0 || !at.left_over.is_empty() || at.heap.is_overdrawn();
        let telling = |at: &&AtHouse| at.lacks > 0.0 || at.spare > 0.0 || remarkable(at);
        for at in row.houses.iter().filter(|at| shown(at)).filter(telling) {
            table.push(Counts::from(at).cells(format!("  {}", at.name), remark(row, at), today));
        }
    }
    if rows.is_empty() {
        return Vec::new();
    }
    let mut lines = lined_up("", &SIDES, &table);
    lines.push(RULE.to_owned());
    lines
}

/// One house, item by item.
fn of_house(rows: &[Row], shown: &impl Fn(&AtHouse) -> bool, today: NaiveDate) -> Vec<String> {
    let mut table = vec![head("")];
    for row in rows {
        for at in row.houses.iter().filter(|at| shown(at)) {
            let line = Counts::from(at).cells(named(row.item), remark(row, at), today);
            table.push(line);
        }
    }
    if table.len() == 1 { Vec::new() } else { lined_up("", &SIDES, &table) }
}

fn named(item: Item) -> String {
    if item.unit().is_empty() { item.to_string() } else { format!("{item} ({})", item.unit()) }
}

/// What else there is to say of an item at a house.
fn remark(row: &Row, at: &AtHouse) -> String {
    let mut words = Vec::new();
    if at.heap.is_overdrawn() {
        words.push(stores::overdrawn(row.item, &at.heap));
    }
    if at.too_small > 0.0 {
        words.push(stores::too_small(at.too_small));
    }
    if let Some((lender, spare)) = row.lender(at).filter(|_| at.short > 0.0) {
        let spare = stores::to_spare(row.item, at.kind.as_deref(), spare);
        words.push(format!("{} has {spare}", lender.name));
    }
    if at.spare > 0.0 && at.kind.is_some() {
        words.push(at.spares(row.item));
    }
    words.extend(at.left_over.iter().map(LeftOver::told));
    if let Some(weave) = at.to_weave.filter(|weave| *weave > 0) {
        words.push(format!("weave {}", of_item(Item::Panel, f64::from(weave))));
    }
    words.join("; ")
}

fn row_json(row: &Row, shown: &impl Fn(&AtHouse) -> bool) -> Option<Value> {
    let count = |n: f64| told::count(row.item, n);
    let heap = |heap: &Heap| [heap.promised, heap.on_hand, heap.used, heap.spoiled, heap.lost].map(count);
    let houses: Vec<Value> = row
        .houses
        .iter()
        .filter(|at| shown(at))
        .map(|at| {
            let [promised, on_hand, used, spoiled, lost] = heap(&at.heap);
            let lender = row.lender(at).filter(|_| at.short > 0.0);
            json!({
                "house": at.name, "id": at.house, "need": count(at.need), "promised": promised,
                "on_hand": on_hand, "used": used, "spoiled": spoiled, "lost": lost,
                "left": count(at.left), "short": count(at.short), "spare": count(at.spare), "by": at.bites,
                "stage": at.stage.and_then(|s| STAGES.get(s)).map(|s| s.id),
                "borrow_from": lender.map(|(l, spare)| json!({ "house": l.name, "id": l.house, "spare": count(spare) })),
                "to_weave": at.to_weave,
                "kind": at.kind,
                "left_over": left_over(&at.left_over),
                "spoil_share": at.spoil.map(|s| s.share()),
                "overdrawn": at.heap.is_overdrawn(), "too_small": count(at.too_small),
            })
        })
        .collect();
    if houses.is_empty() {
        return None;
    }
    let [promised, on_hand, used, spoiled, lost] = heap(&row.heap);
    Some(json!({
        "item": row.item, "unit": row.item.unit(), "need": count(row.need), "promised": promised,
        "on_hand": on_hand, "used": used, "spoiled": spoiled, "lost": lost, "left": count(row.left),
        "short": count(row.short), "spare": count(row.spare), "by": row.bites, "houses": houses,
    }))
}

/// Panels of other kinds, in JSON.
fn left_over(left: &[LeftOver]) -> Vec<Value> {
    let one = |left: &LeftOver| {
        let count = |n: f64| told::count(left.item, n);
        json!({ "kind": left.kind, "on_hand": count(left.on_hand), "promised": count(left.promised) })
    };
    left.iter().map(one).collect()
}

/// The sum behind what a house needs of an item.
struct Sum<'h> {
    house: &'h House,
    item: Item,
    today: NaiveDate,
    stages: Vec<(&'h StageNow, &'h ItemNow)>,
}

impl<'h> Sum<'h> {
    fn of(house: &'h House, item: Item, today: NaiveDate) -> Self {
        let each = house.stages.iter().flat_map(|s| s.items.iter().map(move |i| (s, i)));
        Self { house, item, today, stages: each.filter(|(_, i)| i.need.item == item).collect() }
    }

    fn heap(&self) -> Heap {
        self.house.heaps.get(&self.item).copied().unwrap_or_default()
    }

    fn need(&self) -> f64 {
        self.stages.iter().fold(0.0, |sum, (_, i)| sum + i.need.count)
    }

    fn lines(&self) -> Vec<String> {
        let head = format!("{} at {}: {}", named(self.item), self.house.name, accept::told(self.need()));
        let sum = stores::sum(self.house, self.item, self.today).into_iter().map(|line| format!("  {line}"));
        std::iter::once(head).chain(sum).collect()
    }

    fn json(&self) -> Value {
        let (heap, item) = (self.heap(), self.item);
        let count = |n: f64| told::count(item, n);
        let stages: Vec<Value> = self
            .stages
            .iter()
            .map(|(stage, now)| {
                json!({
                    "stage": stage.stage.id, "need": count(now.need.count), "left": count(now.left),
                    "short": count(now.short), "too_small": count(now.too_small),
                    "thick": now.need.d_m, "how": now.need.how,
                })
            })
            .collect();
        let mut left = self.house.kinds.left_over();
        left.retain(|left| left.item == item);
        json!({
            "house": self.house.name, "id": self.house.id, "item": item, "unit": item.unit(),
            "need": count(self.need()), "promised": count(heap.promised), "on_hand": count(heap.on_hand),
            "used": count(heap.used), "spoiled": count(heap.spoiled), "lost": count(heap.lost),
            "overdrawn": heap.is_overdrawn(), "left_over": left_over(&left), "stages": stages,
        })
    }
}
