//! Kinds of wood: how heavy, how strong, how long they last.

use serde::Serialize;

use crate::build::entry::Wood;
use crate::reckon::member::{CLASSES, Timber};

/// A kind of wood as it comes with the program.
struct Known {
    name: &'static str,
    density_kg_m3: f64,
    class: &'static str,
    durability: u8,
}

const fn known(name: &'static str, density_kg_m3: f64, class: &'static str, durability: u8) -> Known {
    Known { name, density_kg_m3, class, durability }
}

/// The kinds that come with the program.
///
/// Densities are oven-dry mass over green volume, from the Global Wood Density
/// Database (from memory; coconut: within the 0.3 to 0.9 from heart to rim).
/// The strength classes are assumptions on the low side of what each density
/// suggests: no pole was graded. Durability is by EN 350 (from memory, a class
/// lower where sapwood stays on).
const KNOWN: &[Known] = &[
    // Rhizophora.
    known("mangrove", 840.0, "D40", 2),
    // Bruguiera.
    known("black mangrove", 740.0, "D40", 3),
    // Casuarina equisetifolia.
    known("she-oak", 810.0, "D40", 3),
    // Calophyllum inophyllum.
    known("beauty leaf", 590.0, "D30", 3),
    // Artocarpus altilis.
    known("breadfruit", 380.0, "D18", 4),
    // Cocos nucifera, the outer stem.
    known("coconut", 600.0, "D18", 4),
];

/// Tropical Asian default (Brown 1997, FAO Forestry Paper 134); the class and
/// the durability are a careful guess.
const UNNAMED: Known = known("unnamed", 570.0, "D24", 5);

/// Density of the cell wall, kg/m³.
const CELL_WALL_KG_M3: f64 = 1530.0;
const WATER_KG_M3: f64 = 1000.0;

/// Density as lifted where neither a kind is named nor a piece was weighed,
/// kg/m³ (common practice).
pub const GREEN_KG_M3: f64 = 1250.0;

/// Where the numbers of a wood come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum From {
    /// The table that comes with the program.
    Table,
    /// The builder told them.
    Book,
    /// Nobody named the wood.
    Unnamed,
    /// The wood is named, but nothing is known of it.
    Unknown,
}

/// The wood that is reckoned with.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Taken {
    /// What it is called.
    pub name: String,
    /// Oven-dry mass over green volume, kg/m³.
    pub density_kg_m3: f64,
    /// The strength class that is taken for it (EN 338:2016).
    pub class: String,
    /// In the ground, 1 very durable to 5 not durable (EN 350).
    pub durability: u8,
    /// Whence.
    pub from: From,
}

impl Taken {
    /// Its strength.
    #[must_use]
    pub fn timber(&self) -> Timber {
        class(&self.class).unwrap_or(CLASSES[0].1)
    }

    /// Its density with every pore full, kg/m³: ρ + 1000(1 − ρ/1530).
    #[must_use]
    pub fn soaked_kg_m3(&self) -> f64 {
        self.density_kg_m3 + WATER_KG_M3 * (1.0 - self.density_kg_m3 / CELL_WALL_KG_M3).max(0.0)
    }

    /// What it is called in a sentence.
    #[must_use]
    pub fn said(&self) -> &str {
        match self.from {
            From::Unnamed => "a wood that nobody named",
            _ => &self.name,
        }
    }

    /// What is assumed of it, in a sentence.
    #[must_use]
    pub fn assumed(&self) -> String {
        let Self { name, density_kg_m3, class, durability, from } = self;
        let numbers = format!("{class} (EN 338), {density_kg_m3:.0} kg/m³ dry");
        match from {
            From::Unnamed => format!("Wood: nobody named it; taken as a weak one, {numbers}."),
            From::Unknown => format!(
                "Wood: nothing is known of {name}; taken as a weak one, {numbers}. spanwright wood add tells it."
            ),
            From::Table | From::Book => format!(
                "Wood: {name}, {numbers}, lasts in the ground as class {durability} of 5 (EN 350). The class is for graded sawn timber; for a pole it is assumed."
            ),
        }
    }
}

/// A strength class by its name.
#[must_use]
pub fn class(name: &str) -> Option<Timber> {
    CLASSES.iter().find(|(known, _)| *known == name).map(|(_, timber)| *timber)
}

/// Every kind that can be named: those the book was told first, each name
/// once.
#[must_use]
pub fn all(told: &[Wood]) -> Vec<Taken> {
    let mut all: Vec<Taken> = told.iter().map(told_of).collect();
    for one in KNOWN {
        if !all.iter().any(|t| t.name == one.name) {
            all.push(taken(one, From::Table));
        }
    }
    all
}

/// The wood of that name, in small letters; a weak one where nothing is known
/// of it.
#[must_use]
pub fn named(name: &str, told: &[Wood]) -> Taken {
    if name.is_empty() {
        return taken(&UNNAMED, From::Unnamed);
    }
    let unknown = || Taken { name: name.to_owned(), ..taken(&UNNAMED, From::Unknown) };
    all(told).into_iter().find(|t| t.name == name).unwrap_or_else(unknown)
}

fn taken(known: &Known, from: From) -> Taken {
    Taken {
        name: known.name.to_owned(),
        density_kg_m3: known.density_kg_m3,
        class: known.class.to_owned(),
        durability: known.durability,
        from,
    }
}

fn told_of(wood: &Wood) -> Taken {
    Taken {
        name: wood.name.to_lowercase(),
        density_kg_m3: wood.density_kg_m3,
        class: wood.class.clone(),
        durability: wood.durability,
        from: From::Book,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(name: &str, class: &str) -> Wood {
        Wood { name: name.to_owned(), density_kg_m3: 700.0, class: class.to_owned(), durability: 2 }
    }

    /// Source: the Global Wood Density Database (Rhizophora 0.84, from
    /// memory); water in every pore between walls of 1,530 kg/m³.
    #[test]
    fn soaked_mangrove_sinks() {
        let soaked = named("mangrove", &[]).soaked_kg_m3();
        assert!((soaked - 1290.98).abs() < 0.01, "{soaked}");
    }

    #[test]
    fn what_the_builder_tells_comes_before_the_table() {
        let told = [told("Mangrove", "D50")];
        assert_eq!(named("mangrove", &told).class, "D50");
        assert_eq!(all(&told).iter().filter(|t| t.name == "mangrove").count(), 1);
    }

    #[test]
    fn a_wood_nobody_knows_is_taken_as_weak_and_says_so() {
        let wood = named("ghost tree", &[]);
        assert_eq!((wood.class.as_str(), wood.from), ("D24", From::Unknown));
        assert!(wood.assumed().contains("nothing is known of ghost tree"));
    }

    #[test]
    fn every_class_of_the_table_is_one() {
        assert!(KNOWN.iter().all(|k| class(k.class).is_some()) && class(UNNAMED.class).is_some());
    }
}
