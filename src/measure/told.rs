//! Lengths told the way they are called out.

use std::fmt;

use super::{Body, Family, Fraction, Metres, Unit};

/// A length told in somebody's body parts: the nearest sixteenth, and what is
/// left over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InParts {
    /// How many, to the nearest sixteenth.
    pub count: Fraction,
    /// Of which part.
    pub unit: Unit,
    /// The length less those parts, in metres: within 1/32 of the part.
    pub left_over_m: f64,
}

/// Shows the parts, and what is left over to the millimetre: `2 1/2 sp + 3 mm`.
impl fmt::Display for InParts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let left_over = whole_millimetres(self.left_over_m);
        match left_over {
            0 => write!(f, "{} {}", self.count, self.unit),
            _ if self.count.is_nothing() => write!(f, "{left_over} mm"),
            _ => {
                let sign = if left_over < 0 { '-' } else { '+' };
                write!(f, "{} {} {sign} {} mm", self.count, self.unit, left_over.unsigned_abs())
            }
        }
    }
}

/// Tells a length in somebody's spans.
pub fn in_spans(length: Metres, body: &Body) -> InParts {
    parts(length, Unit::Span, body.span())
}

/// Tells a length in one of somebody's body parts; none if that was not
/// measured or is no part of a body.
pub fn in_parts(length: Metres, unit: Unit, body: &Body) -> Option<InParts> {
    body.part(unit).map(|part| parts(length, unit, part))
}

fn parts(length: Metres, unit: Unit, part: Metres) -> InParts {
    let count = Fraction::nearest_sixteenth(length.get() / part.get());
    InParts { count, unit, left_over_m: length.get() - count.value() * part.get() }
}

/// Tells a length in the unit it is called out in: in metres, centimetres and
/// millimetres to the millimetre, in feet and inches to 1/16 in, in body parts
/// to 1/16 and what is left over; in metres where the part was not measured.
pub fn in_unit(length: Metres, unit: Unit, body: Option<&Body>) -> String {
    match unit {
        Unit::Centimetre => format!("{:.1} cm", length.get() * 100.0),
        Unit::Millimetre => format!("{} mm", whole_millimetres(length.get())),
        _ if unit.family() == Family::Feet => in_feet(length),
        _ => body
            .and_then(|body| in_parts(length, unit, body))
            .map_or_else(|| length.to_string(), |parts| parts.to_string()),
    }
}

/// Tells a length in feet and inches to 1/16 in: `5 ft 4 1/2 in`.
pub fn in_feet(length: Metres) -> String {
    let inches = Fraction::nearest_sixteenth(length.get() * 10_000.0 / 254.0);
    let (feet, inches) = inches.divided_by(12);
    match (feet, inches.is_nothing()) {
        (0, _) => format!("{inches} in"),
        (_, true) => format!("{feet} ft"),
        (_, false) => format!("{feet} ft {inches} in"),
    }
}

/// Tells a number of metres to the millimetre, a minus before it if it is less
/// than 0: `3.440 m`.
pub fn metres(metres: f64) -> String {
    format!("{:.3} m", whole_millimetres(metres) as f64 / 1000.0)
}

/// Tells a difference in whole millimetres with its sign: `+82 mm`, `-1 mm`,
/// `0 mm`.
pub fn signed_millimetres(difference_m: f64) -> String {
    match whole_millimetres(difference_m) {
        0 => "0 mm".to_owned(),
        millimetres => format!("{millimetres:+} mm"),
    }
}

