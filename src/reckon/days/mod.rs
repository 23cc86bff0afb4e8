//! Which task on which day: the shortest plan that the crews allow.
//!
//! Tasks follow one another, take so many of each crew for so many days, and
//! are not broken off. `plan` places them one by one in the order of a list,
//! each as early as can be; `improve` looks for the list with the earliest
//! finish; `bound` and `refute` prove how early no plan can finish. The search
//! is limited by counted steps, so that the answer does not depend on the
//! machine.

mod bound;
mod improve;
mod network;
mod plan;
mod read;
mod refute;

use serde::{Serialize, Serializer};

use super::Refusal;
use network::Network;

/// Steps of search in a second of `seconds`: a task placed is a step. An
/// ordinary core takes less than that second for a hundred tasks of four
/// crews, and up to four for ten thousand.
const STEPS_PER_SECOND: f64 = 3_000_000.0;

/// A task for the crews.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// What the builder calls it; no other task has the name.
    pub id: String,
    /// Working days, 0 to 1,000.
    pub days: u32,
    /// How many of which crew, each 0 to the size of the crew.
    pub needs: Vec<(String, u32)>,
    /// The tasks that must be over before it begins.
    pub after: Vec<String>,
    /// The first day on which it may begin, 0 to 1e12.
    pub not_before: u64,
}

/// Crews and tasks.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// Each crew with its size, 0 to 1,000,000.
    pub crews: Vec<(String, u32)>,
    /// What is to be done, up to 10,000 tasks.
    pub tasks: Vec<Task>,
    /// How long to search: so many times a constant number of steps, 0 to 60.
    pub seconds: f64,
}

/// A plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Out {
    /// The day on which each task begins, in the order given; the first is 0.
    #[serde(serialize_with = "by_id")]
    pub starts: Vec<(String, u64)>,
    /// The day on which all is done; 0 where nothing is to be done.
    pub finish: u64,
    /// No plan finishes before this day.
    pub bound: u64,
    /// Whether the finish is the bound, so that no plan is better.
    pub proved: bool,
}

fn by_id<S: Serializer>(starts: &[(String, u64)], to: S) -> Result<S::Ok, S::Error> {
    to.collect_map(starts.iter().map(|(id, day)| (id, day)))
}

/// Plans the days in the order in which the tasks are given, without a search:
/// each as early as those before it leave room. A task that changes moves none
/// of those before it.
///
/// # Errors
/// As [`run`]; and a task that is given before one it waits for.
pub fn in_order(input: &In) -> Result<Out, Refusal> {
    let network = Network::of(input)?;
    let order = network.as_given()?;
    let turned = network.turned();
    let plan = plan::Placer::new(&network, &turned).place(&order);
    Ok(told(input, &network, &plan, bound::bound(&network)))
}

/// Plans the days.
///
/// # Errors
/// Refuses a name given twice, a task or crew that is not there, a need above
/// the crew, and a circle of tasks that wait for one another.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let network = Network::of(input)?;
    let steps = (input.seconds * STEPS_PER_SECOND) as u64;
    let low = bound::bound(&network);
    let first = improve::search(&network, low, 0);
    let low = refute::raise(&network, low, first.finish, steps);
    let plan = improve::search(&network, low, steps);
    Ok(told(input, &network, &plan, low))
}

fn told(input: &In, network: &Network, plan: &plan::Plan, low: u64) -> Out {
    let starts = network.in_order_given(&plan.starts);
    Out {
        starts: input.tasks.iter().map(|task| task.id.clone()).zip(starts).collect(),
        finish: plan.finish,
        bound: low,
        proved: plan.finish == low,
    }
}

#[cfg(test)]
mod tests;
