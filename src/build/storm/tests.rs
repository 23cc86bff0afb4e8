//! What is asked again after a storm, against a list written out by hand:
//! complete, and no more than that.

use std::collections::BTreeSet;

use proptest::prelude::*;
use proptest::sample::subsequence;

use super::*;
use crate::build::draft::Draft;
use crate::build::house::State;
use crate::build::trial::Trial;

const ALL: [&str; 9] =
    ["centre-mark", "set-out", "posts", "beams", "roof-frame", "ridge", "thatch", "cap", "handing-over"];

/// What a storm can have changed of a small house, by hand; the pegs apart.
const SHAKEN: &[(&str, &[&str])] = &[
    ("centre-mark", &["above-high-water"]),
    (
        "posts",
        &[
            "A/plumb-along A/plumb-across",
            "AB1/level AB1/plumb-along AB1/plumb-across AB2/level AB2/plumb-along AB2/plumb-across",
            "AB3/level AB3/plumb-along AB3/plumb-across B/level B/plumb-along B/plumb-across",
            "C/level C/plumb-along C/plumb-across DC3/level DC3/plumb-along DC3/plumb-across",
            "DC2/level DC2/plumb-along DC2/plumb-across DC1/level DC1/plumb-along DC1/plumb-across",
            "D/level D/plumb-along D/plumb-across",
            "head/ab head/bc head/cd head/da head/ac head/bd",
        ],
    ),
    (
        "beams",
        &[
            "head/ab head/bc head/cd head/da head/ac head/bd",
            "beam-1/turns beam-2/turns beam-3/turns beam-4/turns beam-5/turns",
            "plate-ab/turns plate-cd/turns braces/turns",
        ],
    ),
    (
        "ridge",
        &[
            "legs/da legs/middle legs/bc rafters/turns",
            "king-1/plumb-along king-1/plumb-across king-2/plumb-along king-2/plumb-across",
            "king-3/plumb-along king-3/plumb-across king-4/plumb-along king-4/plumb-across",
            "king-5/plumb-along king-5/plumb-across",
        ],
    ),
    ("thatch", &["rows-ab rows-cd"]),
    ("cap", &["caps pins"]),
    ("handing-over", &["no-post-moved lashings-tight no-drip fire-distance"]),
];

fn shaken() -> BTreeSet<String> {
    let each = |(stage, points): &(&str, &[&str])| {
        let points: Vec<String> =
            points.iter().flat_map(|p| p.split(' ')).map(|p| format!("{stage}/{p}")).collect();
        points
    };
    SHAKEN.iter().flat_map(each).collect()
}

/// A house of five frames, small posts' gaps and all.
fn house() -> Trial {
    Trial::new("Tern house").say("post_gap_max", "2 m")
}

fn feet() -> Vec<String> {
    house().house().worked.posts.iter().map(|p| format!("posts/{}/ground", p.id)).collect()
}

fn read(house: &House) -> BTreeSet<String> {
    house.readings.0.keys().map(ToString::to_string).collect()
}

fn again(house: &House) -> BTreeSet<String> {
    house.read_again().iter().map(|r| r.point.to_string()).collect()
}

fn doubted(house: &House) -> BTreeSet<String> {
    house.doubts.iter().filter(|d| d.what.contains('/')).map(|d| d.what.clone()).collect()
}

fn pegs() -> BTreeSet<String> {
    ["ab", "bc", "cd", "da", "ac", "bd", "oa", "ob", "oc", "od"].map(|p| format!("set-out/{p}")).into()
}

/// Reads again all that is asked, and signs again all that is in doubt.
fn made_good(trial: Trial) -> Trial {
    let again: Vec<PointName> = trial.house().read_again().into_iter().map(|r| r.point).collect();
    let trial = trial.read_rightly(&again);
    let doubtful: Vec<&str> =
        trial.house().stages.iter().filter(|s| s.state == State::Doubtful).map(|s| s.stage.id).collect();
    doubtful.into_iter().fold(trial, Trial::sign)
}

