//! Four pegs by least squares, against exact results, a textbook figure and
//! an independent solver.

use serde_json::{Value, json};
use spanwright::reckon::net::{Net, Sight};
use spanwright::reckon::square::{In, run};
use statrs::distribution::{ContinuousCDF, Normal};

fn square(input: Value) -> Value {
    let input = In::read(input).unwrap();
    serde_json::to_value(run(&input).unwrap()).unwrap()
}

/// Every number in a value, in its order.
fn numbers(value: &Value) -> Vec<f64> {
    match value {
        Value::Array(all) => all.iter().flat_map(numbers).collect(),
        Value::Object(all) => all.values().flat_map(numbers).collect(),
        other => vec![other.as_f64().unwrap()],
    }
}

#[track_caller]
fn agree(ours: &Value, theirs: &[f64], within: f64) {
    let ours = numbers(ours);
    assert_eq!(ours.len(), theirs.len());
    for (one, other) in ours.iter().zip(theirs) {
        assert!((one - other).abs() <= within, "{one} is not {other}");
    }
}

/// Source: exact; free adjustment of a rectangle a × b with diagonal d and six
/// equal distances: a²/4d², b²/4d² for a side, 1/4 for a diagonal.
#[test]
fn a_rectangle_with_both_diagonals_has_known_redundancy_numbers() {
    for (a, b) in [(1.0, 1.0), (8.0, 5.0), (12.0, 6.0)] {
        let d = f64::hypot(a, b);
        let out = square(json!({"length_m": a, "width_m": b,
            "readings": {"ab": a, "bc": b, "cd": a, "da": b, "ac": d, "bd": d}}));
        let (long, short) = (a * a / (4.0 * d * d), b * b / (4.0 * d * d));
        agree(&out["redundancy_numbers"], &[long, short, long, short, 0.25, 0.25], 1e-14);
        assert_eq!(out["redundancy"], 1);
        // 4.13 over the root of a quarter: 8.26 standard deviations.
        agree(&out["least_findable_m"]["ac"], &[0.0826], 1e-15);
    }
    // The table of the same formula, to its last place.
    let out = square(json!({"length_m": 8, "width_m": 5,
        "readings": {"ab": 8, "bc": 5, "cd": 8, "da": 5, "ac": 89_f64.sqrt(), "bd": 89_f64.sqrt()}}));
    agree(&out["redundancy_numbers"]["ab"], &[0.179_775], 5e-7);
    agree(&out["redundancy_numbers"]["bc"], &[0.070_225], 5e-7);
}

/// Source: exact; with one redundancy all test values are equal (W. Baarda,
/// 1968), so a slip shows but not where.
#[test]
fn six_distances_cannot_say_which_of_them_is_wrong() {
    let out = square(json!({"length_m": 8, "width_m": 6,
        "readings": {"ab": 8, "bc": 6, "cd": 8, "da": 6, "ac": 10.2, "bd": 10}}));
    let w = numbers(&out["w"]);
    assert!(w.iter().all(|one| (one - w[0]).abs() < 1e-9 && *one > 3.29), "{w:?}");
    assert_eq!(out["suspects"], json!(["ab", "bc", "cd", "da", "ac", "bd"]));
}

/// Source: W. Baarda, A Testing Procedure for Use in Geodetic Networks, 1968
/// (from memory), checked by the normal distribution: a level of 0.1 % on two
/// sides, a power of 80 %.
#[test]
fn the_limits_of_a_test_are_those_of_the_normal_distribution() {
    let normal = Normal::standard();
    let critical = normal.inverse_cdf(0.9995);
    let findable = critical + normal.inverse_cdf(0.8);
    assert!((critical - 3.29).abs() < 0.005 && (findable - 4.13).abs() < 0.005);
    let out = |ac: f64| {
        square(json!({"length_m": 8, "width_m": 6,
            "readings": {"ab": 8, "bc": 6, "cd": 8, "da": 6, "ac": ac, "bd": 10}}))
    };
    // A slip in the diagonal shows by a quarter: w is half the slip over sigma.
    assert_eq!(out(10.0 + 2.0 * 0.01 * 3.27)["suspects"], json!([]));
    assert_ne!(out(10.0 + 2.0 * 0.01 * 3.31)["suspects"], json!([]));
    agree(&out(10.0)["least_findable_m"]["ac"], &[2.0 * 0.01 * findable], 2.0 * 0.01 * 0.005);
}

