//! Tasks by number, sorted so that none stands before one it waits for.

use std::collections::{HashMap, HashSet};

use super::{In, Task};
use crate::reckon::fields::{Refusal, step};

/// A number of people of a crew, both by number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Need {
    pub crew: usize,
    pub people: u32,
    /// Its number among the different needs: crew, people and days.
    pub kind: usize,
}

/// One task of a network.
#[derive(Debug, Clone, Default)]
pub(super) struct Node {
    pub days: u64,
    /// Whom it takes while it lasts; nobody where it takes no time.
    pub needs: Vec<Need>,
    /// The tasks it waits for, all of them of smaller numbers.
    pub after: Vec<usize>,
    pub not_before: u64,
}

/// What is to be done, and by whom.
#[derive(Debug, Clone)]
pub(super) struct Network {
    /// The size of each crew.
    pub crews: Vec<u32>,
    pub nodes: Vec<Node>,
    /// For each task, the least days from the beginning to its start.
    pub heads: Vec<u64>,
    /// For each task, the least days from its end to the finish.
    pub tails: Vec<u64>,
    /// How many different needs there are.
    pub kinds: usize,
    /// For each task in the order given, its number here.
    number: Vec<usize>,
}

impl Network {
    /// Resolves all names and sorts the tasks.
    pub fn of(input: &In) -> Result<Self, Refusal> {
        let by_id = by_id(&input.tasks)?;
        let crews: HashMap<&str, (usize, u32)> =
            input.crews.iter().enumerate().map(|(i, (name, size))| (name.as_str(), (i, *size))).collect();
        let mut nodes = Vec::with_capacity(input.tasks.len());
        for (i, task) in input.tasks.iter().enumerate() {
            let place = format!("/tasks/{i}");
            let needs = needs(&place, task, &crews)?;
            let after = after(&place, task, &by_id)?;
            nodes.push(Node { days: task.days.into(), needs, after, not_before: task.not_before });
        }
        let sorted = sort(&nodes).map_err(|stuck| circle(input, &nodes, &stuck))?;
        let mut number = vec![0; nodes.len()];
        for (n, given) in sorted.iter().enumerate() {
            number[*given] = n;
        }
        let nodes = sorted
            .iter()
            .map(|given| {
                let mut node = std::mem::take(&mut nodes[*given]);
                node.after.iter_mut().for_each(|a| *a = number[*a]);
                node
            })
            .collect();
        let mut network = Self {
            crews: input.crews.iter().map(|(_, size)| *size).collect(),
            nodes,
            heads: Vec::new(),
            tails: Vec::new(),
            kinds: 0,
            number,
        };
        network.set_kinds();
        network.set_heads_and_tails();
        Ok(network)
    }

    /// How many tasks there are.
    pub fn len(&self) -> usize {
        self.nodes.len()
    }

    /// What is known of each task, in the order the tasks were given.
    pub fn in_order_given<T: Copy>(&self, of: &[T]) -> Vec<T> {
        self.number.iter().map(|n| of[*n]).collect()
    }

    /// The same tasks with time running the other way: what waited is waited
    /// for. Numbers stay, so that here the greater ones come first.
    pub fn turned(&self) -> Self {
        let mut turned = self.clone();
        for (n, node) in self.nodes.iter().enumerate() {
            turned.nodes[n].after.clear();
            turned.nodes[n].not_before = 0;
            for a in &node.after {
                turned.nodes[*a].after.push(n);
            }
        }
        turned
    }

    fn set_kinds(&mut self) {
        let mut kinds = HashMap::new();
        for node in &mut self.nodes {
            for need in &mut node.needs {
                let next = kinds.len();
                need.kind = *kinds.entry((need.crew, need.people, node.days)).or_insert(next);
            }
        }
        self.kinds = kinds.len();
    }

    fn set_heads_and_tails(&mut self) {
        self.heads = vec![0; self.len()];
        self.tails = vec![0; self.len()];
        for (n, node) in self.nodes.iter().enumerate() {
            let ends = node.after.iter().map(|a| self.heads[*a] + self.nodes[*a].days);
            self.heads[n] = ends.max().unwrap_or(0).max(node.not_before);
        }
        for (n, node) in self.nodes.iter().enumerate().rev() {
            let tail = self.tails[n] + node.days;
            for a in &node.after {
                self.tails[*a] = self.tails[*a].max(tail);
            }
        }
    }
}

