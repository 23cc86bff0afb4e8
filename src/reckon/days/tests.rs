use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::reckon::trial::{refuses, takes, told, tried};

fn task(id: &str, days: u32, needs: &[(&str, u32)], after: &[&str]) -> Task {
    Task {
        id: id.to_owned(),
        days,
        needs: needs.iter().map(|(crew, n)| ((*crew).to_owned(), *n)).collect(),
        after: after.iter().map(|id| (*id).to_owned()).collect(),
        not_before: 0,
    }
}

fn crews(sizes: &[(&str, u32)]) -> Vec<(String, u32)> {
    sizes.iter().map(|(name, size)| ((*name).to_owned(), *size)).collect()
}

#[test]
fn holes_are_dug_by_the_crew_there_is() {
    let tasks = vec![
        task("mark", 1, &[("builders", 2)], &[]),
        task("dig sea side", 2, &[("diggers", 2)], &["mark"]),
        task("dig land side", 2, &[("diggers", 2)], &["mark", "mark"]),
        task("posts", 1, &[("builders", 3), ("diggers", 1)], &["dig sea side", "dig land side"]),
    ];
    let one = In { crews: crews(&[("builders", 3), ("diggers", 3)]), tasks, seconds: 1.0 };
    let two = In { crews: crews(&[("builders", 3), ("diggers", 4)]), ..one.clone() };
    let (one, two) = (run(&one).unwrap(), run(&two).unwrap());
    assert_eq!((one.finish, one.proved), (6, true));
    assert_eq!((two.finish, two.proved), (4, true));
    assert_eq!(two.starts[2], ("dig land side".to_owned(), 1));
}

