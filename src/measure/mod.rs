//! Lengths in metres inside, said and told the way people call them out.
//!
//! A measure belongs to a person: [`Body`] holds whose span it is and how
//! long its parts are. [`understand`] reads what was called out, [`told`]
//! writes it back.

pub mod body;
pub mod said;
pub mod told;
