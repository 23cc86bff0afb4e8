//! The list of crews, rates and closed days.

/// The list of crews, rates and closed days, as it lies over the days.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct CrewsShown {
    /// The place of the chosen crew.
    pub chosen: usize,
    /// The first line that is shown.
    pub scroll: usize,
}
