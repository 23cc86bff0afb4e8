use serde_json::{Value, json};

use super::asked::{answer, near, number};

/// Draws for each check; the same numbers every time.
const SAMPLES: u32 = 200_000;

fn task(id: &str, after: &[&str], [early, likely, late]: [f64; 3]) -> Value {
    json!({"id": id, "after": after, "early_days": early, "likely_days": likely, "late_days": late})
}

fn finish(tasks: &[Value], stop_chance: f64) -> Value {
    answer("finish", json!({"tasks": tasks, "stop_chance": stop_chance, "samples": SAMPLES}))
}

/// Checks a fractile to four standard errors, √(q(1 − q)/n)/density.
#[track_caller]
fn fractile(out: &Value, key: &str, share: f64, meant: f64, density: f64) {
    let error = (share * (1.0 - share) / f64::from(SAMPLES)).sqrt() / density;
    near(number(out, key), meant, 4.0 * error);
}

/// Source: mean (a + b + c)/3 and variance of the triangular distribution, and
/// its fractiles by scipy 1.17.1 (stats.triang.ppf and pdf, c = 0.2, loc = 2,
/// scale = 5).
#[test]
fn one_task_is_drawn_from_its_triangle() {
    let out = finish(&[task("a", &[], [2.0, 3.0, 7.0])], 0.0);
    near(number(&out, "/mean"), 4.0, 4.0 * 1.080_123 / f64::from(SAMPLES).sqrt());
    fractile(&out, "/early", 0.1, 2.707_106_78, 0.282_842_7);
    fractile(&out, "/likely", 0.5, 3.837_722_34, 0.316_227_8);
    fractile(&out, "/late", 0.9, 5.585_786_44, 0.141_421_4);
}

/// Source: means and variances add up along a chain; fractiles of the sum by
/// numpy 2.4.6 (convolve) of three scipy 1.17.1 stats.triang in steps of 0.001
/// days.
#[test]
fn a_chain_of_tasks_adds_up() {
    let out = finish(
        &[
            task("c", &["b"], [2.0, 2.0, 5.0]),
            task("a", &[], [1.0, 2.0, 4.0]),
            task("b", &["a"], [0.0, 3.0, 3.0]),
        ],
        0.0,
    );
    near(number(&out, "/mean"), 22.0 / 3.0, 4.0 * 1.178_511 / f64::from(SAMPLES).sqrt());
    fractile(&out, "/early", 0.1, 5.809_238, 0.150_099);
    fractile(&out, "/likely", 0.5, 7.320_766, 0.333_249);
    fractile(&out, "/late", 0.9, 8.869_977, 0.146_919);
    assert_eq!(out["share_on_path"], json!({"c": 1.0, "a": 1.0, "b": 1.0}));
}

/// Source: of two equal tasks side by side the later has F² for its
/// distribution: fractiles stats.triang.ppf(√q), mean 2 − ∫F² (scipy 1.17.1,
/// integrate.quad); by symmetry each is the later one half of the times.
#[test]
fn of_two_tasks_side_by_side_the_later_one_counts() {
    let out = finish(&[task("a", &[], [0.0, 1.0, 2.0]), task("b", &[], [0.0, 1.0, 2.0])], 0.0);
    // The standard deviation of the later one is under that of one, 0.408.
    near(number(&out, "/mean"), 1.233_333_3, 4.0 * 0.408 / f64::from(SAMPLES).sqrt());
    // Density 2·F·f at the fractiles.
    fractile(&out, "/early", 0.1, 0.795_270_7, 2.0 * 0.316_228 * 0.795_271);
    fractile(&out, "/likely", 0.5, 1.234_633_1, 2.0 * 0.5_f64.sqrt() * 0.765_367);
    fractile(&out, "/late", 0.9, 1.679_635_5, 2.0 * 0.948_683 * 0.320_364);
    let half_within = 4.0 * 0.5 / f64::from(SAMPLES).sqrt();
    near(number(&out, "/share_on_path/a"), 0.5, half_within);
    // No draw of 53 binary places is likely to come twice.
    near(number(&out, "/share_on_path/a") + number(&out, "/share_on_path/b"), 1.0, 1e-9);
}

/// Source: the negative binomial distribution, scipy 1.17.1 (stats.nbinom.ppf,
/// mean and std of the failures before D successes of chance 1 − p); its
/// distribution at these whole fractiles is far enough from 10, 50 and 90 % to
/// be met exactly.
#[test]
fn lost_days_come_on_top() {
    for (days, worked, chance, fractiles, mean, deviation) in [
        (20.0, 20, 0.2, [22, 25, 28], 25.0, 2.5),
        // Part of a day asks for a whole one without loss.
        (4.25, 5, 0.25, [5, 6, 9], 6.666_666_666_666_667, 1.490_712),
    ] {
        let out = finish(&[task("a", &[], [days; 3])], chance);
        for (key, meant) in ["/early", "/likely", "/late"].into_iter().zip(fractiles) {
            assert_eq!(number(&out, key), days + f64::from(meant - worked), "{key} of {days}");
        }
        let mean = mean - f64::from(worked) + days;
        near(number(&out, "/mean"), mean, 4.0 * deviation / f64::from(SAMPLES).sqrt());
    }
}

/// Source: as above, for D = 10,000 and p = 0.95.
#[test]
fn a_long_work_in_bad_weather_loses_as_much_as_it_should() {
    let out = finish(&[task("a", &[], [10_000.0; 3])], 0.95);
    near(number(&out, "/mean"), 200_000.0, 4.0 * 1949.359 / f64::from(SAMPLES).sqrt());
    fractile(&out, "/early", 0.1, 197_506.0, 9.080_48e-5);
    fractile(&out, "/likely", 0.5, 199_994.0, 2.046_567e-4);
    fractile(&out, "/late", 0.9, 202_502.0, 8.928_636e-5);
}
