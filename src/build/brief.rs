//! What was decided for a house.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

/// The fields of a brief as they were said, by field id.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct BriefText(pub BTreeMap<String, String>);
