//! The finish against what can be told without drawing it.

use proptest::prelude::*;
use serde_json::json;

use super::*;
use crate::reckon::trial::{refuses, takes, told, tried};

fn task(id: &str, after: &[&str], days: [f64; 3]) -> Value {
    json!({
        "id": id, "after": after,
        "early_days": days[0], "likely_days": days[1], "late_days": days[2],
    })
}

fn sure(id: &str, after: &[&str], days: f64) -> Value {
    task(id, after, [days; 3])
}

#[test]
fn days_that_are_sure_finish_on_the_longest_path() {
    let tasks = json!([
        sure("thatch", &["roof", "panels"], 4.5),
        sure("posts", &[], 3.0),
        sure("roof", &["posts", "posts"], 5.25),
        sure("panels", &[], 8.0),
        sure("path", &[], 0.0),
    ]);
    assert_eq!(
        told("finish", json!({"tasks": tasks, "stop_chance": 0, "samples": 100})),
        json!({
            "early": 12.75, "likely": 12.75, "late": 12.75, "mean": 12.75,
            "share_on_path": {"thatch": 1.0, "posts": 1.0, "roof": 1.0, "panels": 0.0, "path": 0.0},
        })
    );
}

#[test]
fn paths_of_one_length_count_for_all() {
    let tasks = json!([
        sure("a", &[], 0.1),
        sure("b", &["a"], 0.2),
        sure("c", &[], 0.3),
        sure("d", &["b", "c"], 1.0),
        sure("e", &["d"], 0.0),
    ]);
    let out = told("finish", json!({"tasks": tasks, "stop_chance": 0, "samples": 100}));
    // 0.1 + 0.2 is a little more than 0.3 in doubles.
    assert_eq!(out["share_on_path"], json!({"a": 1.0, "b": 1.0, "c": 1.0, "d": 1.0, "e": 1.0}));
}

#[test]
fn no_tasks_are_done_at_once() {
    assert_eq!(
        told("finish", json!({"tasks": [], "stop_chance": 0.95})).to_string(),
        r#"{"early":0.0,"likely":0.0,"late":0.0,"mean":0.0,"share_on_path":{}}"#
    );
}

#[test]
fn the_triangle_turned_round_is_met_at_its_corners() {
    let of = |early_days, likely_days, late_days| {
        let task = Task { id: String::new(), after: Vec::new(), early_days, likely_days, late_days };
        Triangle::of(&task)
    };
    let triangle = of(2.0, 3.0, 7.0);
    assert_eq!((triangle.at(0.0), triangle.at(0.2)), (2.0, 3.0));
    assert!((triangle.at(1.0 - f64::EPSILON / 2.0) - 7.0).abs() < 1e-7);
    let straight = of(2.0, 2.0, 6.0);
    assert_eq!((straight.at(0.0), straight.at(0.75)), (2.0, 4.0));
    let straight = of(2.0, 6.0, 6.0);
    assert_eq!((straight.at(0.0), straight.at(0.25)), (2.0, 4.0));
    assert_eq!(of(2.5, 2.5, 2.5).at(0.7), 2.5);
}

#[test]
fn draws_of_a_triangle_have_its_mean_and_variance() {
    let [a, c, b] = [2.0, 3.0, 7.0];
    let task = Task { id: String::new(), after: Vec::new(), early_days: a, likely_days: c, late_days: b };
    let triangle = Triangle::of(&task);
    let mut random = ChaCha8Rng::seed_from_u64(7);
    let draws: Vec<f64> = (0..100_000).map(|_| triangle.at(share(&mut random))).collect();
    let mean = draws.iter().sum::<f64>() / 1e5;
    let variance = draws.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 1e5;
    let meant = (a * a + b * b + c * c - a * b - a * c - b * c) / 18.0;
    // Four standard errors: √(σ²/n), and √((κ − 1)/n)·σ² with κ = 2.4.
    assert!((mean - (a + b + c) / 3.0).abs() < 4.0 * (meant / 1e5).sqrt());
    assert!((variance - meant).abs() < 4.0 * meant * (1.4_f64 / 1e5).sqrt());
}

#[test]
fn lost_days_have_the_mean_and_variance_of_failures() {
    let mut random = ChaCha8Rng::seed_from_u64(7);
    for (worked, chance) in [(1.0, 0.3), (12.0, 0.05), (40.0, 0.5), (3000.0, 0.95), (1e8, 0.2)] {
        let draws: Vec<f64> = (0..40_000).map(|_| lost_days(worked, chance, &mut random)).collect();
        assert!(draws.iter().all(|x| *x >= 0.0 && x.fract() == 0.0));
        let mean = draws.iter().sum::<f64>() / 4e4;
        let variance = draws.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 4e4;
        let (mean_meant, worked_off) = (worked * chance / (1.0 - chance), 1.0 - chance);
        let meant = mean_meant / worked_off;
        // Excess kurtosis (6 + (1 − p)²/p)/n of n failures' distribution;
        // four standard errors of mean and variance.
        let excess = (6.0 + worked_off * worked_off / chance) / worked;
        assert!((mean - mean_meant).abs() < 4.0 * (meant / 4e4).sqrt(), "{worked} {chance}: {mean}");
        assert!((variance / meant - 1.0).abs() < 4.0 * ((2.0 + excess) / 4e4).sqrt(), "{variance}");
    }
    assert_eq!(lost_days(0.0, 0.5, &mut random), 0.0);
    assert_eq!(lost_days(20.0, 0.0, &mut random), 0.0);
    assert_eq!(lost_days(20.0, 5e-324, &mut random), 0.0);
}

