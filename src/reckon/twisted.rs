//! Whatever is put in the place of a good input, the answer is finite or the
//! refusal names a place.

use proptest::prelude::*;
use proptest::sample::{Index, select};
use proptest::test_runner::RngSeed;
use serde_json::{Value, json};

use super::TOPICS;
use super::trial::{told, tried};

/// One good input for every topic.
fn good() -> Vec<(&'static str, Value)> {
    let plan = json!({"ab": 8, "bc": 6, "cd": 8, "da": 6, "ac": [10, 10.01], "bd": 10, "oa": 5, "ob": 5});
    vec![
        ("square", json!({"length_m": 8, "width_m": 6, "sigma_m": 0.003, "readings": plan})),
        (
            "plumb",
            json!({
                "height_m": 2.1, "length_m": 8, "width_m": 6, "base": plan, "head": plan,
                "bobs": [
                    {"post": "a", "axis": "length", "offset_m": 0.01},
                    {"post": "a", "axis": "width", "offset_m": 0},
                    {"post": "c", "axis": "length", "offset_m": -0.01},
                ],
            }),
        ),
        ("setout", json!({"length_m": 8, "width_m": 6})),
        ("rafters", json!({"ridge_m": 8, "max_spacing_m": 0.6, "end_inset_m": 0.1})),
        ("roof", json!({"width_m": 6, "length_m": 8, "pitch_deg": 45, "eave_m": 0.5, "gable_m": 0.3})),
        ("legs", json!({"width_m": 6, "left_m": 4.2, "right_m": 4.3})),
        (
            "thatch",
            json!({
                "slope_m": 4.7, "ridge_m": 8.6, "course_m": 0.15, "panel_m": 1.8, "side_lap_m": 0.1,
                "cap_panel_m": 1.8, "cap_lap_m": 0.2, "pins_per_cap": 4, "slopes": 2, "spoil": 0.1,
            }),
        ),
        (
            "cord",
            json!({
                "joints": [{"name": "tie beam", "count": 8, "d1_m": 0.12, "d2_m": 0.1, "wraps": 4, "fraps": 2}],
                "cord_d_m": 0.006, "tails_m": 0.3, "spare": 0.1,
            }),
        ),
        (
            "timber",
            json!({
                "stock": [{"length_m": 6, "count": null, "d_m": 0.1}, {"length_m": 4, "count": 9}],
                "pieces": [
                    {"name": "rafter", "length_m": 2.3, "count": 12, "min_d_m": 0.06},
                    {"name": "brace", "length_m": 1.1, "count": 8},
                ],
                "kerf_m": 0.005, "seconds": 0.001,
            }),
        ),
        (
            "member",
            json!({
                "d_m": 0.12, "class": "D30", "kmod": 0.8, "gamma_m": 1.3, "span_m": 3, "load_n_m": 400,
                "point_n": 900, "height_m": 2.2, "axial_n": 4000, "length_factor": 2,
            }),
        ),
        (
            "gust",
            json!({
                "c_net": 1.2, "air_kg_m3": 1.25, "gust_m_s": 40, "factor": 3,
                "links": [{"name": "rafter foot", "capacity_n": 3000, "share_m2": 2, "dead_n": 200}],
            }),
        ),
        (
            "footing",
            json!({
                "load_n": 1200, "load_height_m": 2, "width_m": 0.15, "bearing_pa_per_m": 15_700,
                "pull": {"soil_kg_m3": 1600, "cone_deg": 15, "depth_m": 0.9, "foot_m": 0.4},
            }),
        ),
        (
            "lift",
            json!({
                "parts": [{"name": "ridge pole", "count": 1, "length_m": 9, "d_m": 0.11, "density_kg_m3": 900}],
                "mates": 4, "pairs": 2, "pole_m": 5, "foot_spread_m": 3, "each_kg": 25, "team": 0.5,
            }),
        ),
        (
            "carry",
            json!({
                "mass_kg": 18, "reach_m": 0.4, "start_m": 0.6, "travel_m": 0.5, "twist_deg": 30,
                "lifts_per_min": 2, "hours": 2, "grip": "fair",
            }),
        ),
        ("proof", json!({"breaks_n": [900, 950, 1010], "confidence": 0.75, "fractile": 0.05, "factor": 3})),
        (
            "days",
            json!({
                "crews": {"kin": 4, "weavers": 3},
                "tasks": [
                    {"id": "posts", "days": 3, "needs": {"kin": 3}, "after": [], "not_before": 1},
                    {"id": "panels", "days": 5, "needs": {"weavers": 3}, "after": []},
                    {"id": "thatch", "days": 4, "needs": {"kin": 4}, "after": ["posts", "panels"]},
                ],
                "seconds": 0.001,
            }),
        ),
        (
            "finish",
            json!({
                "tasks": [
                    {"id": "posts", "after": [], "likely_days": 3, "early_days": 2, "late_days": 6},
                    {"id": "thatch", "after": ["posts"], "likely_days": 4, "early_days": 3, "late_days": 9},
                ],
                "stop_chance": 0.2, "samples": 100, "seed": 1,
            }),
        ),
    ]
}

