//! Kinds of wood, and what was pulled until it broke.

use crate::build::accept::{self, LONGEST_TEXT, LONGEST_WORDS, Refused, bounded, refuse};
use crate::build::entry::{Joint, Pull, UnknownWord, What, Wood};
use crate::build::holds::wood;
use crate::reckon::GRAVITY_M_S2;
use crate::reckon::member::CLASSES;

use super::whole;

/// The lightest and the heaviest wood, kg/m³.
const DENSITY: std::ops::RangeInclusive<f64> = 100.0..=1500.0;
/// The greatest force a pull may tell, N.
const MOST_N: f64 = 1e6;

/// A kind of wood.
///
/// # Errors
/// No name, a density outside its range, an unknown class, a durability that
/// is not 1 to 5.
pub fn wood(name: &str, density: &str, class: &str, durability: &str) -> Result<What, Refused> {
    let named = accept::tree(name).map_err(|e| Refused { field: "name", ..e })?;
    let Some(name) = named else { return refuse("name", "say what the tree is called") };
    let density_kg_m3 = match density.trim().parse::<f64>() {
        Ok(n) if DENSITY.contains(&n) => n,
        _ => {
            let why = format!(
                "\"{density}\" will not do; kg/m³ dry, {} to {}: 840",
                DENSITY.start(),
                DENSITY.end()
            );
            return refuse("density", why);
        }
    };
    let class = class.trim().to_uppercase();
    if wood::class(&class).is_none() {
        let known: Vec<&str> = CLASSES.iter().map(|(name, _)| *name).collect();
        return refuse("class", format!("\"{class}\" is no strength class; {} would do", known.join(", ")));
    }
    // 1 to 5: the conversion loses nothing.
    let durability = whole("durability", durability, 1..=5)? as u8;
    Ok(What::Wood(Wood { name, density_kg_m3, class, durability }))
}

/// A cord or a joint pulled until it broke.
///
/// # Errors
/// An unknown joint, a force that cannot be understood, no cord.
pub fn pull(joint: &str, value: &str, cord: &str, remark: &str) -> Result<What, Refused> {
    let joint: Joint = joint.trim().parse().or_else(|e: UnknownWord| refuse("joint", e.to_string()))?;
    let newtons = force(value)?;
    let cord = cord.trim();
    if accept::says_nothing(cord) {
        return refuse("cord", "say which cord it was tied with, such as coir 6 mm");
    }
    bounded("cord", cord, LONGEST_WORDS)?;
    bounded("remark", remark, LONGEST_TEXT)?;
    let (cord, remark) = (cord.to_owned(), remark.trim().to_owned());
    Ok(What::Pull(Pull { joint, cord, newtons, said: value.trim().to_owned(), remark }))
}

/// A force as it is called out: `480 N`, `0.48 kN`, or the mass of hung stones
/// or of a spring balance, `48.9 kg`; in newtons.
///
/// # Errors
/// Anything else, a bare number too: it could be either.
pub fn force(value: &str) -> Result<f64, Refused> {
    let said = value.trim().to_lowercase();
    let unit = said.trim_start_matches(|c: char| c.is_ascii_digit() || ".+-e".contains(c)).trim_start();
    let number = said.strip_suffix(unit).unwrap_or_default().trim();
    let newtons = match unit {
        "n" => 1.0,
        "kn" => 1000.0,
        "kg" => GRAVITY_M_S2,
        _ => {
            let why = format!("\"{value}\" is no force; 480 N, 0.48 kN, or hung stones as 48.9 kg would do");
            return refuse("value", why);
        }
    };
    match number.parse::<f64>().map(|n| n * newtons) {
        Ok(n) if n > 0.0 && n <= MOST_N && bounded("value", value, LONGEST_WORDS).is_ok() => Ok(n),
        _ => refuse("value", format!("\"{value}\" will not do; more than 0, up to 1000 kN: 480 N, 48.9 kg")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: standard gravity, 9.80665 m/s² (ISO 80000-3).
    #[test]
    fn hung_stones_pull_with_their_weight() {
        assert!((force("48.9 kg").unwrap() - 479.545_185).abs() < 1e-6);
        assert_eq!(force("480 N").unwrap(), 480.0);
        assert_eq!(force("0.48kN").unwrap(), 480.0);
    }

    #[test]
    fn a_force_that_could_be_either_is_refused() {
        for bad in ["480", "", "N", "-3 N", "0 kg", "NaN N", "1e999 N", "4 8 kg", "2 MN", "1e400 kg"] {
            assert_eq!(force(bad).unwrap_err().field, "value", "{bad}");
        }
    }

    #[test]
    fn a_pull_names_its_joint_and_its_cord() {
        assert_eq!(pull("knot", "480 N", "coir", "").unwrap_err().field, "joint");
        assert_eq!(pull("cord", "480 N", " ", "").unwrap_err().field, "cord");
        assert!(pull("panel-tie", "480 N", "coir 6 mm", "").is_ok());
    }

    #[test]
    fn a_wood_has_a_weight_a_class_and_a_durability() {
        assert!(wood("Ghost tree", "840", "d40", "2").is_ok());
        assert_eq!(wood("", "840", "D40", "2").unwrap_err().field, "name");
        assert_eq!(wood("ghost tree", "8400", "D40", "2").unwrap_err().field, "density");
        assert_eq!(wood("ghost tree", "840", "C24", "2").unwrap_err().field, "class");
        assert_eq!(wood("ghost tree", "840", "D40", "6").unwrap_err().field, "durability");
    }
}
