//! A storm, by commands: what is to be read again.

use serde_json::json as value;

use super::{house, json, point, refused, tern};

#[test]
fn after_a_storm_the_open_pegs_are_read_again_in_walking_order() {
    let desk = tern();
    for (pair, said) in [("ab", "6.970m"), ("bc", "5.225m"), ("oc", "4.355m")] {
        desk.run(["read", "Tern house", &format!("set-out/{pair}"), said]).well();
    }
    desk.run(["read", "Tern house", "posts/A/depth", "0.95m"]).well();
    desk.run(["hold", "--all", "--cause", "storm"]).well();
    assert_eq!(house(&desk)["doubts"], value!([]), "not before it is over");
    let resumed = json(&desk, &["resume", "--all"]);
    let list: Vec<&str> = resumed["read_again"][0]["points"]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| p["point"].as_str().unwrap())
        .collect();
    let first = ["centre-mark/seen-from-outside", "centre-mark/above-high-water"];
    assert_eq!(list[..2], first);
    assert_eq!(list[2..], ["set-out/ab", "set-out/bc", "set-out/oc"]);
    let now = house(&desk);
    assert_eq!(point(&now, "set-out", "ab")["verdict"], "doubtful");
    assert_eq!(point(&now, "posts", "A/depth")["verdict"], "true");
    assert_eq!(now["read_again"].as_array().unwrap().len(), 5);
    assert!(now["doubts"][0]["cause"].as_str().unwrap().contains("storm"), "{now}");
    let told = desk.run(["house", "Tern house"]).well();
    assert!(told.contains("5 points to read again, in this order:"), "{told}");
    desk.run(["read", "Tern house", "set-out/ab", "6.970m"]).well();
    assert_eq!(point(&house(&desk), "set-out", "ab")["verdict"], "true");
}

#[test]
fn after_a_feast_nothing_is_read_again() {
    let desk = tern();
    desk.run(["read", "Tern house", "set-out/ab", "6.970m"]).well();
    desk.run(["hold", "Tern house", "--cause", "feast"]).well();
    assert_eq!(json(&desk, &["resume", "Tern house"])["read_again"], value!([]));
    refused(&desk, &["read", "Tern house", "posts/A/ground", "yes"], 2, &["no point \"A/ground\""]);
}
