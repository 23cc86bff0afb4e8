//! Tasks that wait for one another, so sorted that none stands before one it
//! waits for.

use std::collections::{HashMap, HashSet};

use super::Refusal;

/// The most ids of a circle that are named.
const NAMED: usize = 6;

/// Tasks by number, as they were given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Order {
    /// For each task those it waits for, each once.
    pub after: Vec<Vec<usize>>,
    /// All tasks, each behind those it waits for.
    pub sorted: Vec<usize>,
}

impl Order {
    /// Sorts tasks, each an id and the ids it waits for; places are those of
    /// the list `/tasks`.
    ///
    /// # Errors
    /// Refuses an id given twice, an id that no task has, and a circle of
    /// tasks, each at the place that names it.
    pub fn of(tasks: &[(&str, &[String])]) -> Result<Self, Refusal> {
        let mut by_id = HashMap::with_capacity(tasks.len());
        for (i, (id, _)) in tasks.iter().enumerate() {
            if let Some(first) = by_id.insert(*id, i) {
                let why = format!("{id} is also the id of task {first}; another id would do");
                return Err(Refusal::at(format!("/tasks/{i}/id"), why));
            }
        }
        let all = tasks.iter().enumerate().map(|(i, (_, after))| numbers(i, after, &by_id));
        let after: Vec<Vec<usize>> = all.collect::<Result<_, _>>()?;
        match sorted(&after) {
            Ok(sorted) => Ok(Self { after, sorted }),
            Err(waits) => Err(circle(tasks, &after, &waits)),
        }
    }
}

fn numbers(task: usize, after: &[String], by_id: &HashMap<&str, usize>) -> Result<Vec<usize>, Refusal> {
    let mut seen = HashSet::with_capacity(after.len());
    let mut numbers = Vec::with_capacity(after.len());
    for (k, id) in after.iter().enumerate() {
        let Some(before) = by_id.get(id.as_str()) else {
            let why = format!("{id} is not the id of a task; one of the tasks would do");
            return Err(Refusal::at(format!("/tasks/{task}/after/{k}"), why));
        };
        if seen.insert(*before) {
            numbers.push(*before);
        }
    }
    Ok(numbers)
}

/// The order; or, where there is none, how many each task still waits for.
fn sorted(after: &[Vec<usize>]) -> Result<Vec<usize>, Vec<usize>> {
    let mut waits: Vec<usize> = after.iter().map(Vec::len).collect();
    let mut frees = vec![Vec::new(); after.len()];
    for (task, before) in after.iter().enumerate() {
        before.iter().for_each(|b| frees[*b].push(task));
    }
    let mut sorted: Vec<usize> = (0..after.len()).filter(|task| waits[*task] == 0).collect();
    let mut next = 0;
    while let Some(task) = sorted.get(next).copied() {
        next += 1;
        for freed in &frees[task] {
            waits[*freed] -= 1;
            if waits[*freed] == 0 {
                sorted.push(*freed);
            }
        }
    }
    if sorted.len() == after.len() { Ok(sorted) } else { Err(waits) }
}

/// Names a circle among tasks that wait for ever.
fn circle(tasks: &[(&str, &[String])], after: &[Vec<usize>], waits: &[usize]) -> Refusal {
    // Every task that waits for ever waits for another such one: going back
    // from one to the next must come round.
    let before = |task: usize| after[task].iter().copied().find(|b| waits[*b] > 0).unwrap_or(task);
    let mut at = (0..after.len()).find(|task| waits[*task] > 0).unwrap_or(0);
    let mut seen = HashSet::new();
    while seen.insert(at) {
        at = before(at);
    }
    let mut names = vec![tasks[at].0];
    let mut back = before(at);
    let k = tasks[at].1.iter().position(|id| id == tasks[back].0).unwrap_or(0);
    while back != at && names.len() < NAMED {
        names.push(tasks[back].0);
        back = before(back);
    }
    names.push(if back == at { tasks[at].0 } else { "…" });
    Refusal::at(
        format!("/tasks/{at}/after/{k}"),
        format!("a circle: {}; an order without it would do", names.join(" waits for ")),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sorts tasks named by one letter each, "c:ab" for c after a and b.
    fn order(tasks: &[&str]) -> Result<Order, String> {
        let after: Vec<Vec<String>> =
            tasks.iter().map(|t| t.chars().skip(2).map(String::from).collect()).collect();
        let tasks: Vec<(&str, &[String])> =
            tasks.iter().zip(&after).map(|(t, after)| (&t[..1], after.as_slice())).collect();
        Order::of(&tasks).map_err(|refusal| refusal.to_string())
    }

    #[test]
    fn no_task_stands_before_one_it_waits_for() {
        let order = order(&["d:cbb", "c:ab", "b:", "a:b"]).unwrap();
        assert_eq!(order.sorted, [2, 3, 1, 0]);
        assert_eq!(order.after, [vec![1, 2], vec![3, 2], vec![], vec![2]]);
    }

    #[test]
    fn what_cannot_be_sorted_is_named() {
        let said = |tasks: &[&str]| order(tasks).unwrap_err();
        assert!(said(&["a:", "b:", "a:"]).starts_with("/tasks/2/id: a is also the id of task 0; "));
        assert!(said(&["a:", "b:aax"]).starts_with("/tasks/1/after/2: x is not the id of a task; "));
        assert_eq!(
            said(&["d:c", "a:", "b:ac", "c:b"]),
            "/tasks/3/after/0: a circle: c waits for b waits for c; an order without it would do"
        );
        assert!(
            said(&["b:a", "a:ba"]).starts_with("/tasks/0/after/0: a circle: b waits for a waits for b; ")
        );
        assert!(said(&["b:", "a:ba"]).starts_with("/tasks/1/after/1: a circle: a waits for a; "));
        let long = said(&["a:b", "b:c", "c:d", "d:e", "e:f", "f:g", "g:a"]);
        assert!(long.contains("f waits for …; "), "{long}");
    }
}
