use super::*;
use crate::build::draft::{Draft, StemSaid};
use crate::build::trial::Trial;

const RAISED: [&str; 6] = ["centre-mark", "set-out", "posts", "beams", "roof-frame", "ridge"];

fn left(house: &House) -> Vec<(Work, u32, f64)> {
    Left::of(house).chores.into_iter().map(|c| (c.work, c.part, c.left)).collect()
}

/// How much of a work is left, what is only to be read again aside.
fn of(house: &House, work: Work) -> f64 {
    let chores = Left::of(house).chores.into_iter();
    chores.filter(|c| c.work == work && c.again == 0).map(|c| c.left).sum()
}

fn panels(count: u32, how: &str) -> Draft {
    Draft::Tally {
        item: "panel".to_owned(),
        count: count.to_string(),
        how: how.to_owned(),
        to: None,
        remark: String::new(),
        of: StemSaid::default(),
    }
}

#[test]
fn a_house_just_started_has_all_its_work_before_it() {
    let house = Trial::new("Tern house").house();
    let works = Left::of(&house).chores;
    let building: Vec<Work> =
        works.iter().map(|c| c.work).filter(|w| !matches!(w, Work::Weaving | Work::Thatching)).collect();
    use Work::{Beams, Capping, Digging, Frame, Posts, Raising, SetOut};
    assert_eq!(building, [SetOut, Digging, Posts, Beams, Frame, Raising, Capping]);
    assert_eq!(of(&house, Digging), house.worked.posts.len() as f64);
    assert_eq!(of(&house, Work::Thatching), f64::from(house.worked.thatch.roof_panels));
    assert_eq!(of(&house, Work::Weaving), f64::from(house.worked.order_panels()));
    assert!(works.len() <= 30, "{}", works.len());
}

#[test]
fn every_chore_stands_behind_what_it_waits_for_and_each_part_waits_for_its_panels() {
    let chores = Left::of(&Trial::new("Tern house").house()).chores;
    for (at, chore) in chores.iter().enumerate() {
        assert!(chore.after.iter().all(|a| *a < at), "{chore:?}");
        let same = |a: &&usize| chores[**a].work == Work::Weaving && chores[**a].part == chore.part;
        assert!(chore.work != Work::Thatching || chore.after.iter().any(|a| same(&a)), "{chore:?}");
    }
}

#[test]
fn a_hole_that_is_read_is_dug() {
    let trial = Trial::new("Tern house").built(&["centre-mark", "set-out"]);
    let before = of(&trial.house(), Work::Digging);
    let half = trial.read("posts/A/depth", "0.95 m");
    assert_eq!(of(&half.house(), Work::Digging), before, "whether it is on hard ground is not known");
    let dug = half.read("posts/A/hard-ground", "yes").house();
    assert_eq!(of(&dug, Work::Digging), before - 1.0);
    assert_eq!(of(&dug, Work::SetOut), 0.0);
}

#[test]
fn panels_on_hand_are_not_woven_again_and_rows_laid_are_not_laid_again() {
    let trial = Trial::new("Sister house").built(&RAISED);
    let need = f64::from(trial.house().worked.thatch.roof_panels);
    let all = trial.house().worked.panels();
    let row = f64::from(trial.house().worked.thatch.panels_per_row);
    let trial = trial.draft(&panels(100, "woven")).read("thatch/rows-ab", "2").read("thatch/rows-cd", "1");
    let house = trial.house();
    assert_eq!(of(&house, Work::Thatching), need - 3.0 * row);
    // The rows were laid from the hundred; a tenth of the rest spoils.
    assert_eq!(of(&house, Work::Weaving), f64::from(house.worked.spoil.to_weave(all - 100)));
    let later = trial.draft(&panels(50, "used")).house();
    assert!(of(&later, Work::Thatching) <= need - 50.0);
}

#[test]
fn a_roof_finished_in_another_kind_takes_the_panels_it_takes() {
    let begun =
        Trial::new("Sister house").built(&RAISED).read("thatch/rows-ab", "40").read("thatch/rows-cd", "40");
    let changes = vec![("thatch".to_owned(), "coconut".to_owned())];
    let trial = begun.draft(&Draft::Brief { changes });
    let house = trial.house();
    // 8 rows of 8 panels on each slope are left, above 40 of nipa.
    assert_eq!(house.worked.slopes.each_ref().map(|bands| bands[1].panels()), [64, 64]);
    assert_eq!(of(&house, Work::Thatching), 128.0);
    let laid = trial.read("thatch/rows-ab", "48").read("thatch/rows-cd", "48").house();
    assert_eq!(of(&laid, Work::Thatching), 8.0, "all rows lie; what is not read is a row's work");
    let caps = laid.worked.thatch.cap_panels;
    assert_eq!(of(&laid, Work::Weaving), f64::from(laid.worked.spoil.to_weave(2 * caps)));
}

