//! Leaning posts, against plain geometry and an independent solver.

use serde_json::{Value, json};
use spanwright::reckon::plumb::{In, run};

fn plumb(input: Value) -> Value {
    let input = In::read(input).unwrap();
    serde_json::to_value(run(&input).unwrap()).unwrap()
}

#[track_caller]
fn agree(ours: &Value, theirs: &[f64], within: f64) {
    let ours: Vec<f64> = match ours {
        Value::Array(all) => all.iter().map(|one| one.as_f64().unwrap()).collect(),
        Value::Object(all) => all.values().map(|one| one.as_f64().unwrap()).collect(),
        other => panic!("{other} holds no numbers"),
    };
    assert_eq!(ours.len(), theirs.len());
    for (one, other) in ours.iter().zip(theirs) {
        assert!((one - other).abs() <= within, "{one} is not {other}");
    }
}

/// Source: exact; a frame of true rectangles whose head is turned by a small
/// angle about the mark and shifted.
#[test]
fn a_frame_turned_and_shifted_as_one_piece_is_found_again() {
    let (sin, cos) = 0.01_f64.sin_cos();
    let moved = |x: f64, y: f64| (cos * x - sin * y + 0.03 - x, sin * x + cos * y - 0.02 - y);
    let plan = json!({"ab": 8, "bc": 6, "cd": 8, "da": 6, "ac": 10});
    let (ax, ay) = moved(-4.0, -3.0);
    let (_, cy) = moved(4.0, 3.0);
    let out =
        plumb(json!({"height_m": 2.1, "length_m": 8, "width_m": 6, "base": plan, "head": plan, "bobs": [
        {"post": "a", "axis": "length", "offset_m": ax},
        {"post": "a", "axis": "width", "offset_m": ay},
        {"post": "c", "axis": "width", "offset_m": cy}]}));
    for (post, x, y) in [("a", -4.0, -3.0), ("b", 4.0, -3.0), ("c", 4.0, 3.0), ("d", -4.0, 3.0)] {
        let (dx, dy) = moved(x, y);
        let lean = dx.hypot(dy);
        agree(&out["leans"][post], &[dx, dy, lean, (lean / 2.1).atan().to_degrees()], 1e-12);
    }
    agree(&out["bob_residuals_m"], &[0.0; 3], 1e-14);
    agree(&out["spacing_m"], &[0.0; 6], 1e-14);
}

/// Source: scipy 1.17.1, optimize.least_squares for both shapes and for the
/// two shifts and the turn of the head, then Gauss-Newton steps by numpy's
/// lstsq to rounding level.
#[test]
fn five_bobs_agree_with_an_independent_solver() {
    let out = plumb(json!({"height_m": 2.1, "length_m": 6.97, "width_m": 5.2275,
        "base": {"ab": 6.975, "bc": 5.22, "cd": 6.962, "da": 5.235, "ac": 8.715, "bd": 8.708,
                 "oa": 4.36, "ob": 4.352, "oc": 4.359, "od": 4.355},
        "head": {"ab": 6.99, "bc": 5.25, "cd": 6.95, "da": 5.21, "ac": 8.74, "bd": 8.69},
        "bobs": [{"post": "a", "axis": "length", "offset_m": 0.021}, {"post": "a", "axis": "width", "offset_m": -0.012},
                 {"post": "c", "axis": "length", "offset_m": 0.035}, {"post": "c", "axis": "width", "offset_m": 0.008},
                 {"post": "b", "axis": "width", "offset_m": -0.004}]}));
    assert_eq!((&out["sway_known"], &out["unseen"]), (&json!(true), &json!(0)));
    for (post, lean) in [
        ("a", [0.023300525986508447, -0.010280206596585462, 0.025467570730567032, 0.6948156130996768]),
        ("b", [0.03839916774409913, -0.013891394172282912, 0.04083462887659441, 1.1139795605932854]),
        ("c", [0.0326994740134916, 0.016171600768869254, 0.036479806361694206, 0.9952041607668628]),
        ("d", [0.044757106595015195, -0.0352913840013902, 0.056997196207279645, 1.5547129692258117]),
    ] {
        agree(&out["leans"][post], &lean, 1e-12);
    }
    #[rustfmt::skip]
    agree(&out["bob_residuals_m"], &[
        0.0023005259865084456, 0.0017197934034145386, -0.0023005259865084005, 0.008171600768869254,
        -0.009891394172282911,
    ], 1e-13);
    #[rustfmt::skip]
    agree(&out["spacing_m"], &[
        0.01509434286947453, 0.03006937043910618, -0.011903329905209148, -0.024925907794183466,
        0.02340562305072247, -0.017917534387649425,
    ], 1e-13);
}
