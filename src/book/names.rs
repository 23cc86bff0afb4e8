//! What houses are called in a book.
//!
//! A house is known by its name in small letters, and no two are known alike.
//! One that is taken in from another book, and has the name of a house that is
//! here already, gets a number after its name. The house that was here first
//! keeps the plain name: in one book, a name never comes to mean another house.

use rusqlite::{Connection, named_params};

/// What a house's name is compared by: small letters, and one blank between words.
pub(super) fn known_as(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// What a house of this name is called that is known as this: its name, and
/// its number where it has one.
pub(super) fn called(name: String, known: &str) -> String {
    match known.strip_prefix(&known_as(&name)) {
        Some(number) => name + number,
        None => name,
    }
}

/// Whether a house of this name may be known as this.
pub(super) fn is_known_rightly(name: &str, known: &str) -> bool {
    let number = known.strip_prefix(&known_as(name)).map(|after| {
        if after.is_empty() { Some(1) } else { after.strip_prefix(" (")?.strip_suffix(')')?.parse().ok() }
    });
    number.flatten().is_some_and(|n: u32| n > 0)
}

/// What a house of this name that is taken in is to be known as.
pub(super) fn free(conn: &Connection, name: &str) -> rusqlite::Result<String> {
    const SQL: &str = "SELECT EXISTS (SELECT 1 FROM house WHERE known_as = :known_as)";
    let plain = known_as(name);
    let mut known = plain.clone();
    let mut query = conn.prepare_cached(SQL)?;
    let mut number = 1_u32;
    while query.query_row(named_params! { ":known_as": known }, |row| row.get(0))? {
        number = number.saturating_add(1);
        known = format!("{plain} ({number})");
    }
    Ok(known)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_compared_in_small_letters_and_single_blanks() {
        assert_eq!(known_as("  Tern \t HOUSE\u{3000}Ébène "), "tern house ébène");
        assert_eq!(known_as("ΟΔΟΣ"), known_as("οδος"));
    }

    #[test]
    fn a_second_house_of_a_name_is_called_by_its_number() {
        assert_eq!(called("Tern House".to_owned(), "tern house"), "Tern House");
        assert_eq!(called("Tern House".to_owned(), "tern house (2)"), "Tern House (2)");
        for (known, rightly) in [
            ("tern house", true),
            ("tern house (2)", true),
            ("tern house (0)", false),
            ("tern house 2", false),
            ("tern house (two)", false),
            ("landing house", false),
        ] {
            assert_eq!(is_known_rightly("Tern House", known), rightly, "{known}");
        }
    }
}
