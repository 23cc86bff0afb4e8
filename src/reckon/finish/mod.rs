//! When the work may be done, were it done many times over.
//!
//! Each task's days are drawn from its triangular distribution, the longest
//! path through the tasks is found, and days lost to weather are added.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use rand_distr::{Distribution, Gamma, Poisson};
use serde::{Serialize, Serializer};
use serde_json::Value;

use super::count::round_up;
use super::fields::{MOST, MOST_THINGS};
use super::order::Order;
use super::{Fields, Refusal};

/// The most days of a task.
pub const MOST_DAYS: f64 = 10_000.0;
/// The most samples of a task drawn, all tasks together.
pub const MOST_DRAWS: u64 = 200_000_000;

/// A task whose days are not known for sure.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// What the builder calls it; no two alike.
    pub id: String,
    /// The tasks that must be over before it begins.
    pub after: Vec<String>,
    /// Days when all goes well, 0 to [`MOST_DAYS`].
    pub early_days: f64,
    /// Days that are the most likely, between the others.
    pub likely_days: f64,
    /// Days when all goes badly, up to [`MOST_DAYS`].
    pub late_days: f64,
}

/// Tasks, weather, and how often to draw.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// What is to be done, up to 10,000 tasks.
    pub tasks: Vec<Task>,
    /// The chance that a day is lost for everybody, 0 to 0.95.
    pub stop_chance: f64,
    /// How often, 100 to 1,000,000.
    pub samples: u32,
    /// Where the random numbers begin, whole, 0 to 1e12.
    pub seed: u64,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key, a number outside its range, days not
    /// in their order, and more than [`MOST_DRAWS`].
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let tasks = f.list("tasks", 0, MOST_THINGS)?;
        let input = Self {
            tasks: tasks.into_iter().map(|(at, v)| read_task(&at, v)).collect::<Result<_, _>>()?,
            stop_chance: f.number("stop_chance", 0.0, 0.95)?,
            samples: f.whole_or("samples", 10_000, 100, 1_000_000)?,
            seed: seed(&mut f)?,
        };
        f.end()?;
        let most = MOST_DRAWS / input.tasks.len().max(1) as u64;
        if u64::from(input.samples) > most {
            let why = format!("{} are too many for so many tasks; 100 to {most} would do", input.samples);
            return Err(Refusal::at("/samples", why));
        }
        Ok(input)
    }
}

fn seed(f: &mut Fields) -> Result<u64, Refusal> {
    let seed = f.number_or("seed", 1.0, 0.0, MOST)?;
    if seed.fract() != 0.0 {
        return Err(Refusal::at("/seed", format!("{seed} is not whole; 0 to {MOST} would do")));
    }
    // In range and whole: the conversion is exact.
    Ok(seed as u64)
}

fn read_task(place: &str, value: Value) -> Result<Task, Refusal> {
    let mut f = Fields::open(place, value)?;
    let after = f.list("after", 0, MOST_THINGS)?;
    let task = Task {
        id: f.text("id")?,
        after: after.into_iter().map(|(at, v)| read_id(&at, v)).collect::<Result<_, _>>()?,
        early_days: f.number("early_days", 0.0, MOST_DAYS)?,
        likely_days: f.number("likely_days", 0.0, MOST_DAYS)?,
        late_days: f.number("late_days", 0.0, MOST_DAYS)?,
    };
    if task.early_days > task.likely_days {
        let why = format!("more than likely_days; 0 to {} would do", task.likely_days);
        return Err(Refusal::at(f.at("early_days"), why));
    }
    if task.late_days < task.likely_days {
        let why = format!("less than likely_days; {} to {MOST_DAYS} would do", task.likely_days);
        return Err(Refusal::at(f.at("late_days"), why));
    }
    f.end()?;
    Ok(task)
}

fn read_id(place: &str, value: Value) -> Result<String, Refusal> {
    match value {
        Value::String(id) => Ok(id),
        _ => Err(Refusal::at(place, "not a text; the id of a task in quotes would do")),
    }
}

/// When the work may be done, in working days from the beginning.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// The least sample that at least a tenth of them do not exceed.
    pub early: f64,
    /// The same for half of them.
    pub likely: f64,
    /// The same for nine tenths.
    pub late: f64,
    /// The mean of all samples.
    pub mean: f64,
    /// For each task, in the order given, the share of samples in which the
    /// finish hangs on it.
    #[serde(serialize_with = "by_id")]
    pub share_on_path: Vec<(String, f64)>,
}

fn by_id<S: Serializer>(shares: &[(String, f64)], to: S) -> Result<S::Ok, S::Error> {
    to.collect_map(shares.iter().map(|(id, share)| (id, share)))
}

