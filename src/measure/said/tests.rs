use proptest::prelude::*;

use super::*;
use crate::measure::Parts;

fn body(name: &str, span: f64, hand: Option<f64>) -> Body {
    let hand = hand.map(|hand| Metres::new(hand).unwrap());
    Body::new(name, Metres::new(span).unwrap(), Parts { hand, ..Parts::default() }).unwrap()
}

/// Oru (span 1.742 m, hand 0.21 m) speaks; Tavi (span 1.6 m, nothing else
/// measured) and Ana Mere are known too.
fn heard<T>(ask: impl Fn(&Speech<'_>) -> T) -> T {
    let bodies = [body("Oru", 1.742, Some(0.21)), body("Tavi", 1.6, None), body("Ana Mere", 1.5, Some(0.19))];
    ask(&Speech { bodies: &bodies, own: bodies.first(), bare: Unit::Centimetre })
}

fn said(text: &str) -> Said {
    heard(|speech| understand(text, speech)).unwrap_or_else(|refusal| panic!("{}", refusal.pointed(text)))
}

fn difference(text: &str) -> Said {
    heard(|speech| understand_signed(text, speech)).unwrap()
}

fn refused(text: &str) -> NotUnderstood {
    heard(|speech| understand(text, speech)).unwrap_err()
}

#[track_caller]
fn means(text: &str, metres: f64, shown: &str) {
    let said = said(text);
    assert_eq!((said.metres, said.shown.as_str()), (metres, shown), "{text}");
}

#[test]
fn body_parts_are_understood_as_they_are_called_out() {
    means("2 1/2 sp", 4.355, "2 1/2 sp");
    means("2sp+1h", 2.0 * 1.742 + 0.21, "2 sp 1 h");
    means("2 sp 1 h", 2.0 * 1.742 + 0.21, "2 sp 1 h");
    means("2 spans 1 hand", 2.0 * 1.742 + 0.21, "2 sp 1 h");
    means("1 Hand Span", 0.21, "1 h");
    means("3/4 sp", 0.75 * 1.742, "3/4 sp");
    means("2½sp", 4.355, "2 1/2 sp");
    means("2 ½ sp", 4.355, "2 1/2 sp");
    means("⅛ sp", 0.125 * 1.742, "1/8 sp");
    means("5/4 sp", 1.25 * 1.742, "1 1/4 sp");
    means("2 8/16 sp", 4.355, "2 1/2 sp");
    means("2.5 sp", 4.355, "2.5 sp");
    means("  2  sp ", 3.484, "2 sp");
}

#[test]
fn metres_are_understood_with_a_point_or_a_comma() {
    means("3.44 m", 3.44, "3.44 m");
    means("3,44 m", 3.44, "3.44 m");
    means("6.970m", 6.97, "6.970 m");
    means("1 1/2m", 1.5, "1 1/2 m");
    means("3 m 44 cm", 3.44, "3 m 44 cm");
    means("3440 MM", 3.44, "3440 mm");
    means(".5 m", 0.5, "0.5 m");
    means("007 metres", 7.0, "7 m");
    means("0 m", 0.0, "0 m");
    means("1000 m", 1000.0, "1000 m");
}

/// Source: the international foot of 0.3048 m and inch of 25.4 mm, yard and
/// pound agreement of 1959 (from memory): 5 ft 4 1/2 in is 64.5 in of 25.4 mm,
/// 1.6383 m.
#[test]
fn feet_and_inches_are_understood_by_word_and_by_mark() {
    let metres = 1.6383;
    for text in
        ["5' 4 1/2\"", "5'4½\"", "5ft 4 1/2in", "5 feet 4.5 inches", "5′ 4 1/2″", "5’ 4 1/2”", "64 1/2 in"]
    {
        // One rounding for each of the two terms and one for their sum.
        assert!((said(text).metres - metres).abs() < 1e-15, "{text}");
    }
    assert_eq!(said("5' 4 2/4\"").shown, "5 ft 4 1/2 in");
    means("1/16 in", 0.0254 / 16.0, "1/16 in");
}

#[test]
fn a_bare_number_is_in_the_unit_of_the_book() {
    let centimetres = said("344");
    assert_eq!((centimetres.metres, centimetres.shown.as_str(), centimetres.bare), (3.44, "344 cm", true));
    assert!(!said("344 cm").bare);
    let oru = body("Oru", 1.742, None);
    let speech = Speech { own: Some(&oru), bare: Unit::Span, ..Speech::default() };
    let spans = understand("2 1/2", &speech).unwrap();
    assert_eq!((spans.metres, spans.shown.as_str(), spans.unit), (4.355, "2 1/2 sp", Unit::Span));
}

#[test]
fn another_persons_spans_are_converted_and_told_whose_they_are() {
    let tavis = said("2 1/2 sp of Tavi");
    assert_eq!((tavis.metres, tavis.shown.as_str()), (4.0, "2 1/2 sp of Tavi"));
    assert_eq!(tavis.whose.as_deref(), Some("Tavi"));
    means("1 h OF ana mere ", 0.19, "1 h of Ana Mere");
    let own = said("2 sp of Oru");
    assert_eq!((own.shown.as_str(), own.whose.as_deref()), ("2 sp", Some("Oru")));
    assert_eq!(said("2 sp").whose.as_deref(), Some("Oru"));
    assert_eq!(said("2 m").whose, None);
}

#[test]
fn spans_told_with_millimetres_left_over_are_understood_again() {
    means("2 1/2 sp + 3 mm", 4.355 + 0.003, "2 1/2 sp + 3 mm");
    means("1 15/16 sp - 12 mm", 1.9375 * 1.742 - 0.012, "1 15/16 sp - 12 mm");
    means("2 sp 1 h - 12 mm of Ana Mere", 3.19 - 0.012, "2 sp 1 h - 12 mm of Ana Mere");
    assert_eq!(refused("0 sp - 3 mm").why, "less than nothing; a length is from 0 to 1000 m");
}

#[test]
fn a_difference_may_have_a_sign_and_nothing_has_none() {
    for (text, metres, shown) in [
        ("-5 mm", -0.005, "-5 mm"),
        ("− 5 mm", -0.005, "-5 mm"),
        ("+5mm", 0.005, "+5 mm"),
        ("5 mm", 0.005, "+5 mm"),
        ("-2 1/2 sp", -4.355, "-2 1/2 sp"),
        ("-1 ft 2 in", -0.3556, "-1 ft 2 in"),
        ("-0 mm", 0.0, "0 mm"),
        ("2 sp - 3 mm", 3.481, "2 sp - 3 mm"),
        ("0 sp - 3 mm", -0.003, "0 sp - 3 mm"),
    ] {
        let said = difference(text);
        assert_eq!((said.metres, said.shown.as_str()), (metres, shown), "{text}");
        assert!(said.metres != 0.0 || said.metres.is_sign_positive(), "{text}");
        assert_eq!(difference(&said.shown).metres, metres, "{text}");
    }
    let unclear = heard(|speech| understand_signed("-2 sp + 3 mm", speech)).unwrap_err();
    assert_eq!((unclear.at, unclear.len), (0, 1));
}

#[test]
fn what_is_not_plainly_a_length_is_refused_with_its_place() {
    let long = "1".repeat(400);
    for (text, at, len, why) in [
        ("", 0, 0, "nothing was said"),
        ("   ", 3, 0, "nothing was said"),
        ("3 m 5", 4, 1, "a number without a unit"),
        ("3 + 4 m", 0, 1, "a number without a unit"),
        ("1/0 sp", 0, 3, "a fraction over 0"),
        ("1/3 sp", 0, 3, "a fraction over 3; only halving"),
        ("⅓ sp", 0, 1, "a fraction over 3; only halving"),
        ("1/128 sp", 0, 5, "a fraction over 128"),
        ("2 5/4 sp", 0, 5, "5/4 after a whole number"),
        ("2 1/ sp", 5, 2, "a number is missing below"),
        ("2.5 1/2 sp", 0, 3, "a fraction goes with whole numbers"),
        ("1/2.5 sp", 2, 3, "a fraction goes with whole numbers"),
        ("9999999/2 sp", 0, 7, "a number over 1000000"),
        ("1e9 m", 1, 1, "e is not a unit"),
        ("-2 sp", 0, 1, "a length has no sign"),
        ("+2 sp", 0, 1, "a length has no sign"),
        (long.as_str(), 80, 320, "too long"),
        ("3 smoots", 2, 6, "smoots is not a unit; units are sp hs fa h hb fi m cm mm ft in"),
        ("2 sp of Ikaika", 8, 6, "Ikaika has not been measured"),
        ("2 sp of", 5, 2, "nobody is named"),
        ("2 m of Oru", 7, 3, "m is the same for all"),
        ("3 of Oru", 5, 3, "cm is the same for all"),
        ("2 sp 1 fa", 5, 4, "the forearm of Oru was not measured"),
        ("1 h of Tavi", 0, 3, "the hand span of Tavi was not measured"),
        ("1001 m", 0, 6, "over 1000 m"),
        ("999 m 200 cm", 0, 12, "over 1000 m"),
        ("3 4 sp", 2, 4, "a number straight after a number"),
        ("5 1/2 1/4 in", 6, 6, "a number straight after a number"),
        ("1 h 2 sp", 4, 4, "sp stands before h"),
        ("1 sp 2 sp", 5, 4, "sp is said twice"),
        ("2 sp 5 cm", 5, 4, "sp and cm are not said together"),
        ("2 sp 3 mm", 5, 4, "sp and mm are not said together"),
        ("3 m 2 in", 4, 4, "m and in are not said together"),
        ("3 m - 2 cm", 6, 4, "only millimetres are taken off"),
        ("3 m - 2 mm", 6, 4, "only millimetres are taken off"),
        ("2 sp +", 6, 0, "a number is missing"),
        ("2 sp ++ 1 h", 6, 1, "a number should stand here"),
        ("sp", 0, 2, "a number should stand here"),
        ("3 m x", 4, 1, "cannot stand here"),
        ("3 m°", 3, 1, "cannot stand here"),
        ("3.4.4 m", 0, 5, "more than one point"),
        ("3. m", 0, 2, "no digit after the point"),
        ("3 m\n", 3, 1, "a character that cannot be seen (U+000A)"),
        ("3\u{1b}[2J m", 1, 1, "a character that cannot be seen (U+001B)"),
        ("\u{202e}3 m", 0, 1, "a character that cannot be seen (U+202E)"),
        ("2 sp of \u{200f}Tavi", 8, 1, "a character that cannot be seen (U+200F)"),
        ("３ m", 0, 1, "the character ３ (U+FF13)"),
        ("٣ m", 0, 1, "the character ٣ (U+0663)"),
        ("3 ｍ", 2, 1, "ｍ is not a unit"),
        ("3\u{a0}m", 1, 1, "a character that cannot be seen (U+00A0)"),
        ("½½ sp", 1, 4, "a number straight after a number"),
    ] {
        let refusal = refused(text);
        assert_eq!((refusal.at, refusal.len), (at, len), "{}", refusal.pointed(text));
        assert!(refusal.why.starts_with(why), "{}", refusal.pointed(text));
    }
}

#[test]
fn without_a_measure_spans_are_refused_and_metres_are_not() {
    let nobody = Speech::default();
    assert_eq!(understand("3.44 m", &nobody).unwrap().metres, 3.44);
    let refusal = understand("2 1/2 sp", &nobody).unwrap_err();
    assert_eq!((refusal.at, refusal.len), (0, 8));
    assert!(refusal.why.starts_with("nobody's measure is meant"));
}

proptest! {
    #[test]
    fn nothing_that_is_said_stops_the_book(text in any::<String>()) {
        sound(&text)?;
    }

    #[test]
    fn nothing_near_a_length_stops_the_book(
        pieces in prop::collection::vec(
            prop::sample::select(vec![
                "0", "1", "2", "64", "1000", "3.44", "1,5", "1/2", "1/3", "/", "½", "⅓", "+", "-", "−", " ", "sp",
                "hs", "h", "span", "hand", "breadth", "m", "cm", "mm", "ft", "in", "'", "\"", "°", "of", " of Tavi",
                "Oru", "less", ";", "e9", "\u{202e}", "é", "🪵", "９", "99999999999",
            ]),
            0..12,
        ),
    ) {
        sound(&pieces.concat())?;
    }
}

/// Whatever was said is understood, and so is how it is shown; or it is
/// refused with a place inside the text, in one line.
fn sound(text: &str) -> Result<(), TestCaseError> {
    let chars = text.chars().count();
    let refusal_is_sound = |refusal: NotUnderstood| {
        prop_assert!(refusal.at + refusal.len <= chars, "{refusal:?} in {text:?}");
        let pointed = refusal.pointed(text);
        prop_assert!(!pointed.contains(char::is_control), "{pointed:?}");
        Ok(())
    };
    match heard(|speech| understand(text, speech)) {
        Ok(said) => {
            prop_assert!((0.0..=1000.0).contains(&said.metres));
            let again = heard(|speech| understand(&said.shown, speech)).unwrap();
            prop_assert_eq!((again.metres, &again.shown), (said.metres, &said.shown));
        }
        Err(refusal) => refusal_is_sound(refusal)?,
    }
    match heard(|speech| understand_signed(text, speech)) {
        Ok(said) => {
            prop_assert!((-1000.0..=1000.0).contains(&said.metres));
            let again = heard(|speech| understand_signed(&said.shown, speech)).unwrap();
            prop_assert_eq!((again.metres, &again.shown), (said.metres, &said.shown));
        }
        Err(refusal) => refusal_is_sound(refusal)?,
    }
    Ok(())
}
