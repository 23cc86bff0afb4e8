//! Answers stay finite wherever in their ranges the inputs lie.

use proptest::prelude::*;
use serde_json::{Map, Value, json};

use super::trial::tried;

/// The input with each list of choices replaced by one of them.
fn chosen(choices: &Value, picks: &mut impl Iterator<Item = usize>) -> Value {
    match choices {
        Value::Array(ends) => match ends.get(picks.next().unwrap_or(0) % ends.len().max(1)) {
            Some(end) => chosen(end, picks),
            None => Value::Null,
        },
        Value::Object(keys) => {
            let keys = keys.iter().map(|(key, value)| match key.as_str() {
                // A list of one thing, whose keys are chosen.
                "joints" | "parts" | "links" | "stock" | "pieces" => {
                    (key.clone(), json!([chosen(value, picks)]))
                }
                "breaks_n" => (key.clone(), json!([0, 1, 2].map(|_| chosen(value, picks)))),
                _ => (key.clone(), chosen(value, picks)),
            });
            Value::Object(keys.filter(|(_, value)| !value.is_null()).collect::<Map<_, _>>())
        }
        plain => plain.clone(),
    }
}

/// Topics with the ends of each range; null leaves a key out.
fn ranges() -> Vec<(&'static str, Value)> {
    let length = json!([1e-6, 1.0, 1000.0]);
    let or_zero = json!([0, 1e-6, 1000.0]);
    let count = json!([0, 1, 1_000_000]);
    let amount = json!([0, 5e-324, 1e-9, 1.0, 1e12]);
    let divisor = json!([1e-9, 1.0, 1e12]);
    let share = json!([5e-324, 1e-300, 1e-9, 1.0]);
    vec![
        ("setout", json!({"length_m": length, "width_m": length})),
        ("rafters", json!({"ridge_m": length, "max_spacing_m": length, "end_inset_m": or_zero})),
        (
            "roof",
            json!({
                "width_m": length, "length_m": length, "rise_m": length, "eave_m": or_zero, "gable_m": or_zero,
            }),
        ),
        ("legs", json!({"width_m": length, "left_m": [1e-6, 1.0, 999.0, 1000.0], "right_m": length})),
        (
            "thatch",
            json!({
                "slope_m": length, "ridge_m": length, "course_m": length, "panel_m": length,
                "side_lap_m": or_zero, "cap_panel_m": length, "cap_lap_m": or_zero, "slopes": [1, 4],
                "pins_per_cap": [1, 20], "spoil": [0, 0.9],
            }),
        ),
        (
            "cord",
            json!({
                "joints": {
                    "name": "", "count": count, "d1_m": length, "d2_m": length, "wraps": [0, 1000], "fraps": [0, 1000],
                },
                "cord_d_m": length, "tails_m": or_zero, "spare": [0, 2],
            }),
        ),
        (
            "timber",
            json!({
                "stock": {"length_m": length, "count": [null, 0, 1_000_000], "d_m": [null, 1e-6, 1000]},
                "pieces": {"name": "", "length_m": length, "count": [0, 1, 100_000], "min_d_m": or_zero},
                "kerf_m": or_zero, "seconds": [0, 0.01],
            }),
        ),
        (
            "member",
            json!({
                "d_m": length, "kmod": [5e-324, 1e-300, 0.6, 1.1], "gamma_m": [1, 3],
                "timber": {
                    "fm_k_mpa": divisor, "fc_k_mpa": divisor, "fv_k_mpa": divisor, "e_mean_mpa": divisor,
                    "e_05_mpa": divisor,
                },
                "span_m": length, "load_n_m": amount, "point_n": amount,
                "height_m": length, "axial_n": amount, "length_factor": [0.5, 4],
            }),
        ),
        (
            "gust",
            json!({
                "c_net": divisor, "air_kg_m3": divisor, "gust_m_s": [0, 120], "factor": [1, 20],
                "links": {"name": "", "capacity_n": divisor, "share_m2": divisor, "dead_n": amount},
            }),
        ),
        (
            "footing",
            json!({
                "load_n": divisor, "load_height_m": or_zero, "width_m": length, "bearing_pa_per_m": divisor,
                "pull": [null, {
                    "soil_kg_m3": amount, "cone_deg": [0, 80], "depth_m": length, "foot_m": [null, 1e-6, 1000],
                }],
            }),
        ),
        (
            "lift",
            json!({
                "parts": {"name": "", "count": count, "length_m": length, "d_m": length, "density_kg_m3": amount},
                "mates": count, "pairs": [1, 1000], "pole_m": length,
                "foot_spread_m": [1e-6, 2e-6 - 1e-21, 1.0, 1.999_999_999_999_999_8, 1000.0],
                "each_kg": divisor, "team": share,
            }),
        ),
        (
            "carry",
            json!({
                "mass_kg": amount, "reach_m": length, "start_m": or_zero, "travel_m": or_zero,
                "twist_deg": [0, 135, 180], "lifts_per_min": [0, 15, 60], "hours": share, "grip": ["good", "poor"],
            }),
        ),
        (
            "proof",
            json!({
                "breaks_n": divisor, "confidence": [0.5, 0.999], "fractile": [0.001, 0.5], "factor": [1, 20],
            }),
        ),
    ]
}

/// Keys whose null has a meaning of its own.
const MAY_BE_NULL: [&str; 3] = ["deflection_of_span", "index", "pull_out_n"];

fn nulls(key: &str, value: &Value) -> Vec<String> {
    match value {
        Value::Null if !MAY_BE_NULL.contains(&key) => vec![key.to_owned()],
        Value::Array(all) => all.iter().flat_map(|v| nulls(key, v)).collect(),
        Value::Object(all) => all.iter().flat_map(|(key, v)| nulls(key, v)).collect(),
        _ => Vec::new(),
    }
}

proptest! {
    #[test]
    fn at_the_ends_of_the_ranges_answers_are_finite_or_refused(
        picks in proptest::collection::vec(0..60_usize, 40),
    ) {
        for (topic, choices) in ranges() {
            let input = chosen(&choices, &mut picks.iter().copied());
            match tried(topic, input.clone()) {
                // A number that is not finite is written as null.
                Ok(out) => prop_assert_eq!(nulls("", &out), Vec::<String>::new(), "{}: {}", topic, input),
                Err(refusal) => prop_assert!(
                    input.pointer(&refusal.place).is_some(), "{}: {}: {}", topic, input, refusal
                ),
            }
        }
    }
}