/// Draws the finish many times.
///
/// # Errors
/// Refuses an id given twice, an id that no task has, and a circle of tasks.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let tasks: Vec<(&str, &[String])> =
        input.tasks.iter().map(|t| (t.id.as_str(), t.after.as_slice())).collect();
    let order = Order::of(&tasks)?;
    let triangles: Vec<Triangle> = input.tasks.iter().map(Triangle::of).collect();
    let mut paths = Paths::new(&order);
    let mut random = ChaCha8Rng::seed_from_u64(input.seed);
    let mut samples = Vec::with_capacity(input.samples as usize);
    let mut on_path = vec![0_u32; input.tasks.len()];
    for _ in 0..input.samples {
        for (days, triangle) in paths.days.iter_mut().zip(&triangles) {
            *days = triangle.at(share(&mut random));
        }
        let longest = paths.longest();
        paths.count(longest, &mut on_path);
        samples.push(longest + lost_days(round_up(longest), input.stop_chance, &mut random));
    }
    let all = f64::from(input.samples);
    let mean = samples.iter().fold(0.0, |sum, days| sum + days) / all;
    samples.sort_unstable_by(f64::total_cmp);
    // At least 100 samples: the place is never before the first.
    let at = |percent: usize| samples[(samples.len() * percent).div_ceil(100) - 1];
    let shares = input.tasks.iter().zip(&on_path);
    Ok(Out {
        early: at(10),
        likely: at(50),
        late: at(90),
        mean,
        share_on_path: shares.map(|(task, n)| (task.id.clone(), f64::from(*n) / all)).collect(),
    })
}

/// A number from 0 to under 1, in steps of 2⁻⁵³.
fn share(random: &mut ChaCha8Rng) -> f64 {
    const STEP: f64 = 1.0 / (1_u64 << 53) as f64;
    (random.next_u64() >> 11) as f64 * STEP
}

/// Days lost before so many are worked, when each day is lost with a chance:
/// the negative binomial distribution, drawn as Poisson with a mean drawn from
/// a gamma distribution, at a cost that does not grow with the days (M.
/// Greenwood and G. U. Yule, Journal of the Royal Statistical Society 83,
/// 1920).
fn lost_days(worked: f64, chance: f64, random: &mut ChaCha8Rng) -> f64 {
    // Neither distribution is there where no day is worked or none can be
    // lost, nor for a mean so small that it came out as 0.
    let mean = Gamma::new(worked, chance / (1.0 - chance)).map_or(0.0, |gamma| gamma.sample(random));
    Poisson::new(mean).map_or(0.0, |poisson| poisson.sample(random))
}

/// A triangular distribution, ready to draw from.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Triangle {
    early: f64,
    late: f64,
    /// The chance to be no later than is likely.
    rise: f64,
    before: f64,
    behind: f64,
}

impl Triangle {
    fn of(task: &Task) -> Self {
        let (early, late) = (task.early_days, task.late_days);
        let (span, rise) = (late - early, task.likely_days - early);
        Self {
            early,
            late,
            rise: if span > 0.0 { rise / span } else { 1.0 },
            before: span * rise,
            behind: span * (late - task.likely_days),
        }
    }

    /// The days that a share of all draws are under: the distribution turned
    /// round.
    fn at(&self, share: f64) -> f64 {
        if share < self.rise {
            self.early + (share * self.before).sqrt()
        } else {
            self.late - ((1.0 - share) * self.behind).sqrt()
        }
    }
}

/// The longest path through the tasks for one draw of their days.
#[derive(Debug)]
struct Paths<'o> {
    order: &'o Order,
    days: Vec<f64>,
    /// When each task is over at the earliest.
    over: Vec<f64>,
    /// How long the work goes on behind each task at the least.
    behind: Vec<f64>,
}

impl<'o> Paths<'o> {
    fn new(order: &'o Order) -> Self {
        let zeros = vec![0.0; order.sorted.len()];
        Self { order, days: zeros.clone(), over: zeros.clone(), behind: zeros }
    }

    /// How long all takes.
    fn longest(&mut self) -> f64 {
        let mut longest = 0.0_f64;
        for task in &self.order.sorted {
            let start = self.order.after[*task].iter().fold(0.0_f64, |start, b| start.max(self.over[*b]));
            self.over[*task] = start + self.days[*task];
            longest = longest.max(self.over[*task]);
        }
        longest
    }

    /// Counts the tasks that could not take longer without all taking longer.
    fn count(&mut self, longest: f64, on_path: &mut [u32]) {
        self.behind.fill(0.0);
        let spare = 1e-9 * (1.0 + longest);
        for task in self.order.sorted.iter().rev() {
            let with_own = self.behind[*task] + self.days[*task];
            for before in &self.order.after[*task] {
                self.behind[*before] = self.behind[*before].max(with_own);
            }
            on_path[*task] += u32::from(longest - self.over[*task] - self.behind[*task] <= spare);
        }
    }
}

#[cfg(test)]
mod tests;