#[test]
fn nothing_to_do_is_done_at_once() {
    let out = told("days", json!({"crews": {}, "tasks": []}));
    assert_eq!(out.to_string(), r#"{"starts":{},"finish":0,"bound":0,"proved":true}"#);
}

#[test]
fn a_task_of_no_days_takes_nobody_and_waits_its_turn() {
    let tasks = vec![
        task("dig", 3, &[("diggers", 1)], &[]),
        task("blessing", 0, &[("diggers", 1)], &[]),
        task("look", 0, &[("diggers", 1)], &["dig"]),
        task("fill", 1, &[], &["look"]),
    ];
    let out = run(&In { crews: crews(&[("diggers", 1)]), tasks, seconds: 1.0 }).unwrap();
    let days: Vec<u64> = out.starts.iter().map(|(_, day)| *day).collect();
    assert_eq!(days, [0, 0, 3, 3]);
}

#[test]
fn a_task_waits_for_the_day_it_may_begin() {
    let task = |id: &str, not_before: u64| json!({"id": id, "days": 2, "needs": {"hands": 1}, "after": [], "not_before": not_before});
    let out = told("days", json!({"crews": {"hands": 1}, "tasks": [task("poles", 7), task("ropes", 0)]}));
    assert_eq!(out, json!({"starts": {"poles": 7, "ropes": 0}, "finish": 9, "bound": 9, "proved": true}));
    let far =
        told("days", json!({"crews": {"hands": 1}, "tasks": [task("a", 1_000_000_000_000), task("b", 3)]}));
    assert_eq!(far["finish"], json!(1_000_000_000_002_u64));
}

#[test]
fn one_crew_for_all_is_bounded_by_its_work() {
    let tasks = (0..7).map(|i| task(&format!("row {i}"), 3, &[("thatchers", 2)], &[])).collect();
    let out = run(&In { crews: crews(&[("thatchers", 5)]), tasks, seconds: 1.0 }).unwrap();
    assert_eq!(out.finish, 12);
    assert!(out.bound >= 9);
}

#[test]
fn what_cannot_be_planned_is_refused_where_it_stands() {
    let task = |id: &str, after: Value| json!({"id": id, "days": 1, "needs": {"hands": 2}, "after": after});
    let input =
        json!({"crews": {"hands": 2, "a/b": 1}, "tasks": [task("x", json!([])), task("y", json!(["x"]))]});
    refuses(
        "days",
        &input,
        &[
            ("/crews", json!(null)),
            ("/crews", json!([])),
            ("/crews/hands", json!(-1)),
            ("/crews/hands", json!(1_000_001)),
            ("/tasks", json!(null)),
            ("/tasks/1/id", json!("x")),
            ("/tasks/1/id", json!(1)),
            ("/tasks/0/days", json!(1001)),
            ("/tasks/0/days", json!(0.5)),
            ("/tasks/0/needs", json!(null)),
            ("/tasks/0/after", json!(null)),
            ("/tasks/0/not_before", json!(0.5)),
            ("/tasks/0/not_before", json!(-1)),
            ("/tasks/0/not_before", json!(1.1e12)),
            ("/seconds", json!(60.5)),
            ("/seconds", json!(-1)),
        ],
    );
    takes(
        "days",
        &input,
        &[
            ("/crews/hands", json!(2.0)),
            ("/tasks/0/days", json!(0)),
            ("/tasks/1/after", json!(["x", "x"])),
            ("/tasks/0/not_before", json!(4.0)),
            ("/seconds", json!(0)),
        ],
    );
    for (task, place) in [
        (json!({"id": "y", "days": 1, "needs": {"hands": 3}, "after": []}), "/tasks/1/needs/hands"),
        (json!({"id": "y", "days": 0, "needs": {"a/b": 2}, "after": []}), "/tasks/1/needs/a~1b"),
        (json!({"id": "y", "days": 1, "needs": {"c": 0}, "after": []}), "/tasks/1/needs/c"),
        (json!({"id": "y", "days": 1, "needs": {}, "after": ["x", "z"]}), "/tasks/1/after/1"),
        (json!({"id": "y", "days": 1, "needs": {}, "after": ["x", "y"]}), "/tasks/1/after/1"),
        (json!({"id": "y", "days": 1, "needs": {}, "after": ["x", 7]}), "/tasks/1/after/1"),
        (json!({"id": "y", "days": 1, "needs": {}, "after": [], "late": 1}), "/tasks/1/late"),
    ] {
        let mut input = input.clone();
        input["tasks"][1] = task;
        assert_eq!(tried("days", input).unwrap_err().place, place);
    }
}

#[test]
fn a_circle_is_named_where_it_closes() {
    let circle = |ids: &[&str]| {
        let mut tasks = vec![task("free", 1, &[], &[]), task("stuck", 1, &[], &["free", ids[0]])];
        for (i, id) in ids.iter().enumerate() {
            tasks.push(task(id, 1, &[], &["free", ids[(i + 1) % ids.len()]]));
        }
        run(&In { crews: vec![], tasks, seconds: 1.0 }).unwrap_err().to_string()
    };
    assert_eq!(
        circle(&["a", "b", "c"]),
        "/tasks/2/after/1: a circle: a waits for b waits for c waits for a; an order without it would do"
    );
    assert!(circle(&["a"]).starts_with("/tasks/2/after/1: a circle: a waits for a; "));
    assert!(circle(&["a", "b", "c", "d", "e", "f", "g", "h"]).contains("f waits for …; "));
}

/// Up to `most` tasks for up to three crews, of which one task or another may
/// take no time, wait for a day, or need all of a crew.
fn network(most: usize) -> impl Strategy<Value = In> {
    let task = (
        prop_oneof![1 => Just(0), 6 => 1..6_u32],
        proptest::collection::vec(0..4_u32, 3),
        proptest::collection::vec(any::<prop::sample::Index>(), 0..3),
        prop_oneof![4 => Just(0), 1 => 0..9_u64],
    );
    (proptest::collection::vec(task, 1..most), proptest::collection::vec(3..7_u32, 3)).prop_map(
        |(drawn, sizes)| {
            let name = |kind: &str, i: usize| format!("{kind} {i}");
            let tasks = drawn.into_iter().enumerate().map(|(i, (days, needs, after, not_before))| Task {
                id: name("task", i),
                days,
                needs: needs.into_iter().enumerate().map(|(c, n)| (name("crew", c), n)).collect(),
                after: after.into_iter().filter(|_| i > 0).map(|a| name("task", a.index(i))).collect(),
                not_before,
            });
            In {
                tasks: tasks.collect(),
                crews: sizes.into_iter().enumerate().map(|(c, size)| (name("crew", c), size)).collect(),
                seconds: 0.002,
            }
        },
    )
}

/// The start that a plan gives to a task.
fn start(out: &Out, id: &str) -> u64 {
    out.starts.iter().find(|(name, _)| name == id).unwrap().1
}

/// Whether a task may stand on a day with all others where they are.
fn may_stand(input: &In, out: &Out, task: &Task, day: u64) -> bool {
    let ended =
        |id: &String| start(out, id) + u64::from(input.tasks.iter().find(|t| t.id == *id).unwrap().days);
    day >= task.not_before
        && task.after.iter().all(|before| ended(before) <= day)
        && (day..day + u64::from(task.days)).all(|day| {
            task.needs.iter().all(|(crew, n)| {
                let size = input.crews.iter().find(|(name, _)| name == crew).unwrap().1;
                n + taken(input, out, task, crew, day) <= size
            })
        })
}

/// How many of a crew are at other tasks on a day.
fn taken(input: &In, out: &Out, but: &Task, crew: &str, day: u64) -> u32 {
    let at_it = |t: &&Task| (start(out, &t.id)..start(out, &t.id) + u64::from(t.days)).contains(&day);
    let others = input.tasks.iter().filter(|t| t.id != but.id).filter(at_it);
    others.flat_map(|t| &t.needs).filter(|(name, _)| name == crew).map(|(_, n)| n).sum()
}

/// The earliest finish, by placing the tasks in every order.
fn earliest(input: &In) -> u64 {
    fn from(network: &Network, turned: &Network, order: &mut Vec<usize>) -> u64 {
        if order.len() == network.len() {
            return plan::Placer::new(network, turned).place(order).finish;
        }
        let ready =
            |n: &usize| !order.contains(n) && network.nodes[*n].after.iter().all(|a| order.contains(a));
        let next: Vec<usize> = (0..network.len()).filter(ready).collect();
        let finishes = next.into_iter().map(|n| {
            order.push(n);
            let finish = from(network, turned, order);
            order.pop();
            finish
        });
        finishes.min().unwrap()
    }
    let network = Network::of(input).unwrap();
    from(&network, &network.turned(), &mut Vec::new())
}

proptest! {
    #[test]
    fn every_task_stands_where_it_may_and_no_sooner_place_is_free(input in network(14)) {
        let out = run(&input).unwrap();
        for task in &input.tasks {
            let day = start(&out, &task.id);
            prop_assert!(may_stand(&input, &out, task, day), "{}", task.id);
            prop_assert!((0..day).all(|day| !may_stand(&input, &out, task, day)), "{}", task.id);
        }
        let ends = input.tasks.iter().map(|t| start(&out, &t.id) + u64::from(t.days));
        prop_assert_eq!(ends.max(), Some(out.finish));
        prop_assert!(out.bound <= out.finish);
        prop_assert_eq!(out.proved, out.bound == out.finish);
    }

    #[test]
    fn few_tasks_finish_as_early_as_in_any_order(input in network(7)) {
        let out = run(&In { seconds: 0.05, ..input.clone() }).unwrap();
        let best = earliest(&input);
        prop_assert_eq!(out.finish, best);
        prop_assert!(out.bound <= best);
    }

    #[test]
    fn the_same_question_has_the_same_answer(input in network(14)) {
        prop_assert_eq!(run(&input).unwrap(), run(&input).unwrap());
    }

    #[test]
    fn no_bound_for_more_people_is_past_what_fewer_finish_by(mut input in network(14), crew in 0..3_usize) {
        // Not past the bound for fewer: a search cut short proves less than there is.
        let finish = run(&input).unwrap().finish;
        input.crews[crew].1 += 1;
        prop_assert!(run(&input).unwrap().bound <= finish);
    }

    #[test]
    fn a_longer_search_never_finishes_later(input in network(14)) {
        let short = run(&In { seconds: 0.0, ..input.clone() }).unwrap();
        prop_assert!(run(&input).unwrap().finish <= short.finish);
    }
}
