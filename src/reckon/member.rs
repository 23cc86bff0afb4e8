//! A round pole as a beam, a column or both, to EN 1995-1-1.
//!
//! Section: A = πd²/4, W = πd³/32, I = πd⁴/64, i = d/4. Design strengths are
//! kmod·f/γ. Buckling by 6.3.2 with 0.2 for solid timber; shear on 0.67 of the
//! section (6.1.7); bending of a round section counts in full beside
//! compression (6.1.6).

use std::f64::consts::PI;

use serde::Serialize;
use serde_json::Value;

use super::fields::{LEAST_DIVISOR, MOST, finite};
use super::{Fields, Refusal};

const CAUTION: &str = "A screening figure, not a design. A strength class is for timber that was sawn and graded \
    to it; for a pole it is an assumption. It takes a straight, sound, round pole of one diameter, loads that \
    stand still, and a beam held up at both ends; deflection is without creep, which may double it or more. \
    Notches, bearing, lashings, rot and insects are not looked at. Local codes and a licensed engineer decide.";

/// The share of a section that carries shear in spite of cracks.
const UNCRACKED: f64 = 0.67;
/// Straightness factor of solid timber.
const STRAIGHTNESS: f64 = 0.2;
/// The relative slenderness up to which a column does not buckle.
const STOCKY: f64 = 0.3;
const PA: f64 = 1e6;

/// Characteristic strengths and stiffness, along the grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timber {
    /// Bending strength, 1e-9 to 1e12.
    pub fm_k_mpa: f64,
    /// Compression strength, 1e-9 to 1e12.
    pub fc_k_mpa: f64,
    /// Shear strength, 1e-9 to 1e12.
    pub fv_k_mpa: f64,
    /// Mean modulus of elasticity, 1e-9 to 1e12.
    pub e_mean_mpa: f64,
    /// The 5 % modulus of elasticity, 1e-9 to 1e12.
    pub e_05_mpa: f64,
}

const fn timber(fm_k_mpa: f64, fc_k_mpa: f64, fv_k_mpa: f64, e_mean_mpa: f64, e_05_mpa: f64) -> Timber {
    Timber { fm_k_mpa, fc_k_mpa, fv_k_mpa, e_mean_mpa, e_05_mpa }
}

/// Hardwood classes of EN 338:2016.
pub const CLASSES: [(&str, Timber); 8] = [
    ("D18", timber(18.0, 18.0, 3.5, 9500.0, 8000.0)),
    ("D24", timber(24.0, 21.0, 3.7, 10_000.0, 8400.0)),
    ("D30", timber(30.0, 24.0, 3.9, 11_000.0, 9200.0)),
    ("D35", timber(35.0, 25.0, 4.1, 12_000.0, 10_100.0)),
    ("D40", timber(40.0, 27.0, 4.2, 13_000.0, 10_900.0)),
    ("D50", timber(50.0, 30.0, 4.5, 14_000.0, 11_800.0)),
    ("D60", timber(60.0, 33.0, 4.8, 17_000.0, 14_300.0)),
    ("D70", timber(70.0, 36.0, 5.0, 20_000.0, 16_800.0)),
];

/// A beam on two supports.
#[derive(Debug, Clone, PartialEq)]
pub struct Beam {
    /// Between the supports, 1e-6 to 1,000 m.
    pub span_m: f64,
    /// Spread evenly, 0 to 1e12 N/m.
    pub load_n_m: f64,
    /// In the middle of the span, 0 to 1e12 N.
    pub point_n: f64,
}

/// A column under a load along its axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Foot to head, 1e-6 to 1,000 m.
    pub height_m: f64,
    /// Along the axis, 0 to 1e12 N.
    pub axial_n: f64,
    /// Buckling length over height, 0.5 to 4.
    pub length_factor: f64,
}

/// A pole and what it carries.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// Diameter at mid-length, 1e-6 to 1,000 m.
    pub d_m: f64,
    /// What it is made of.
    pub timber: Timber,
    /// For moisture and the load's duration, above 0 to 1.1.
    pub kmod: f64,
    /// Partial factor of the material, 1 to 3.
    pub gamma_m: f64,
    /// What bends it.
    pub beam: Option<Beam>,
    /// What presses it.
    pub column: Option<Column>,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key, a number outside its range, `class`
    /// beside `timber`, an unknown class, and a key of a beam or a column
    /// without its length.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let timber = match f.one_of("class", "timber")? {
            "class" => class(&f.at("class"), &f.text("class")?)?,
            _ => read_timber(f.object("timber")?)?,
        };
        let input = Self {
            d_m: f.length("d_m")?,
            timber,
            kmod: f.above_zero("kmod", 1.1)?,
            gamma_m: f.number_or("gamma_m", 1.3, 1.0, 3.0)?,
            beam: read_beam(&mut f)?,
            column: read_column(&mut f)?,
        };
        f.end()?;
        Ok(input)
    }
}