fn by_id(tasks: &[Task]) -> Result<HashMap<&str, usize>, Refusal> {
    let mut by_id = HashMap::with_capacity(tasks.len());
    for (i, task) in tasks.iter().enumerate() {
        if let Some(first) = by_id.insert(task.id.as_str(), i) {
            let why = format!("{} is also the id of task {first}; another id would do", task.id);
            return Err(Refusal::at(format!("/tasks/{i}/id"), why));
        }
    }
    Ok(by_id)
}

/// Whom a task takes; checked also for a task that takes no time.
fn needs(place: &str, task: &Task, crews: &HashMap<&str, (usize, u32)>) -> Result<Vec<Need>, Refusal> {
    let place = step(place, "needs");
    let mut needs = Vec::with_capacity(task.needs.len());
    for (name, people) in &task.needs {
        match crews.get(name.as_str()) {
            None => {
                return Err(Refusal::at(
                    step(&place, name),
                    format!("{name} is not a crew; one of the crews would do"),
                ));
            }
            Some((_, size)) if people > size => {
                let why = format!("{people} is more than the crew {name} has; 0 to {size} would do");
                return Err(Refusal::at(step(&place, name), why));
            }
            Some((crew, _)) if *people > 0 && task.days > 0 => {
                needs.push(Need { crew: *crew, people: *people, kind: 0 });
            }
            Some(_) => {}
        }
    }
    Ok(needs)
}

/// The tasks that a task waits for, each once.
fn after(place: &str, task: &Task, by_id: &HashMap<&str, usize>) -> Result<Vec<usize>, Refusal> {
    let mut after = Vec::with_capacity(task.after.len());
    let mut seen = HashSet::with_capacity(task.after.len());
    for (k, id) in task.after.iter().enumerate() {
        let Some(before) = by_id.get(id.as_str()) else {
            let why = format!("{id} is not the id of a task; one of the tasks would do");
            return Err(Refusal::at(format!("{place}/after/{k}"), why));
        };
        if seen.insert(*before) {
            after.push(*before);
        }
    }
    Ok(after)
}

/// The tasks so sorted that each stands behind those it waits for; or, where
/// that cannot be, how many each task still waits for.
fn sort(nodes: &[Node]) -> Result<Vec<usize>, Vec<usize>> {
    let mut waits: Vec<usize> = nodes.iter().map(|node| node.after.len()).collect();
    let mut frees = vec![Vec::new(); nodes.len()];
    for (n, node) in nodes.iter().enumerate() {
        node.after.iter().for_each(|a| frees[*a].push(n));
    }
    let mut sorted: Vec<usize> = (0..nodes.len()).filter(|n| waits[*n] == 0).collect();
    let mut next = 0;
    while let Some(n) = sorted.get(next).copied() {
        next += 1;
        for freed in &frees[n] {
            waits[*freed] -= 1;
            if waits[*freed] == 0 {
                sorted.push(*freed);
            }
        }
    }
    if sorted.len() == nodes.len() { Ok(sorted) } else { Err(waits) }
}

/// The most ids of a circle that are named.
const NAMED: usize = 6;

/// Names a circle among tasks that wait for ever.
fn circle(input: &In, nodes: &[Node], waits: &[usize]) -> Refusal {
    // Every task that waits for ever waits for another such one: going back
    // from one to the next must come round.
    let waited_for = |n: usize| nodes[n].after.iter().copied().find(|a| waits[*a] > 0);
    let mut at = (0..nodes.len()).find(|n| waits[*n] > 0).unwrap_or(0);
    let mut seen = HashSet::new();
    while seen.insert(at) {
        at = waited_for(at).unwrap_or(at);
    }
    let id = |n: usize| input.tasks[n].id.as_str();
    let mut names = vec![id(at)];
    let mut back = waited_for(at).unwrap_or(at);
    let first = back;
    while back != at && names.len() < NAMED {
        names.push(id(back));
        back = waited_for(back).unwrap_or(at);
    }
    names.push(if back == at { id(at) } else { "…" });
    let k = input.tasks[at].after.iter().position(|name| name == id(first)).unwrap_or(0);
    Refusal::at(
        format!("/tasks/{at}/after/{k}"),
        format!("a circle: {}; an order without it would do", names.join(" waits for ")),
    )
}