/// The nearest whole number of millimetres: an integer, which has no -0.
fn whole_millimetres(metres: f64) -> i64 {
    (metres * 1000.0).round() as i64
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::measure::{Parts, Speech, understand, understand_signed};

    fn length(metres: f64) -> Metres {
        Metres::new(metres).unwrap()
    }

    fn oru(span: f64) -> Body {
        let part = |share: f64| Some(length(span * share));
        let parts = Parts {
            half_span: part(0.5),
            forearm: part(0.26),
            hand: part(0.12),
            breadth: part(0.05),
            finger: part(0.011),
        };
        Body::new("Oru", length(span), parts).unwrap()
    }

    #[test]
    fn spans_are_told_to_the_sixteenth_with_what_is_left_over() {
        let told = |metres: f64| in_spans(length(metres), &oru(1.742)).to_string();
        assert_eq!(told(4.0 * 1.742), "4 sp");
        assert_eq!(told(2.5 * 1.742 + 0.003), "2 1/2 sp + 3 mm");
        assert_eq!(told(1.9375 * 1.742 - 0.012), "1 15/16 sp - 12 mm");
        assert_eq!(told(4.0 * 1.742 - 0.0004), "4 sp");
        assert_eq!(told(0.02), "20 mm");
        assert_eq!(told(0.0), "0 sp");
    }

    /// Source: the inch of 25.4 mm, yard and pound agreement of 1959 (from
    /// memory): 64.5 x 25.4 mm = 1.6383 m, 12 x 25.4 mm = 0.3048 m.
    #[test]
    fn feet_are_told_to_the_sixteenth_of_an_inch() {
        let told = |metres: f64| in_feet(length(metres));
        assert_eq!(told(1.6383), "5 ft 4 1/2 in");
        assert_eq!(told(0.3048), "1 ft");
        assert_eq!(told(0.3047), "1 ft", "11 63/64 in and a little is a foot");
        assert_eq!(told(0.0254), "1 in");
        assert_eq!(told(0.0015875), "1/16 in");
        assert_eq!(told(0.0), "0 in");
    }

    #[test]
    fn no_difference_of_nothing_has_a_sign() {
        assert_eq!(signed_millimetres(0.082), "+82 mm");
        assert_eq!(signed_millimetres(-0.001), "-1 mm");
        assert_eq!(signed_millimetres(-0.0004), "0 mm");
        assert_eq!(signed_millimetres(0.0004), "0 mm");
        assert_eq!(metres(3.44), "3.440 m");
        assert_eq!(metres(-0.0004), "0.000 m");
        assert_eq!(metres(-1.5), "-1.500 m");
    }

    #[test]
    fn a_length_is_told_in_the_unit_it_is_called_out_in() {
        let oru = oru(1.742);
        let told = |unit: Unit| in_unit(length(3.44), unit, Some(&oru));
        assert_eq!(told(Unit::Metre), "3.440 m");
        assert_eq!(told(Unit::Centimetre), "344.0 cm");
        assert_eq!(told(Unit::Millimetre), "3440 mm");
        assert_eq!(told(Unit::Inch), "11 ft 3 7/16 in");
        assert_eq!(told(Unit::Span), "2 sp - 44 mm");
        assert_eq!(told(Unit::HalfSpan), "3 15/16 hs + 10 mm");
        assert_eq!(in_unit(length(3.44), Unit::Span, None), "3.440 m");
    }

    proptest! {
        #[test]
        fn what_is_told_is_understood_to_be_the_same_length(
            metres in 0.0..999.0_f64,
            span in 0.5..3.0_f64,
            unit in prop::sample::select(Unit::ALL.to_vec()),
        ) {
            let oru = oru(span);
            let speech = Speech { own: Some(&oru), ..Speech::default() };
            let told = in_unit(length(metres), unit, Some(&oru));
            let understood = understand(&told, &speech).unwrap().metres;
            // Half of 1/16 in, else half of a millimetre; 1e-9 m for the arithmetic.
            let resolution = if unit.family() == Family::Feet { 0.0254 / 32.0 } else { 0.0005 };
            prop_assert!((understood - metres).abs() <= resolution + 1e-9, "{told}");
        }

        #[test]
        fn sixteenths_of_a_span_are_told_and_understood_exactly(
            sixteenths in 0_u32..16 * 300,
            span in 0.5..3.0_f64,
        ) {
            let oru = oru(span);
            let metres = f64::from(sixteenths) / 16.0 * span;
            let told = in_spans(length(metres), &oru);
            prop_assert_eq!(told.count, Fraction::new(sixteenths, 16).unwrap());
            prop_assert_eq!(told.left_over_m, 0.0);
            let speech = Speech { own: Some(&oru), ..Speech::default() };
            prop_assert_eq!(understand(&told.to_string(), &speech).unwrap().metres, metres);
        }

        #[test]
        fn every_halving_of_a_span_is_understood_exactly(whole in 0_u32..300, over in 0_u32..64, span in 0.5..3.0_f64) {
            let oru = oru(span);
            let speech = Speech { own: Some(&oru), ..Speech::default() };
            let fraction = Fraction::mixed(whole, over, 64).unwrap();
            let understood = understand(&format!("{fraction} sp"), &speech).unwrap();
            prop_assert_eq!(understood.metres, fraction.value() * span);
        }

        #[test]
        fn a_difference_told_is_understood_to_half_a_millimetre(difference_m in -1000.0..1000.0_f64) {
            let told = signed_millimetres(difference_m);
            prop_assert!(told != "-0 mm" && told != "+0 mm");
            let understood = understand_signed(&told, &Speech::default()).unwrap().metres;
            prop_assert!((understood - difference_m).abs() <= 0.0005 + 1e-9, "{told}");
        }

        #[test]
        fn what_is_left_over_is_within_a_thirty_second_of_the_part(metres in 0.0..=1000.0_f64, span in 0.5..3.0_f64) {
            let oru = oru(span);
            for unit in Unit::ALL {
                let Some(told) = in_parts(length(metres), unit, &oru) else { continue };
                let part = oru.part(unit).unwrap().get();
                prop_assert!(told.left_over_m.abs() <= part / 32.0 + 1e-9);
                prop_assert!((told.count.value() * part + told.left_over_m - metres).abs() < 1e-9);
            }
        }
    }
}