#[test]
fn a_seed_gives_the_same_answer_and_another_another() {
    let tasks = json!([task("a", &[], [1.0, 2.0, 5.0]), task("b", &["a"], [0.5, 1.0, 1.5])]);
    let mean = |seed: Option<f64>| {
        let mut input = json!({"tasks": tasks, "stop_chance": 0.2, "samples": 100});
        if let Some(seed) = seed {
            input["seed"] = json!(seed);
        }
        told("finish", input)["mean"].clone()
    };
    assert_eq!(mean(None), mean(Some(1.0)));
    assert_ne!(mean(None), mean(Some(1e12)));
}

#[test]
fn what_cannot_be_finished_is_refused_where_it_stands() {
    let tasks = json!([task("a", &[], [1.0, 2.0, 5.0]), task("b", &["a", "a"], [1.0, 2.0, 5.0])]);
    let input = json!({"tasks": tasks, "stop_chance": 0.1, "samples": 100, "seed": 3});
    refuses(
        "finish",
        &input,
        &[
            ("/tasks", json!({})),
            ("/tasks/1/id", json!("a")),
            ("/tasks/1/id", json!(3)),
            ("/tasks/1/after", json!("a")),
            ("/tasks/0/early_days", json!(2.5)),
            ("/tasks/0/late_days", json!(1.5)),
            ("/tasks/0/late_days", json!(10_001)),
            ("/tasks/0/likely_days", json!(-1)),
            ("/stop_chance", json!(0.96)),
            ("/stop_chance", json!(null)),
            ("/samples", json!(99)),
            ("/samples", json!(1_000_001)),
            ("/samples", json!(1000.5)),
            ("/seed", json!(0.5)),
            ("/seed", json!(-1)),
            ("/seed", json!(1.1e12)),
        ],
    );
    takes("finish", &input, &[("/stop_chance", json!(0.95)), ("/seed", json!(0)), ("/seed", json!(1e12))]);
    let place = |after: Value| {
        let mut input = input.clone();
        input["tasks"][0]["after"] = after;
        tried("finish", input).unwrap_err().place
    };
    assert_eq!(place(json!(["x"])), "/tasks/0/after/0");
    assert_eq!(place(json!(["b", 4])), "/tasks/0/after/1");
    assert_eq!(place(json!(["a"])), "/tasks/0/after/0");
    assert_eq!(place(json!(["b"])), "/tasks/0/after/0");
}

#[test]
fn more_draws_than_can_be_waited_for_are_refused() {
    let read = |count: usize, samples: u32| {
        let tasks: Vec<Value> = (0..count).map(|i| sure(&i.to_string(), &[], 1.0)).collect();
        let input = In::read(json!({"tasks": tasks, "stop_chance": 0, "samples": samples}));
        input.map(|_| ()).map_err(|refusal| refusal.place)
    };
    assert_eq!(read(200, 1_000_000), Ok(()));
    assert_eq!(read(201, 1_000_000), Err("/samples".into()));
    assert_eq!(read(10_000, 20_001), Err("/samples".into()));
}

proptest! {
    #[test]
    fn a_finish_lies_between_all_early_and_all_late(
        days in proptest::collection::vec((0.0..9.0_f64, 0.0..9.0_f64, 0.0..9.0_f64), 1..9),
        back in proptest::collection::vec(0..9_usize, 9),
    ) {
        let tasks: Vec<Task> = days.iter().enumerate().map(|(i, (early, more, much))| Task {
            id: i.to_string(),
            after: back[i].checked_sub(1).filter(|b| *b < i).map(|b| b.to_string()).into_iter().collect(),
            early_days: *early, likely_days: early + more, late_days: early + more + much,
        }).collect();
        let of = |days: fn(&Task) -> f64| {
            let tasks = tasks.iter().map(|t| Task {
                early_days: days(t), likely_days: days(t), late_days: days(t), ..t.clone()
            }).collect();
            run(&In { tasks, stop_chance: 0.0, samples: 100, seed: 1 }).unwrap().mean
        };
        let (least, most) = (of(|t| t.early_days), of(|t| t.late_days));
        let out = run(&In { tasks: tasks.clone(), stop_chance: 0.0, samples: 200, seed: 5 }).unwrap();
        // Sums of a few numbers under 100.
        prop_assert!(least - 1e-10 <= out.early && out.late <= most + 1e-10);
        prop_assert!(out.early <= out.likely && out.likely <= out.late);
        // On every draw at least one task holds up the finish.
        prop_assert!(out.share_on_path.iter().map(|(_, share)| share).sum::<f64>() >= 1.0 - 1e-12);
    }
}