#[test]
fn a_part_of_the_roof_keeps_its_place_as_the_work_goes_on() {
    let trial = Trial::new("Sister house").built(&RAISED);
    let ends =
        |trial: &Trial| left(&trial.house()).into_iter().rfind(|(w, _, _)| *w == Work::Thatching).unwrap();
    let before = ends(&trial);
    assert_eq!(ends(&trial.read("thatch/rows-ab", "3")), before);
}

#[test]
fn a_stage_read_through_but_not_right_still_takes_some_work() {
    let trial = Trial::new("Tern house").built(&["centre-mark", "set-out"]).read_true("posts");
    assert_eq!(of(&trial.house(), Work::Posts), 0.0);
    let leans = trial.read("posts/A/plumb-along", "100 mm").house();
    assert_eq!((of(&leans, Work::Digging), of(&leans, Work::Posts)), (0.0, 1.0));
}

fn to_read_again(house: &House) -> Vec<(Work, bool)> {
    let chores = Left::of(house).chores;
    chores.iter().filter(|c| c.again > 0).map(|c| (c.work, c.part == 0)).collect()
}

/// The work that is left, what is only to be read again aside.
fn building(house: &House) -> Vec<(Work, f64)> {
    let chores = Left::of(house).chores.into_iter();
    let of = |c: &Chore| c.again == 0 && !matches!(c.work, Work::Weaving | Work::Thatching);
    chores.filter(of).map(|c| (c.work, c.left)).collect()
}

#[test]
fn after_a_storm_what_stands_is_read_again_and_not_built_again() {
    let up = Trial::new("Tern house").built(&["centre-mark", "set-out"]);
    let posts = f64::from(up.house().worked.posts.len() as u32);
    let up =
        up.draft(&Draft::tally("post", "12", "cut")).draft(&Draft::tally("post", &posts.to_string(), "used"));
    let up = up.built(&["posts"]);
    let before = building(&up.house());
    assert_eq!(before[0].0, Work::Beams);
    let after = up.clone().held("storm", |trial| trial);
    let house = after.house();
    assert_eq!(building(&house), before, "nothing that stands is work");
    assert_eq!(to_read_again(&house), [(Work::SetOut, true), (Work::Posts, true)]);
    let again: u32 = Left::of(&house).chores.iter().map(|c| c.again).sum();
    assert_eq!(again as usize, house.read_again().iter().filter(|r| r.once_with.is_none()).count());
    assert!(Left::of(&house).after_storm && !Left::of(&up.house()).after_storm);
    let lost = after.draft(&Draft::tally("post", "1", "torn-off")).house();
    assert_eq!(building(&lost)[0], (Work::Posts, 1.0), "a post that is gone is stood again");
}

#[test]
fn after_a_storm_rows_and_caps_are_read_again_and_only_what_was_torn_off_is_laid_again() {
    let roofed = Trial::new("Sister house").built(&RAISED).built(&["thatch", "cap"]);
    let storm = roofed.clone().held("storm", |trial| trial);
    assert_eq!((of(&storm.house(), Work::Thatching), building(&storm.house())), (0.0, vec![]));
    assert!(to_read_again(&storm.house()).contains(&(Work::Capping, true)));
    let need = storm.house().worked.thatch.roof_panels.to_string();
    let laid = roofed.draft(&Draft::tally("panel", &need, "woven"));
    let laid = laid.draft(&Draft::tally("panel", &need, "used")).held("storm", |trial| trial);
    let torn = laid.draft(&Draft::tally("panel", "16", "torn-off")).house();
    assert_eq!(of(&torn, Work::Thatching), 16.0);
}

#[test]
fn nothing_is_left_at_a_house_handed_over() {
    let all: Vec<&str> = crate::build::stage::STAGES.iter().map(|s| s.id).collect();
    assert_eq!(left(&Trial::new("School shade").built(&all).house()), []);
}