/// Source: Ghilani & Wolf, Adjustment Computations, trilateration of one
/// station from three known ones (coordinates as published, distances from
/// memory); residuals −0.037, +0.077, −0.047 ft and redundancy numbers
/// 0.1464, 0.6183, 0.2352 were worked out from them with numpy.
///
/// DIFFERENCE: a free net has no fixed stations; here the lengths between
/// them are read 100,000 times, which leaves them 1e-5 ft of play.
#[test]
fn a_station_from_three_known_ones_comes_out_as_in_the_textbook() {
    let [a, b, c] = [[865.40, 4527.15], [2432.55, 2047.25], [2865.22, 27.15]];
    let held = |from: usize, to: usize, p: [f64; 2], q: [f64; 2]| {
        let read = (q[0] - p[0]).hypot(q[1] - p[1]);
        Sight { ends: (from, to), read_m: vec![read; 100_000] }
    };
    let read = |from: usize, read: f64| Sight { ends: (from, 3), read_m: vec![read] };
    let sights = vec![
        read(0, 6049.00),
        read(1, 4736.83),
        read(2, 5446.49),
        held(0, 1, a, b),
        held(1, 2, b, c),
        held(0, 2, a, c),
    ];
    let adjusted = Net::new(&[a, b, c, [6860.0, 3730.0]], sights).adjust().unwrap();
    let lengths = adjusted.distances_m.iter().zip([6049.00, 4736.83, 5446.49]);
    let residuals: Vec<f64> = lengths.map(|(adjusted, read)| adjusted - read).collect();
    agree(&json!(residuals), &[-0.037, 0.077, -0.047], 0.0006);
    agree(&json!(adjusted.redundancy_numbers[..3]), &[0.1464, 0.6183, 0.2352], 0.0002);
    let s0 = residuals.iter().map(|v| v * v).sum::<f64>().sqrt();
    assert!((s0 - 0.098).abs() < 0.0005, "{s0}");
}

/// Source: scipy 1.17.1, optimize.least_squares from the design with every
/// single reading a row, then Gauss-Newton steps by numpy's lstsq to rounding
/// level; redundancy numbers from the pseudo-inverse; stats.chi2.sf.
#[test]
fn ten_lengths_with_repeats_agree_with_an_independent_solver() {
    let out = square(json!({"length_m": 6.97, "width_m": 5.2275, "readings": {
        "ab": [6.98, 6.962, 6.97], "bc": 5.236, "cd": 6.951, "da": 5.219, "ac": 8.731, "bd": [8.693],
        "oa": 4.362, "ob": [4.35, 4.341], "oc": 4.377, "od": 4.349}}));
    #[rustfmt::skip]
    agree(&out["corners"], &[
        -3.4932009321951494, -2.6046090782262112, 3.4790621439478424, -2.6012431802417897,
        3.4866529852006205, 2.6383406924740536, -3.4690816941948626, 2.617924031018677,
    ], 1e-13);
    #[rustfmt::skip]
    agree(&out["residuals_m"], &[
        -0.007736111404262225, 0.010263888595738457, 0.0022638885957384502, 0.003589371324329349,
        0.004764643100711119, 0.0035888039171512176, -0.0013446227086930662, -0.0029822109148245346,
        -0.004656634706480034, -0.005999598963487784, 0.0030004010365116685, -0.004633289764813142,
        -0.0029611100240973798,
    ], 1e-13);
    #[rustfmt::skip]
    agree(&out["redundancy_numbers"], &[
        0.6917324315161246, 0.6917324315161245, 0.6917324315161244, 0.1267034165505878, 0.22472289910549925,
        0.12737770205032128, 0.4902101063533961, 0.5259987717565252, 0.3738084890127241, 0.6143366900997563,
        0.6143366900997562, 0.3718380264672445, 0.45546991395581937,
    ], 1e-12);
    #[rustfmt::skip]
    agree(&out["w"], &[
        0.9301514047385809, 1.2340787117086378, 0.272198659954354, 1.0083800060885024, 1.0050940696697843,
        1.005548506700697, 0.192047788858123, 0.4111932628151169, 0.7616362232117543, 0.7654538198677507,
        0.3828036587962004, 0.7598232194679768, 0.43875764524774524,
    ], 1e-10);
    assert_eq!(out["redundancy"], 6);
    agree(&out["sigma_0"], &[0.7375679900372741], 1e-11);
    agree(&out["chance"], &[0.7750516304838719], 1e-11);
    assert_eq!(out["suspects"], json!([]));
    let angles = [89.7077327887827, 90.11066698572083, 89.74881721574972, 90.43278300974676];
    agree(&out["angles_deg"], &angles, 1e-11);
    agree(&out["diagonal_difference_m"], &[0.039637588206131724], 1e-13);
    agree(&out["bisect"]["crossing"], &[-0.004816691063796785, 0.01570698764038614], 1e-13);
    agree(&out["bisect"]["ac_parts_m"], &[4.3628982223760575, 4.366757154915249], 1e-13);
    agree(&out["bisect"]["bd_parts_m"], &[4.357274368021895, 4.33274342106328], 1e-13);
}