fn class(place: &str, name: &str) -> Result<Timber, Refusal> {
    CLASSES.iter().find(|(known, _)| *known == name).map(|(_, timber)| *timber).ok_or_else(|| {
        let known: Vec<&str> = CLASSES.iter().map(|(name, _)| *name).collect();
        Refusal::at(place, format!("not a class; one of {} would do", known.join(", ")))
    })
}

fn read_timber(mut f: Fields) -> Result<Timber, Refusal> {
    let timber = Timber {
        fm_k_mpa: f.number("fm_k_mpa", LEAST_DIVISOR, MOST)?,
        fc_k_mpa: f.number("fc_k_mpa", LEAST_DIVISOR, MOST)?,
        fv_k_mpa: f.number("fv_k_mpa", LEAST_DIVISOR, MOST)?,
        e_mean_mpa: f.number("e_mean_mpa", LEAST_DIVISOR, MOST)?,
        e_05_mpa: f.number("e_05_mpa", LEAST_DIVISOR, MOST)?,
    };
    f.end()?;
    Ok(timber)
}

fn read_beam(f: &mut Fields) -> Result<Option<Beam>, Refusal> {
    if !["span_m", "load_n_m", "point_n"].map(|key| f.has(key)).contains(&true) {
        return Ok(None);
    }
    Ok(Some(Beam {
        span_m: f.length("span_m")?,
        load_n_m: f.number("load_n_m", 0.0, MOST)?,
        point_n: f.number_or("point_n", 0.0, 0.0, MOST)?,
    }))
}

fn read_column(f: &mut Fields) -> Result<Option<Column>, Refusal> {
    if !["height_m", "axial_n", "length_factor"].map(|key| f.has(key)).contains(&true) {
        return Ok(None);
    }
    Ok(Some(Column {
        height_m: f.length("height_m")?,
        axial_n: f.number("axial_n", 0.0, MOST)?,
        length_factor: f.number_or("length_factor", 2.0, 0.5, 4.0)?,
    }))
}

/// What the pole is asked for; the keys of a beam or a column only where there
/// is one.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// The pole as a beam.
    #[serde(flatten)]
    pub beam: Option<BeamOut>,
    /// The pole as a column.
    #[serde(flatten)]
    pub column: Option<ColumnOut>,
    /// Compression and bending together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub combined_ratio: Option<f64>,
    /// What was assumed.
    pub caution: &'static str,
}

/// The pole as a beam. A ratio is asked over allowed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BeamOut {
    /// In the middle.
    pub moment_n_m: f64,
    /// At the outer fibre.
    pub bending_mpa: f64,
    /// Of the bending strength.
    pub bending_ratio: f64,
    /// At a support.
    pub shear_n: f64,
    /// At the middle of the section.
    pub shear_mpa: f64,
    /// Of the shear strength.
    pub shear_ratio: f64,
    /// In the middle, without creep.
    pub deflection_m: f64,
    /// Span over deflection; none under no load.
    pub deflection_of_span: Option<f64>,
}

/// The pole as a column. A ratio is asked over allowed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ColumnOut {
    /// Buckling length over the section's radius of gyration.
    pub slenderness: f64,
    /// The same, as the timber feels it.
    pub relative_slenderness: f64,
    /// What buckling leaves of the compression strength.
    pub kc: f64,
    /// Load over section.
    pub compression_mpa: f64,
    /// Of the compression strength that buckling leaves.
    pub column_ratio: f64,
}

/// Works out what the pole is asked for.
///
/// # Errors
/// Refuses neither beam nor column at `/span_m`, and what makes an answer that
/// is not finite: a vanishing `kmod` there, a vanishing load at the load.
pub fn run(input: &In) -> Result<Out, Refusal> {
    if input.beam.is_none() && input.column.is_none() {
        return Err(Refusal::at("/span_m", "missing; give it for a beam, height_m for a column, or both"));
    }
    let beam = input.beam.as_ref().map(|beam| bend(input, beam)).transpose()?;
    let column = input.column.as_ref().map(|column| press(input, column)).transpose()?;
    let combined_ratio = match (&beam, &column) {
        (Some(beam), Some(column)) => Some(finite("/kmod", column.column_ratio + beam.bending_ratio)?),
        _ => None,
    };
    Ok(Out { beam, column, combined_ratio, caution: CAUTION })
}

