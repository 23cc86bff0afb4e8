//! Tasks by number, sorted so that none stands before one it waits for.

use std::collections::HashMap;

use super::{In, Task};
use crate::reckon::fields::{Refusal, step};
use crate::reckon::order::Order;

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
        let tasks: Vec<(&str, &[String])> =
            input.tasks.iter().map(|t| (t.id.as_str(), t.after.as_slice())).collect();
        let Order { after, sorted } = Order::of(&tasks)?;
        let crews: HashMap<&str, (usize, u32)> =
            input.crews.iter().enumerate().map(|(i, (name, size))| (name.as_str(), (i, *size))).collect();
        let mut nodes = Vec::with_capacity(input.tasks.len());
        for (i, (task, after)) in input.tasks.iter().zip(after).enumerate() {
            let needs = needs(&format!("/tasks/{i}"), task, &crews)?;
            nodes.push(Node { days: task.days.into(), needs, after, not_before: task.not_before });
        }
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

    /// The tasks in the order given, which must be one in which none stands
    /// before one it waits for.
    pub fn as_given(&self) -> Result<Vec<usize>, Refusal> {
        let mut place = vec![0; self.len()];
        for (given, n) in self.number.iter().enumerate() {
            place[*n] = given;
        }
        for (given, n) in self.number.iter().enumerate() {
            if let Some(late) = self.nodes[*n].after.iter().find(|a| place[**a] > given) {
                let why = format!("it waits for task {}; give that one before it", place[*late]);
                return Err(Refusal::at(format!("/tasks/{given}/after"), why));
            }
        }
        Ok(self.number.clone())
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
