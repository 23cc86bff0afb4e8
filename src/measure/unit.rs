//! The units lengths are called out in.

use std::fmt;

use serde::{Deserialize, Serialize};

/// Units that may be said together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Family {
    /// Parts of somebody's body.
    Body,
    /// Metres, centimetres, millimetres.
    Metric,
    /// Feet and inches.
    Feet,
}

/// A unit, the longest of each family first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Unit {
    /// From fingertip to fingertip with both arms held out.
    #[serde(rename = "sp")]
    Span,
    /// From the middle of the chest to a fingertip.
    #[serde(rename = "hs")]
    HalfSpan,
    /// From the elbow to a fingertip.
    #[serde(rename = "fa")]
    Forearm,
    /// From thumb to little finger, the hand spread.
    #[serde(rename = "h")]
    Hand,
    /// Across the palm.
    #[serde(rename = "hb")]
    Breadth,
    /// Across a finger.
    #[serde(rename = "fi")]
    Finger,
    /// The metre.
    #[serde(rename = "m")]
    Metre,
    /// 1/100 m.
    #[serde(rename = "cm")]
    Centimetre,
    /// 1/1000 m.
    #[serde(rename = "mm")]
    Millimetre,
    /// 0.3048 m exactly.
    #[serde(rename = "ft")]
    Foot,
    /// 25.4 mm exactly.
    #[serde(rename = "in")]
    Inch,
}

impl Unit {
    /// Every unit, the longest of each family first.
    pub const ALL: [Self; 11] = [
        Self::Span,
        Self::HalfSpan,
        Self::Forearm,
        Self::Hand,
        Self::Breadth,
        Self::Finger,
        Self::Metre,
        Self::Centimetre,
        Self::Millimetre,
        Self::Foot,
        Self::Inch,
    ];

    /// What it is called: the sign first, then the words for one and for many.
    const fn names(self) -> &'static [&'static str] {
        match self {
            Self::Span => &["sp", "span", "spans"],
            Self::HalfSpan => &["hs", "half span", "half spans"],
            Self::Forearm => &["fa", "forearm", "forearms"],
            Self::Hand => &["h", "hand span", "hand spans", "hand", "hands"],
            Self::Breadth => &["hb", "hand breadth", "hand breadths"],
            Self::Finger => &["fi", "finger", "fingers"],
            Self::Metre => &["m", "metre", "metres", "meter", "meters"],
            Self::Centimetre => &["cm", "centimetre", "centimetres", "centimeter", "centimeters"],
            Self::Millimetre => &["mm", "millimetre", "millimetres", "millimeter", "millimeters"],
            Self::Foot => &["ft", "foot", "feet"],
            Self::Inch => &["in", "inch", "inches"],
        }
    }

    /// The sign it is written with: `sp`.
    pub const fn sign(self) -> &'static str {
        match self.names() {
            [sign, ..] => sign,
            [] => "",
        }
    }

    /// The word for one: `span`.
    pub const fn word(self) -> &'static str {
        match self.names() {
            [_, word, ..] => word,
            _ => self.sign(),
        }
    }

    /// The unit called so, by sign or word, in capitals or not.
    pub fn called(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.names().iter().any(|known| known.eq_ignore_ascii_case(name)))
    }

    /// The units it may be said with.
    pub const fn family(self) -> Family {
        match self {
            Self::Span | Self::HalfSpan | Self::Forearm | Self::Hand | Self::Breadth | Self::Finger => {
                Family::Body
            }
            Self::Metre | Self::Centimetre | Self::Millimetre => Family::Metric,
            Self::Foot | Self::Inch => Family::Feet,
        }
    }

    /// So many of it in metres; none for a part of a body.
    ///
    /// Source: the international foot of 0.3048 m, yard and pound agreement of
    /// 1959 (from memory).
    pub fn in_metres(self, count: f64) -> Option<f64> {
        // Divided rather than multiplied by 0.01: 35 cm is then the same
        // number as 0.35 m.
        match self {
            Self::Metre => Some(count),
            Self::Centimetre => Some(count / 100.0),
            Self::Millimetre => Some(count / 1000.0),
            Self::Foot => Some(count * 3048.0 / 10_000.0),
            Self::Inch => Some(count * 254.0 / 10_000.0),
            _ => None,
        }
    }
}

/// Shows its sign.
impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.sign())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: yard and pound agreement of 1959, from memory: a yard is
    /// 0.9144 m exactly, so a foot 0.3048 m and an inch 25.4 mm.
    #[test]
    fn a_foot_is_three_hundred_and_four_point_eight_millimetres() {
        assert_eq!(Unit::Foot.in_metres(1.0), Some(0.3048));
        assert_eq!(Unit::Foot.in_metres(3.0), Some(0.9144));
        assert_eq!(Unit::Inch.in_metres(1.0), Some(0.0254));
        assert_eq!(Unit::Inch.in_metres(36.0), Some(0.9144));
    }

    #[test]
    fn centimetres_and_metres_of_the_same_length_are_the_same_number() {
        for centimetres in 0..=100_000_u32 {
            let said: f64 = format!("{}.{:02}", centimetres / 100, centimetres % 100).parse().unwrap();
            assert_eq!(Unit::Centimetre.in_metres(f64::from(centimetres)), Some(said));
        }
    }

    #[test]
    fn every_name_belongs_to_one_unit_and_json_has_the_sign() {
        for unit in Unit::ALL {
            for name in unit.names() {
                assert_eq!(Unit::called(name), Some(unit), "{name}");
                assert_eq!(Unit::called(&name.to_uppercase()), Some(unit), "{name}");
            }
            assert_eq!(serde_json::to_string(&unit).unwrap(), format!("\"{}\"", unit.sign()));
        }
        assert_eq!(Unit::called("smoot"), None);
    }
}