fn bend(input: &In, beam: &Beam) -> Result<BeamOut, Refusal> {
    let Beam { span_m, load_n_m, point_n } = *beam;
    let d = input.d_m;
    let moment_n_m = load_n_m * span_m.powi(2) / 8.0 + point_n * span_m / 4.0;
    let bending_mpa = moment_n_m / (PI * d.powi(3) / 32.0) / PA;
    let shear_n = load_n_m * span_m / 2.0 + point_n / 2.0;
    let shear_mpa = 4.0 * shear_n / (3.0 * UNCRACKED * area_m2(d)) / PA;
    let stiffness_n_m2 = input.timber.e_mean_mpa * PA * PI * d.powi(4) / 64.0;
    let deflection_m =
        (5.0 * load_n_m * span_m.powi(4) / 384.0 + point_n * span_m.powi(3) / 48.0) / stiffness_n_m2;
    let loaded = if load_n_m > 0.0 {
        Some("/load_n_m")
    } else if point_n > 0.0 {
        Some("/point_n")
    } else {
        None
    };
    Ok(BeamOut {
        moment_n_m,
        bending_mpa,
        bending_ratio: finite("/kmod", bending_mpa / design(input, input.timber.fm_k_mpa))?,
        shear_n,
        shear_mpa,
        shear_ratio: finite("/kmod", shear_mpa / design(input, input.timber.fv_k_mpa))?,
        deflection_m,
        deflection_of_span: loaded.map(|place| finite(place, span_m / deflection_m)).transpose()?,
    })
}

fn press(input: &In, column: &Column) -> Result<ColumnOut, Refusal> {
    let slenderness = column.length_factor * column.height_m / (input.d_m / 4.0);
    let relative_slenderness = slenderness / PI * (input.timber.fc_k_mpa / input.timber.e_05_mpa).sqrt();
    let kc = buckling(relative_slenderness);
    let compression_mpa = column.axial_n / area_m2(input.d_m) / PA;
    let column_ratio = finite("/kmod", compression_mpa / (kc * design(input, input.timber.fc_k_mpa)))?;
    Ok(ColumnOut { slenderness, relative_slenderness, kc, compression_mpa, column_ratio })
}

fn area_m2(d_m: f64) -> f64 {
    PI * d_m.powi(2) / 4.0
}

fn design(input: &In, strength_mpa: f64) -> f64 {
    input.kmod * strength_mpa / input.gamma_m
}

