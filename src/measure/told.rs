//! Lengths told the way they are called out.

use std::fmt;

use super::{Body, Fraction, Metres, Unit};

/// A length told in somebody's spans: the nearest sixteenth, and what is left
/// over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InSpans {
    /// How many, to the nearest sixteenth.
    pub count: Fraction,
    /// The length less those spans, in metres: within 1/32 of a span.
    pub left_over_m: f64,
}

/// Shows the spans, and what is left over to the millimetre: `2 1/2 sp + 3 mm`.
impl fmt::Display for InSpans {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let left_over = whole_millimetres(self.left_over_m);
        match left_over {
            0 => write!(f, "{} {}", self.count, Unit::Span),
            _ if self.count.is_nothing() => write!(f, "{left_over} mm"),
            _ => {
                let sign = if left_over < 0 { '-' } else { '+' };
                write!(f, "{} {} {sign} {} mm", self.count, Unit::Span, left_over.unsigned_abs())
            }
        }
    }
}

/// Tells a length in somebody's spans.
pub fn in_spans(length: Metres, body: &Body) -> InSpans {
    let span = body.span();
    let count = Fraction::nearest_sixteenth(length.get() / span.get());
    InSpans { count, left_over_m: length.get() - count.value() * span.get() }
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

    proptest! {
        #[test]
        fn what_is_told_is_understood_to_be_the_same_length(
            metres in 0.0..999.0_f64,
            span in 0.5..3.0_f64,
        ) {
            let oru = oru(span);
            let speech = Speech { own: Some(&oru), ..Speech::default() };
            let told = in_spans(length(metres), &oru).to_string();
            let understood = understand(&told, &speech).unwrap().metres;
            // 1e-9 m for the arithmetic.
            prop_assert!((understood - metres).abs() <= 0.0005 + 1e-9, "{told}");
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
        fn what_is_left_over_is_within_a_thirty_second_of_the_span(metres in 0.0..=1000.0_f64, span in 0.5..3.0_f64) {
            let told = in_spans(length(metres), &oru(span));
            prop_assert!(told.left_over_m.abs() <= span / 32.0 + 1e-9);
            prop_assert!((told.count.value() * span + told.left_over_m - metres).abs() < 1e-9);
        }
    }
}
