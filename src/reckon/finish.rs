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
mod tests {
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
        takes(
            "finish",
            &input,
            &[("/stop_chance", json!(0.95)), ("/seed", json!(0)), ("/seed", json!(1e12))],
        );
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
}
