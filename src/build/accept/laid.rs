//! One more row of thatch: the slope in, a reading and a tally out.

use super::{Refused, Voice, reading, refuse, tally};
use crate::build::bands;
use crate::build::draft::StemSaid;
use crate::build::entry::{How, Item, What};
use crate::build::house::{House, PointNow};
use crate::build::stages::thatch;

/// One more row on a slope, `ab` or `cd`: the rows laid are counted anew, and
/// the row's panels are used.
///
/// # Errors
/// Another slope, a house whose ridge is not up, a slope with all its rows,
/// and fewer panels on hand than a row takes.
pub fn laid(house: &House, slope: &str) -> Result<[What; 2], Refused> {
    let slope = slope.trim().to_lowercase();
    let Some(now) = house
        .stage("thatch")
        .and_then(|s| s.point(&format!("rows-{slope}")))
        .filter(|_| ["ab", "cd"].contains(&slope.as_str()))
    else {
        return refuse("slope", format!("\"{slope}\" is no slope; ab or cd would do"));
    };
    if !is_raised(house) {
        return refuse("house", format!("{}: the ridge is not up yet; read or sign it first", house.name));
    }
    let all = now.point.goal.target().unwrap_or(0.0);
    let row = thatch::whole(now.value.unwrap_or(0.0)).saturating_add(1);
    if f64::from(row) > all {
        return refuse("slope", format!("all {all:.0} rows of the {slope} slope are laid"));
    }
    let voice = Voice::of(house);
    let read = reading(house, &format!("thatch/rows-{slope}"), &row.to_string(), &voice, false, "")?;
    let count = panels_in(house, &slope, row).to_string();
    let remark = format!("row {row}, {slope} slope");
    let used =
        tally(house, Item::Panel.word(), &count, How::Used.word(), None, &remark, &StemSaid::default())?;
    Ok([read, used])
}

/// Whether anything shows that the ridge is up: it was signed, its legs or its
/// king posts were read, or rows lie on it already.
fn is_raised(house: &House) -> bool {
    let any = |stage, shows: fn(&PointNow) -> bool| {
        house.stage(stage).is_some_and(|s| s.points.iter().any(|p| p.reading.is_some() && shows(p)))
    };
    let of_ridge = |p: &PointNow| p.point.id.starts_with("legs/") || p.point.id.starts_with("king-");
    let laid = |p: &PointNow| p.point.id.starts_with("rows-") && p.value.is_some_and(|rows| rows >= 1.0);
    house.stage("ridge").is_some_and(|ridge| ridge.signed.is_some())
        || any("ridge", of_ridge)
        || any("thatch", laid)
}

/// How many panels lie in a row of a slope, counted from the eave.
fn panels_in(house: &House, slope: &str, row: u32) -> u32 {
    let bands = &house.worked.slopes[usize::from(slope == "cd")];
    bands::panels_of(bands, row) - bands::panels_of(bands, row.saturating_sub(1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::draft::Draft;
    use crate::build::trial::Trial;

    fn woven(count: &str) -> Trial {
        Trial::new("Tern house").draft(&Draft::tally("panel", count, "woven"))
    }

    #[test]
    fn a_row_is_read_and_its_panels_are_used() {
        let house = woven("40").read("thatch/rows-ab", "19").house();
        let [What::Reading(read), What::Tally(used)] = laid(&house, "AB").unwrap() else {
            panic!("a reading and a tally")
        };
        assert_eq!((read.said.as_str(), used.count, used.how), ("20", 8.0, How::Used));
    }

    #[test]
    fn no_row_is_laid_where_the_ridge_is_not_up() {
        let refused = laid(&woven("40").house(), "ab").unwrap_err();
        assert!(refused.to_string().contains("Tern house: the ridge is not up yet"), "{refused}");
        assert!(laid(&woven("40").read("ridge/people", "40").house(), "ab").is_err());
        assert!(laid(&woven("40").read("thatch/rows-ab", "0").house(), "ab").is_err());
        assert!(laid(&woven("40").read("ridge/king-1/plumb-along", "4mm").house(), "ab").is_ok());
    }

    #[test]
    fn without_panels_for_a_row_none_is_laid() {
        let refused = laid(&woven("7").read("thatch/rows-ab", "1").house(), "ab").unwrap_err();
        assert!(refused.why.contains("8 panels used, but 7 on hand"), "{refused}");
    }

    #[test]
    fn a_slope_with_all_its_rows_takes_no_more() {
        let house = woven("40").read("thatch/rows-cd", "46").house();
        assert!(laid(&house, "cd").unwrap_err().why.contains("all 46 rows"));
        assert!(laid(&house, "bc").is_err());
    }
}