/// The pointers of all that is in a value, but for the whole.
fn places(at: &str, value: &Value, all: &mut Vec<String>) {
    let mut step = |key: &str, inner: &Value| {
        let place = super::fields::step(at, key);
        all.push(place.clone());
        places(&place, inner, all);
    };
    match value {
        Value::Array(list) => (0..).zip(list).for_each(|(i, inner): (usize, _)| step(&i.to_string(), inner)),
        Value::Object(keys) => keys.iter().for_each(|(key, inner)| step(key, inner)),
        _ => {}
    }
}

/// What becomes of a place.
#[derive(Debug, Clone)]
enum Twist {
    Put(Value),
    Drop,
    Double,
}

fn twist() -> impl Strategy<Value = Twist> {
    let puts = [
        json!(null),
        json!(true),
        json!(""),
        json!("\u{1b}[2J\n"),
        json!("ab"),
        json!("1"),
        json!([]),
        json!({}),
        json!([[]]),
        json!({"": {}}),
        json!({"a": 1}),
        json!(0),
        json!(-0.0),
        json!(1),
        json!(2),
        json!(-1),
        json!(0.5),
        json!(5e-324),
        json!(1e-300),
        json!(1e-9),
        json!(1e-6),
        json!(89.999),
        json!(1000),
        json!(10_000),
        json!(1_000_000),
        json!(1e12),
        json!(1e308),
        json!(-1e308),
        json!(u64::MAX),
        json!(i64::MIN),
        json!([1, "x", null]),
        json!([1e-6, 1000]),
        json!([5, 5, 5, 5]),
    ];
    prop_oneof![4 => select(puts.to_vec()).prop_map(Twist::Put), 1 => Just(Twist::Drop), 1 => Just(Twist::Double)]
}

fn twisted(input: &Value, twist: &Twist, at: Index) -> Value {
    let mut all = Vec::new();
    places("", input, &mut all);
    let mut input = input.clone();
    if all.is_empty() {
        return input;
    }
    let place = at.get(&all);
    let (parent, key) = place.rsplit_once('/').expect("a pointer");
    match (twist, input.pointer_mut(parent)) {
        (Twist::Put(value), _) => *input.pointer_mut(place).expect("it is there") = value.clone(),
        (Twist::Drop, Some(Value::Object(keys))) => drop(keys.remove(key)),
        (Twist::Drop, Some(Value::Array(list))) => drop(list.remove(key.parse().expect("a number"))),
        (Twist::Double, Some(Value::Object(keys))) => {
            let inner = keys.values().next().cloned().expect("one");
            keys.insert("more".to_owned(), inner);
        }
        (Twist::Double, Some(Value::Array(list))) => {
            let inner = list.first().cloned().expect("one");
            list.push(inner);
        }
        _ => {}
    }
    input
}

/// Keys whose null has a meaning of its own, here or further in.
const MAY_BE_NULL: [&str; 12] = [
    "deflection_of_span",
    "index",
    "pull_out_n",
    "sigma_0",
    "chance",
    "w",
    "least_findable_m",
    "bisect",
    "leans",
    "bob_residuals_m",
    "first",
    "foot_m",
];

fn nulls(key: &str, value: &Value) -> Vec<String> {
    match value {
        _ if MAY_BE_NULL.contains(&key) => vec![],
        Value::Null => vec![key.to_owned()],
        Value::Array(all) => all.iter().flat_map(|v| nulls(key, v)).collect(),
        Value::Object(all) => all.iter().flat_map(|(key, v)| nulls(key, v)).collect(),
        _ => vec![],
    }
}

#[test]
fn every_topic_takes_its_good_input() {
    let good = good();
    assert_eq!(good.len(), TOPICS.len());
    for (topic, input) in good {
        assert_eq!(nulls("", &told(topic, input)), Vec::<String>::new(), "{topic}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { rng_seed: RngSeed::Fixed(17), ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_put_in_the_answer_is_finite_or_the_place_is_named(
        twists in proptest::collection::vec((twist(), any::<Index>()), 1..4),
    ) {
        for (topic, good) in good() {
            let input = twists.iter().fold(good, |input, (twist, at)| twisted(&input, twist, *at));
            match tried(topic, input.clone()) {
                // A number that is not finite is written as null.
                Ok(out) => prop_assert_eq!(nulls("", &out), Vec::<String>::new(), "{}: {}", topic, input),
                Err(refusal) => {
                    prop_assert!(refusal.place.starts_with('/'), "{}: {}: {}", topic, input, refusal);
                    prop_assert!(!refusal.why.is_empty(), "{}: {}", topic, input);
                }
            }
        }
    }
}