#[test]
fn a_storm_asks_again_for_what_it_can_have_changed_as_far_as_the_house_has_got() {
    for built in 0..=ALL.len() {
        let trial = house().built(&ALL[..built]);
        let before = trial.house();
        let after = trial.held("storm", |t| t);
        let now = after.house();
        let mut expected: BTreeSet<String> = shaken().intersection(&read(&before)).cloned().collect();
        if built == 2 {
            expected.extend(pegs());
        }
        assert_eq!(doubted(&now), expected, "{built} stages built");
        expected.extend(["seen-from-outside", "above-high-water"].map(|p| format!("centre-mark/{p}")));
        if built >= 3 {
            expected.extend(feet());
        }
        assert_eq!(again(&now), expected, "{built} stages built");
        for s in &now.stages[..built] {
            let touched = expected.iter().any(|p| p.starts_with(&format!("{}/", s.stage.id)));
            let state = if touched { State::Doubtful } else { State::Signed };
            assert_eq!(s.state, state, "{} of {built}", s.stage.id);
        }
        let good = made_good(after).house();
        assert!(good.doubts.is_empty(), "{:?}", good.doubts);
        assert!(good.read_again().is_empty());
        assert!(good.stages[..built].iter().all(|s| s.state == State::Signed));
    }
}

#[test]
fn one_looks_from_outside_first_then_at_the_water() {
    let now = house().built(&ALL[..3]).held("big storm", |t| t).house();
    let list = now.read_again();
    let first: Vec<&str> = list.iter().take(3).map(|r| r.point.point.as_str()).collect();
    assert_eq!(first, ["seen-from-outside", "above-high-water", "A/ground"]);
    assert!(now.next_at(now.last).contains("seen from outside"), "{}", now.next_at(now.last));
}

#[test]
fn one_looks_from_outside_first_where_the_mark_was_never_signed_too() {
    let pegged = Trial::new("Tern house").built(&["set-out"]).held("storm", |t| t).house();
    assert_eq!(pegged.in_hand().stage.id, "centre-mark");
    assert!(pegged.next_at(pegged.last).contains("seen from outside"), "{}", pegged.next_at(pegged.last));
}

#[test]
fn a_line_that_is_down_stands_against_signing_the_mark() {
    let marked = Trial::new("Tern house").built(&["centre-mark"]).held("storm", |t| t);
    let seen = marked
        .read("centre-mark/seen-from-outside", "no")
        .read("centre-mark/above-high-water", "yes")
        .house();
    let against = &seen.stage("centre-mark").unwrap().against;
    assert!(against.iter().any(|word| word.contains("no line down")), "{against:?}");
}

#[test]
fn other_stops_leave_everything_as_it_was() {
    for cause in ["mourning", "no panels", "feast"] {
        let now = house().built(&ALL[..6]).held(cause, |t| t).house();
        assert!(now.doubts.is_empty() && now.read_again().is_empty(), "{cause}");
    }
}

#[test]
fn nothing_is_asked_before_the_storm_is_over() {
    let hold = Draft::Hold { cause: "storm".to_owned(), planned: false };
    let now = house().built(&ALL[..3]).draft(&hold).house();
    assert!(now.doubts.is_empty() && now.read_again().is_empty());
}

#[test]
fn a_peg_under_a_post_is_done_with_and_the_others_are_not() {
    let now = house()
        .built(&ALL[..2])
        .read("posts/A/plumb-along", "0 mm")
        .read("posts/B/level", "0 mm")
        .held("storm", |t| t)
        .house();
    let pegs: BTreeSet<String> = again(&now).into_iter().filter(|p| p.starts_with("set-out/")).collect();
    let open = ["bc", "cd", "da", "ac", "bd", "oc", "od"].map(|p| format!("set-out/{p}"));
    assert_eq!(pegs, BTreeSet::from(open));
    let feet: BTreeSet<String> = again(&now).into_iter().filter(|p| p.ends_with("/ground")).collect();
    assert_eq!(feet, BTreeSet::from(["posts/A/ground".to_owned(), "posts/B/ground".to_owned()]));
}