/// What buckling leaves of the compression strength (EN 1995-1-1, 6.25 to 6.28).
fn buckling(relative: f64) -> f64 {
    if relative <= STOCKY {
        return 1.0;
    }
    let k = 0.5 * (1.0 + STRAIGHTNESS * (relative - STOCKY) + relative.powi(2));
    1.0 / (k + (k.powi(2) - relative.powi(2)).sqrt())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::{Value, json};

    use super::*;
    use crate::reckon::trial::{refuses, takes, told, tried, with};

    fn pole() -> Value {
        json!({
            "d_m": 0.15, "class": "D30", "kmod": 0.6, "span_m": 4, "load_n_m": 1000, "point_n": 200,
            "height_m": 2.4, "axial_n": 9000, "length_factor": 1,
        })
    }

    #[test]
    fn a_pole_is_bent_and_pressed_together() {
        let out = told("member", pole());
        let got = |key: &str| out[key].as_f64().unwrap();
        assert_eq!((got("moment_n_m"), got("shear_n")), (2200.0, 2100.0));
        // W = 3.3134e-4 m³, f_m,d = 0.6·30/1.3 MPa.
        assert!((got("bending_mpa") - 2200.0 / (PI * 0.003_375 / 32.0) / 1e6).abs() < 1e-12);
        assert!((got("bending_ratio") - got("bending_mpa") / (18.0 / 1.3)).abs() < 1e-13);
        assert!((got("combined_ratio") - got("bending_ratio") - got("column_ratio")).abs() < 1e-15);
        assert!((got("deflection_of_span") * got("deflection_m") - 4.0).abs() < 1e-14);
        assert!(out["caution"].as_str().unwrap().contains("licensed engineer"));
    }

    #[test]
    fn a_beam_or_a_column_alone_says_only_its_own() {
        let beam =
            told("member", json!({"d_m": 0.15, "class": "D30", "kmod": 0.6, "span_m": 4, "load_n_m": 0}));
        assert_eq!(beam["deflection_of_span"], Value::Null);
        assert_eq!(beam["bending_ratio"], 0.0);
        let keys = |out: &Value| out.as_object().unwrap().keys().cloned().collect::<Vec<_>>().join(" ");
        assert_eq!(
            keys(&beam),
            "moment_n_m bending_mpa bending_ratio shear_n shear_mpa shear_ratio deflection_m \
             deflection_of_span caution"
        );
        let column = json!({"d_m": 0.15, "class": "D30", "kmod": 0.6, "height_m": 2, "axial_n": 10});
        assert_eq!(
            keys(&told("member", column)),
            "slenderness relative_slenderness kc compression_mpa column_ratio caution"
        );
    }

    #[test]
    fn a_class_says_the_same_as_its_numbers() {
        let named = told("member", pole());
        let timber = json!({
            "fm_k_mpa": 30, "fc_k_mpa": 24, "fv_k_mpa": 3.9, "e_mean_mpa": 11000, "e_05_mpa": 9200,
        });
        let own = with(&with(&pole(), "/class", Value::Null), "/timber", timber.clone());
        assert_eq!(told("member", own.clone()), named);
        refuses("member", &own, &[("/timber/e_05_mpa", json!(0)), ("/timber/fv_k_mpa", json!(null))]);
        assert_eq!(tried("member", with(&pole(), "/timber", timber)).unwrap_err().place, "/timber");
    }

    #[test]
    fn what_cannot_be_reckoned_is_refused() {
        refuses(
            "member",
            &pole(),
            &[
                ("/d_m", json!(0)),
                ("/class", json!("C24")),
                ("/class", json!(30)),
                ("/class", json!(null)),
                ("/kmod", json!(0)),
                ("/kmod", json!(1.11)),
                ("/kmod", json!(null)),
                ("/kmod", json!(5e-324)),
                ("/gamma_m", json!(0.99)),
                ("/span_m", json!(null)),
                ("/load_n_m", json!(null)),
                ("/load_n_m", json!(-1)),
                ("/point_n", json!(2e12)),
                ("/height_m", json!(null)),
                ("/axial_n", json!(null)),
                ("/length_factor", json!(0.49)),
            ],
        );
        takes("member", &pole(), &[("/kmod", json!(1.1)), ("/kmod", json!(1e-12)), ("/gamma_m", json!(1))]);
        let idle = json!({"d_m": 0.15, "class": "D30", "kmod": 0.6});
        assert_eq!(tried("member", idle.clone()).unwrap_err().place, "/span_m");
        for (key, length) in
            [("/point_n", "/span_m"), ("/axial_n", "/height_m"), ("/length_factor", "/height_m")]
        {
            assert_eq!(tried("member", with(&idle, key, json!(1))).unwrap_err().place, length);
        }
        let feather = with(&with(&pole(), "/load_n_m", json!(1e-320)), "/point_n", json!(0));
        assert_eq!(tried("member", feather).unwrap_err().place, "/load_n_m");
    }

    #[test]
    fn buckling_takes_nothing_where_it_begins() {
        assert_eq!(buckling(STOCKY), 1.0);
        assert!((buckling(STOCKY + 1e-9) - 1.0).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn a_thicker_pole_is_asked_for_less(
            d_m in 0.04..0.4_f64, span_m in 0.5..9.0_f64, load_n_m in 1.0..5e3_f64, point_n in 0.0..5e3_f64,
            height_m in 0.5..9.0_f64, axial_n in 1.0..1e5_f64,
        ) {
            let of = |d_m: f64| run(&In {
                d_m,
                timber: CLASSES[4].1,
                kmod: 0.7,
                gamma_m: 1.3,
                beam: Some(Beam { span_m, load_n_m, point_n }),
                column: Some(Column { height_m, axial_n, length_factor: 2.0 }),
            }).unwrap();
            let (thin, thick) = (of(d_m), of(1.01 * d_m));
            prop_assert!(thick.combined_ratio < thin.combined_ratio);
            let kc = thin.column.unwrap().kc;
            prop_assert!(kc > 0.0 && kc <= 1.0);
            // Deflection goes with the fourth power of the diameter.
            let stiffer = thin.beam.unwrap().deflection_m / thick.beam.unwrap().deflection_m;
            prop_assert!((stiffer / 1.01_f64.powi(4) - 1.0).abs() < 1e-13);
        }
    }
}