/// Source: scipy 1.17.1, as above. Readings to opposite corners only do not
/// fix the centre mark.
#[test]
fn a_taped_plan_agrees_with_an_independent_solver() {
    let out = square(json!({"length_m": 8, "width_m": 6, "sigma_m": 0.003, "readings": {
        "ab": 8.004, "bc": 5.997, "cd": 8.001, "da": 6.003, "ac": 10.006, "bd": 9.995, "oa": 5.001, "oc": 5.0}}));
    assert_eq!(out["unused"], json!(["oa", "oc"]));
    #[rustfmt::skip]
    agree(&out["corners"], &[
        -4.0038993397040805, -3.002924125510628, 3.999499010214641, -2.9966247523956295,
        4.002400464576944, 2.9999249995127095, -3.9980001350875036, 2.999623878393547,
    ], 1e-13);
    let w = numbers(&out["w"]);
    assert!(w.iter().all(|w| (w - 0.49934620373787).abs() < 1e-11), "{w:?}");
    agree(&out["sigma_0"], &[0.49934620373787214], 1e-11);
    agree(&out["chance"], &[0.6175355106617788], 1e-11);
}

/// Source: scipy 1.17.1, as above; residuals of up to a metre, far from any
/// line.
#[test]
fn slips_of_a_metre_agree_with_an_independent_solver() {
    let out = square(json!({"length_m": 8, "width_m": 6, "readings": {
        "ab": 9.3, "bc": 5.1, "cd": 8.4, "da": 6.9, "ac": [10.9, 9.4], "bd": 11.2,
        "ob": 4.2, "oc": 5.9, "od": 5.4}}));
    #[rustfmt::skip]
    agree(&out["corners"], &[
        -4.282065144174065, -2.273829929787124, 4.704993974663682, -1.573916113098881,
        4.2484885678360715, 3.5435006278570764, -4.098696616352164, 4.448267103799603,
    ], 1e-12);
    #[rustfmt::skip]
    agree(&out["redundancy_numbers"], &[
        0.23505051535090193, 0.11685307864503913, 0.21116043872228563, 0.08857857542932934, 0.5884683793300665,
        0.5884683793300665, 0.4588110964098221, 0.3636896236283865, 0.08486043243419106, 0.26405948071991237,
    ], 1e-11);
    agree(&out["sigma_0"], &[95.22910079667291], 1e-9);
    assert_eq!(out["chance"], 0.0);
}

/// Source: scipy 1.17.1, as above.
#[test]
fn a_bad_diagonal_is_named_and_no_other_reading() {
    let out = square(json!({"length_m": 8, "width_m": 6, "readings": {
        "ab": 8, "bc": 6, "cd": 8, "da": 6, "ac": 10.15, "bd": 10, "oa": 5, "ob": 5, "oc": 5, "od": 5}}));
    assert_eq!(out["suspects"], json!(["ac"]));
    #[rustfmt::skip]
    agree(&out["w"], &[
        5.490850429983433, 5.490850429983182, 5.49085042998344, 5.490850429983722, 10.254233639737171,
        2.9245048973395305, 6.590478526747701, 1.6480422571444622, 6.59047852674785, 1.6480422571446098,
    ], 1e-10);
    // So small that only its share of itself says anything.
    let chance = out["chance"].as_f64().unwrap();
    assert!((chance / 1.2134055775510736e-22 - 1.0).abs() < 1e-9, "{chance:e}");
}

/// Source: Euclid, Elements I.47 and the 3-4-5 triangle, common practice on
/// site; the diagonals of a rectangle bisect each other.
#[test]
fn a_plan_of_three_and_four_has_square_corners() {
    let out = square(json!({"length_m": 4, "width_m": 3,
        "readings": {"ab": 4, "bc": 3, "cd": 4, "da": 3, "ac": 5}}));
    agree(&out["angles_deg"], &[90.0; 4], 1e-12);
    agree(&out["bisect"]["ac_parts_m"], &[2.5, 2.5], 1e-14);
    agree(&out["bisect"]["bd_parts_m"], &[2.5, 2.5], 1e-14);
    assert_eq!(
        (&out["redundancy"], &out["sigma_0"], &out["chance"]),
        (&json!(0), &Value::Null, &Value::Null)
    );
}
