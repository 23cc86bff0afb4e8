//! Meaning to style. Views never name a colour: the mark comes first, the
//! attribute second, the colour last.

use ratatui::style::{Color, Modifier, Style};

/// What something on the screen means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meaning {
    /// Nothing in particular.
    Plain,
    /// A heading.
    Title,
    /// What is chosen.
    Chosen,
    /// What is beside the point just now.
    Quiet,
    /// As it should be.
    True,
    /// Not as it should be.
    Out,
    /// Cannot be trusted.
    Doubtful,
    /// What asks for a hand.
    Hand,
    /// What can hurt someone.
    Caution,
    /// A key.
    Key,
    /// Where something is typed.
    Field,
}

/// The style of a meaning. The 16 named colours only, on the terminal's own
/// ground.
#[must_use]
pub const fn style(meaning: Meaning) -> Style {
    let plain = Style::new();
    match meaning {
        Meaning::Plain | Meaning::True => plain,
        Meaning::Title | Meaning::Key => plain.add_modifier(Modifier::BOLD),
        Meaning::Chosen => plain.add_modifier(Modifier::REVERSED),
        Meaning::Quiet => plain.add_modifier(Modifier::DIM),
        Meaning::Out => plain.fg(Color::Red).add_modifier(Modifier::BOLD),
        Meaning::Doubtful => plain.fg(Color::Yellow).add_modifier(Modifier::UNDERLINED),
        Meaning::Hand => plain.fg(Color::Cyan).add_modifier(Modifier::BOLD),
        Meaning::Caution => plain.fg(Color::Yellow).add_modifier(Modifier::BOLD),
        Meaning::Field => plain.add_modifier(Modifier::UNDERLINED),
    }
}