#[test]
fn heads_under_their_beams_are_read_once_for_the_posts_and_the_beams() {
    let trial = house().built(&["posts", "beams"]).held("storm", |t| t);
    let heads =
        |house: &House| again(house).into_iter().filter(|point| point.contains("/head/")).collect::<Vec<_>>();
    assert_eq!(heads(&trial.house()).len(), 12);
    let same = trial.house().read_again().into_iter().find(|r| r.point.to_string() == "beams/head/ab");
    assert_eq!(same.unwrap().why, "read once for the posts and the beams");
    let trial = trial.read("posts/head/ab", "7.010m").read("beams/head/bc", "5.240m");
    let one = |house: &House, point: &str| house.point(&point.parse().unwrap()).unwrap().value;
    assert_eq!(heads(&trial.house()).len(), 8);
    assert_eq!(one(&trial.house(), "beams/head/ab"), Some(7.010));
    assert_eq!(one(&trial.house(), "posts/head/bc"), Some(5.240));
    // A repeat counts at both, and so does a strike.
    let trial = trial.read_again("posts/head/ab", "7.020m");
    let mean = one(&trial.house(), "beams/head/ab").unwrap();
    assert!((mean - 7.015).abs() < 1e-9, "{mean}");
    let reading = trial.house().readings.of("beams", "head/bc").unwrap().ids[0];
    let trial = trial.draft(&Draft::Strike { entry: reading, why: "wrong tape".to_owned() });
    assert_eq!(one(&trial.house(), "posts/head/bc"), None);
    assert_eq!(one(&trial.house(), "beams/head/bc"), None);
    // Once both are read, each stands for itself again.
    let trial = trial.read("posts/head/ab", "6.990m");
    assert!((one(&trial.house(), "beams/head/ab").unwrap() - 7.015).abs() < 1e-9);
}

#[test]
fn a_post_that_was_stood_after_the_storm_is_not_asked_about_it() {
    let after = house().built(&ALL[..2]).held("storm", |t| t);
    let now = after.read("posts/A/plumb-along", "0 mm").house();
    assert!(!again(&now).iter().any(|p| p.ends_with("/ground")));
}

#[test]
fn a_repeat_after_the_storm_does_not_lean_on_what_was_read_before() {
    let now =
        house().read("set-out/ab", "7.1 m").held("storm", |t| t).read_again("set-out/ab", "6.970 m").house();
    assert_eq!(now.readings.number("set-out", "ab"), Some(6.970));
    assert!(doubted(&now).is_empty());
}

#[test]
fn leans_that_were_worked_out_are_in_doubt_with_what_they_came_from() {
    let pairs = ["ab", "bc", "cd", "da", "ac", "bd"];
    let read = |end: &str| pairs.map(|pair| PointName::new("posts", &format!("{end}/{pair}")));
    let mut trial = house().built(&ALL[..2]).read_rightly(&read("base")).read_rightly(&read("head"));
    for bob in ["A/plumb-along", "A/plumb-across", "B/plumb-along", "B/plumb-across"] {
        trial = trial.read(&format!("posts/{bob}"), "0 mm");
    }
    let inferred = PointName::new("posts", "C/plumb-along");
    assert_eq!(trial.house().point(&inferred).unwrap().verdict, Verdict::True);
    let now = trial.held("storm", |t| t).house();
    assert_eq!(now.point(&inferred).unwrap().verdict, Verdict::Doubtful);
}

#[test]
fn a_storm_from_before_the_house_was_started_is_not_its_own() {
    let trial = house().built(&ALL[..1]);
    let entries = trial.entries();
    let (start, last) = (entries[0].happened, entries.last().unwrap().happened);
    let id = |n: u128| Uuid::from_u128((1 << 100) + n);
    let about_all = |n, happened, what| crate::build::entry::Entry {
        id: id(n),
        house: None,
        happened,
        written: happened,
        by: "Oru".to_owned(),
        what,
    };
    let hold = crate::build::entry::What::Hold { cause: "storm".to_owned(), planned: false };
    let minute = chrono::Duration::minutes(1);
    let folded = |from, to| {
        let mut all = entries.clone();
        all.push(about_all(1, from, hold.clone()));
        all.push(about_all(2, to, crate::build::entry::What::Resume));
        all.sort_by_key(crate::build::entry::Entry::order);
        House::of(entries[0].id, &all).unwrap()
    };
    assert!(folded(start - minute * 9, start - minute).read_again().is_empty());
    assert!(!folded(start - minute * 9, last + minute).read_again().is_empty());
    assert!(!folded(last + minute, last + minute * 2).read_again().is_empty());
}

