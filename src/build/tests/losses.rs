//! Poles that were built in and are lost: asked for again, and the stage in
//! doubt until they are built in anew or somebody writes why not.

use super::*;
use crate::build::entry::Item;

fn lost(trial: Trial, item: &str, count: &str) -> Trial {
    let counts = vec![(item.to_owned(), count.to_owned())];
    trial.draft(&Draft::Lost { counts, built_in: true, remark: String::new() })
}

fn built_in(trial: Trial, item: &str, count: &str) -> Trial {
    trial.draft(&Draft::tally(item, count, "cut")).draft(&Draft::tally(item, count, "used"))
}

fn short(trial: &Trial, stage: &str, item: Item) -> f64 {
    let house = trial.house();
    house.stage(stage).unwrap().items.iter().find(|i| i.need.item == item).unwrap().short
}

fn signed_posts() -> Trial {
    Trial::new("Tern house").span("1.742 m").built(&["centre-mark", "set-out"])
}

#[test]
fn a_post_lost_from_a_signed_stage_is_asked_for_again_until_it_is_built_in_anew() {
    let trial = built_in(signed_posts(), "post", "10").built(&["posts"]);
    assert_eq!(short(&trial, "posts", Item::Post), 0.0);
    let trial = lost(trial, "post", "2");
    assert_eq!(short(&trial, "posts", Item::Post), 2.0);
    let house = trial.house();
    let posts = house.stage("posts").unwrap();
    assert_eq!(posts.state, State::Doubtful);
    assert!(posts.against.contains(&"2 posts lost and not built in anew".to_owned()), "{:?}", posts.against);
    // Signed with a reason, the two are asked for all the same.
    let trial = trial.sign_with("posts", "the two at the gable come next week");
    assert_eq!(trial.house().stage("posts").unwrap().state, State::Signed);
    assert_eq!(short(&trial, "posts", Item::Post), 2.0);
    let trial = built_in(trial, "post", "2");
    assert_eq!(short(&trial, "posts", Item::Post), 0.0);
    assert_eq!(trial.house().stage("posts").unwrap().against, [""; 0]);
}

#[test]
fn a_post_that_was_tallied_only_after_the_signing_is_asked_for_again_too() {
    let trial = built_in(signed_posts().built(&["posts"]), "post", "10");
    let trial = lost(trial, "post", "2");
    assert_eq!(short(&trial, "posts", Item::Post), 2.0);
    assert_eq!(short(&built_in(trial, "post", "2"), "posts", Item::Post), 0.0);
}

#[test]
fn what_is_lost_of_one_stage_leaves_the_others_signed() {
    let trial = built_in(signed_posts(), "post", "10").built(&["posts", "beams"]);
    let house = lost(trial, "post", "1").house();
    assert_eq!(house.stage("posts").unwrap().state, State::Doubtful);
    assert_eq!(house.stage("beams").unwrap().state, State::Signed);
}
