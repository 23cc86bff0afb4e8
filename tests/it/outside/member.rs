use serde_json::{Value, json};

use super::asked::{answer, near, number};

/// A column of the given buckling length, of D40, short-term out of doors.
fn post(length_m: f64) -> Value {
    answer(
        "member",
        json!({
            "d_m": 0.2, "class": "D40", "kmod": 0.7, "height_m": length_m, "length_factor": 1, "axial_n": 331_500,
        }),
    )
}

/// Source: a published verification example for EN 1995-1-1, timber column with
/// bending, C24 of 73 × 198 mm: slenderness 17.54 and 47.62 give 0.298 and
/// 0.809 relative; design strengths 12.92 in compression, 14.77 in bending. Its
/// numbers ask for an E 5 % of 0.67 of the mean, 7,370 (EN 338 prints 7,400).
///
/// DIFFERENCE: the page prints kc 0.541 where its own formula gives 0.544; kc
/// is therefore checked for the other axis, recomputed as 0.8198.
#[test]
fn slenderness_and_design_strengths_are_those_of_a_published_column() {
    let column = |slenderness: f64| {
        answer(
            "member",
            json!({
                "d_m": 0.2, "kmod": 0.8, "height_m": slenderness * 0.05, "length_factor": 1, "axial_n": 1e5,
                "span_m": 1, "load_n_m": 1000,
                "timber": {"fm_k_mpa": 24, "fc_k_mpa": 21, "fv_k_mpa": 4, "e_mean_mpa": 11000, "e_05_mpa": 7370},
            }),
        )
    };
    near(number(&column(17.54), "/relative_slenderness"), 0.298, 5e-4);
    assert_eq!(number(&column(17.54), "/kc"), 1.0);
    let out = column(47.62);
    near(number(&out, "/relative_slenderness"), 0.809, 5e-4);
    near(number(&out, "/kc"), 0.8198, 5e-4);
    let compression = number(&out, "/compression_mpa") / number(&out, "/column_ratio") / number(&out, "/kc");
    near(compression, 12.92, 5e-3);
    near(number(&out, "/bending_mpa") / number(&out, "/bending_ratio"), 14.77, 5e-3);
}

/// Source: EN 1995-1-1 6.3.2 with 0.2 for solid timber, tabulated with Python.
#[test]
fn buckling_follows_its_curve() {
    for (relative, kc) in [
        (0.3, 1.0),
        (0.5, 0.9502),
        (0.75, 0.8526),
        (1.0, 0.6893),
        (1.25, 0.5123),
        (1.5, 0.3793),
        (2.0, 0.2253),
        (2.5, 0.1478),
        (3.0, 0.1041),
    ] {
        let for_one_metre = number(&post(1.0), "/relative_slenderness");
        near(number(&post(relative / for_one_metre), "/kc"), kc, 5.1e-5);
    }
}

/// Source: EN 1995-1-1 6.3.2 worked out with Python for a round post of 200 mm,
/// D40, buckling length 3 m: λ 60, relative 0.9505, kc 0.7257, 331.5 kN.
#[test]
fn a_post_of_two_hundred_carries_what_was_worked_out_apart() {
    let out = post(3.0);
    near(number(&out, "/slenderness"), 60.0, 1e-12);
    near(number(&out, "/relative_slenderness"), 0.9505, 5e-5);
    near(number(&out, "/kc"), 0.7257, 5e-5);
    near(number(&out, "/column_ratio"), 1.0, 3e-4);
}

/// Source: 5wL⁴/384EI worked out with Python for 150 mm, 4 m, 1 kN/m and an E
/// of 11,000 N/mm² (D30): 12.19 mm; W of 200 mm is 785,398 mm³.
#[test]
fn a_beam_bends_as_the_textbook_says() {
    let beam = |d_m: f64| {
        answer("member", json!({"d_m": d_m, "class": "D30", "kmod": 0.6, "span_m": 4, "load_n_m": 1000}))
    };
    near(number(&beam(0.15), "/deflection_m"), 12.19e-3, 5e-6);
    near(number(&beam(0.2), "/moment_n_m") / number(&beam(0.2), "/bending_mpa"), 785.398, 5e-4);
}

/// Source: EN 338:2016, hardwood classes, from the TU Delft Vademecum. Bending,
/// compression, shear, E mean, E 5 %.
#[test]
fn classes_have_the_strengths_of_the_standard() {
    for (class, strengths) in [
        ("D18", [18.0, 18.0, 3.5, 9500.0, 8000.0]),
        ("D24", [24.0, 21.0, 3.7, 10000.0, 8400.0]),
        ("D30", [30.0, 24.0, 3.9, 11000.0, 9200.0]),
        ("D35", [35.0, 25.0, 4.1, 12000.0, 10100.0]),
        ("D40", [40.0, 27.0, 4.2, 13000.0, 10900.0]),
        ("D50", [50.0, 30.0, 4.5, 14000.0, 11800.0]),
        ("D60", [60.0, 33.0, 4.8, 17000.0, 14300.0]),
        ("D70", [70.0, 36.0, 5.0, 20000.0, 16800.0]),
    ] {
        let [fm_k_mpa, fc_k_mpa, fv_k_mpa, e_mean_mpa, e_05_mpa] = strengths;
        let timber = json!({
            "fm_k_mpa": fm_k_mpa, "fc_k_mpa": fc_k_mpa, "fv_k_mpa": fv_k_mpa, "e_mean_mpa": e_mean_mpa,
            "e_05_mpa": e_05_mpa,
        });
        let of = |key: &str, value: Value| {
            answer(
                "member",
                json!({
                    "d_m": 0.1, key: value, "kmod": 0.9, "span_m": 3, "load_n_m": 500, "height_m": 2, "axial_n": 900,
                }),
            )
        };
        assert_eq!(of("class", json!(class)), of("timber", timber), "{class}");
    }
}