/// Points of the stage that is in hand, some of them read.
fn some_points(built: usize) -> impl Strategy<Value = Vec<String>> {
    let points: Vec<String> = match ALL.get(built) {
        None => Vec::new(),
        Some(stage) => {
            let now = house().house();
            let all = now.stage(stage).unwrap().points.iter().filter(|p| p.from != From::Derived);
            all.map(|p| format!("{stage}/{}", p.point.id)).collect()
        }
    };
    let most = points.len();
    subsequence(points, 0..=most)
}

fn progress() -> impl Strategy<Value = (usize, Vec<String>, Vec<String>, Vec<String>)> {
    (0..=ALL.len())
        .prop_flat_map(|built| (Just(built), some_points(built), some_points(built), some_points(built)))
}

fn read_all(trial: Trial, points: &[String]) -> Trial {
    let points: Vec<PointName> = points.iter().map(|p| p.parse().unwrap()).collect();
    trial.read_rightly(&points)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, ..ProptestConfig::default() })]

    /// Complete and no more: every point on the list that was read before the
    /// storm ended, and not since, is in doubt; every other is as it was.
    #[test]
    fn the_list_is_complete_and_minimal((built, before, during, since) in progress()) {
        let trial = read_all(house().built(&ALL[..built]), &before);
        let calm = read_all(trial.clone(), &during);
        let calm = read_all(calm, &since).house();
        let after = trial.held("storm", |t| read_all(t, &during));
        let stood = |post: &str, points: &[&[String]]| {
            built >= 3 || points.iter().flat_map(|p| p.iter()).any(|p| {
                let Some(point) = p.strip_prefix("posts/") else { return false };
                match point.split_once('/') {
                    Some(("base" | "head", pair)) => pair.to_uppercase().contains(post),
                    Some((at, what)) => at == post && what != "depth" && what != "hard-ground",
                    None => false,
                }
            })
        };
        let after = read_all(after, &since);
        let now = after.house();
        let seen = read(&now);
        let mut expected: BTreeSet<String> = shaken().intersection(&seen).cloned().collect();
        let open_peg = |p: &String| {
            let pair = p.trim_start_matches("set-out/").to_uppercase();
            ["A", "B", "C", "D"].iter().any(|c| pair.contains(c) && !stood(c, &[&before, &during, &since]))
        };
        expected.extend(pegs().into_iter().filter(|p| seen.contains(p) && open_peg(p)));
        // Heads under their beams are read once for the posts and the beams.
        let twin = |p: &String| match p.split_once("/head/") {
            Some(("posts", pair)) => since.contains(&format!("beams/head/{pair}")),
            Some((_, pair)) => since.contains(&format!("posts/head/{pair}")),
            None => false,
        };
        expected.retain(|p| !since.contains(p) && !twin(p));
        prop_assert_eq!(doubted(&now), expected.clone());
        for s in &now.stages {
            for p in s.points.iter().filter(|p| p.from == From::Reading && !p.asked_by_storm) {
                let name = PointName::new(s.stage.id, &p.point.id);
                let as_it_was = calm.point(&name).unwrap().verdict;
                let verdict = if expected.contains(&name.to_string()) { Verdict::Doubtful } else { as_it_was };
                prop_assert_eq!(p.verdict, verdict, "{}", name);
            }
        }
        expected.extend(["seen-from-outside", "above-high-water"].map(|p| format!("centre-mark/{p}")));
        expected.retain(|p| !since.contains(p));
        expected.extend(feet().into_iter().filter(|foot| {
            let post = foot.split('/').nth(1).unwrap();
            stood(post, &[&before, &during])
        }));
        prop_assert_eq!(again(&now), expected);
        let good = made_good(after).house();
        prop_assert!(good.doubts.is_empty(), "{:?}", good.doubts);
        prop_assert!(good.read_again().is_empty());
    }
}
