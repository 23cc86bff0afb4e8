//! All that was lost, told at once: words in, a movement of each item out.

use super::tally::{amount, told};
use super::{LONGEST_TEXT, Refused, bounded};
use crate::build::entry::{How, Item, Stem, Tally, What};
use crate::build::house::House;

/// What was lost at a house: of each item what lay there first, then what was
/// built in; all from what was built in where that is said. What was built in
/// is asked for again.
///
/// # Errors
/// Nothing lost, an unknown item or one that is named twice, a count that is
/// none, and more lost than there is.
pub fn lost(
    house: &House,
    counts: &[(String, String)],
    built_in: bool,
    remark: &str,
) -> Result<Vec<What>, Vec<Refused>> {
    let (mut all, mut refused) = (Vec::new(), Vec::new());
    let mut named: Vec<Item> = Vec::new();
    for (item, count) in counts.iter().filter(|(_, count)| !count.trim().is_empty()) {
        match one(house, item, count, built_in, remark) {
            Ok((item, _)) if named.contains(&item) => {
                refused.push(Refused { field: item.word(), why: "is named twice; say it once".to_owned() });
            }
            Ok((item, tallies)) => {
                named.push(item);
                all.extend(tallies);
            }
            Err(e) => refused.push(e),
        }
    }
    if let Err(e) = bounded("remark", remark, LONGEST_TEXT) {
        refused.push(e);
    }
    if all.is_empty() && refused.is_empty() {
        let why = "nothing is lost; say of what how many, such as panel=40".to_owned();
        refused.push(Refused { field: "lost", why });
    }
    if refused.is_empty() { Ok(all) } else { Err(refused) }
}

/// An item, and from where how many of it were lost.
fn one(
    house: &House,
    item: &str,
    count: &str,
    built_in: bool,
    remark: &str,
) -> Result<(Item, Vec<What>), Refused> {
    let item = Item::said(item).map_err(|e| Refused { field: "lost", why: e.to_string() })?;
    let count = amount(item, count).map_err(|e| Refused { field: item.word(), ..e })?;
    let heap = house.heaps.get(&item).copied().unwrap_or_default();
    let lying = if built_in { 0.0 } else { count.min(heap.on_hand.max(0.0)) };
    let torn_off = count - lying;
    if torn_off > heap.used.max(0.0) {
        let (on_hand, used) = (told(heap.on_hand.max(0.0)), told(heap.used.max(0.0)));
        let why = format!(
            "{} lost, but there are {on_hand} on hand and {used} built in; tally what came first",
            told(count)
        );
        return Err(Refused { field: item.word(), why });
    }
    let tally = |how, count| {
        What::Tally(Tally {
            item,
            count,
            how,
            to: None,
            remark: remark.trim().to_owned(),
            of: Stem::default(),
        })
    };
    let both = [(How::Lost, lying), (How::TornOff, torn_off)];
    Ok((item, both.into_iter().filter(|(_, n)| *n > 0.0).map(|(how, n)| tally(how, n)).collect()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::draft::Draft;
    use crate::build::trial::Trial;

    fn counts(all: &[(&str, &str)]) -> Vec<(String, String)> {
        all.iter().map(|(item, count)| ((*item).to_owned(), (*count).to_owned())).collect()
    }

    fn movements(all: &[What]) -> Vec<(How, f64)> {
        let tallies = all.iter().filter_map(|what| match what {
            What::Tally(tally) => Some((tally.how, tally.count)),
            _ => None,
        });
        tallies.collect()
    }

    fn thatched() -> House {
        let tally = |count: &str, how: &str| Draft::tally("panel", count, how);
        Trial::new("Tern house").draft(&tally("100", "woven")).draft(&tally("80", "used")).house()
    }

    #[test]
    fn what_lies_there_is_lost_before_what_is_built_in() {
        let house = thatched();
        let told = lost(&house, &counts(&[("panel", "45"), ("cord", " ")]), false, "").unwrap();
        assert_eq!(movements(&told), [(How::Lost, 20.0), (How::TornOff, 25.0)]);
        let told = lost(&house, &counts(&[("panel", "20")]), false, "").unwrap();
        assert_eq!(movements(&told), [(How::Lost, 20.0)]);
    }

    #[test]
    fn a_roof_can_lose_panels_while_the_spare_ones_lie_under_their_net() {
        let told = lost(&thatched(), &counts(&[("panel", "45")]), true, "").unwrap();
        assert_eq!(movements(&told), [(How::TornOff, 45.0)]);
    }

    #[test]
    fn no_more_is_lost_than_there_is() {
        let house = thatched();
        let refused = |all: &[(&str, &str)], built_in| {
            let refused = lost(&house, &counts(all), built_in, "").unwrap_err();
            (refused[0].field, refused[0].why.clone())
        };
        let (field, why) = refused(&[("panel", "101")], false);
        assert!(field == "panel" && why.contains("20 on hand and 80 built in"), "{field}: {why}");
        assert_eq!(refused(&[("panel", "81")], true).0, "panel");
        assert_eq!(refused(&[("panel", "4"), ("panel", "4")], false).0, "panel");
        assert_eq!(refused(&[("brick", "4")], false).0, "lost");
        assert_eq!(refused(&[("panel", "")], false).0, "lost");
        assert_eq!(refused(&[("panel", "-4")], false).0, "panel");
    }
}
