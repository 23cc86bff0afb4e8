//! What the book was told of wood and of cords pulled.

use std::collections::BTreeSet;

use uuid::Uuid;

use crate::build::entry::{Entry, Pull, What, Wood};

/// What stands of it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Told {
    /// The kinds of wood, each as last told.
    pub woods: Vec<Wood>,
    /// The pulls, in order.
    pub pulls: Vec<Pull>,
}

impl Told {
    /// What stands among entries, which are in order.
    #[must_use]
    pub fn of(entries: &[Entry]) -> Self {
        let struck: BTreeSet<Uuid> = entries
            .iter()
            .filter_map(|e| match &e.what {
                What::Strike { entry, .. } => Some(*entry),
                _ => None,
            })
            .collect();
        let mut told = Self::default();
        for entry in entries.iter().filter(|e| !struck.contains(&e.id)) {
            match &entry.what {
                What::Wood(wood) => {
                    told.woods.retain(|w| w.name != wood.name);
                    told.woods.push(wood.clone());
                }
                What::Pull(pull) => told.pulls.push(pull.clone()),
                _ => {}
            }
        }
        told
    }
}
