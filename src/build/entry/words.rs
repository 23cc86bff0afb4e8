//! The words entries are made of.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize};

/// Gives an enum of plain words its names, both ways.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident => $word:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$vdoc])* $variant,)+ }

        impl $name {
            /// All of them, in the order they are listed.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];

            /// The word for it.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)+ }
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(self.word())
            }
        }

        impl FromStr for $name {
            type Err = UnknownWord;
            fn from_str(text: &str) -> Result<Self, UnknownWord> {
                Self::ALL.iter().copied().find(|v| v.word() == text).ok_or_else(|| UnknownWord {
                    said: text.to_owned(),
                    known: Self::ALL.iter().map(|v| v.word()).collect::<Vec<_>>().join(", "),
                })
            }
        }

        impl Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.serialize_str(self.word())
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                String::deserialize(from)?.parse().map_err(serde::de::Error::custom)
            }
        }
    };
}

/// A word that is none of those that would do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{said}\" is not one of: {known}")]
pub struct UnknownWord {
    /// What was said.
    pub said: String,
    /// The words that would do.
    pub known: String,
}

words! {
    /// The kinds of entry.
    Kind {
        /// See [`super::What::House`].
        House => "house",
        /// See [`super::What::Brief`].
        Brief => "brief",
        /// See [`super::What::Measure`].
        Measure => "measure",
        /// See [`super::What::Reading`].
        Reading => "reading",
        /// See [`super::What::Moved`].
        Moved => "moved",
        /// See [`super::What::Tally`].
        Tally => "tally",
        /// See [`super::What::Sign`].
        Sign => "sign",
        /// See [`super::What::Hold`].
        Hold => "hold",
        /// See [`super::What::Resume`].
        Resume => "resume",
        /// See [`super::What::Strike`].
        Strike => "strike",
        /// See [`super::What::Permit`].
        Permit => "permit",
        /// See [`super::What::Answer`].
        Answer => "answer",
        /// See [`super::What::TieDown`].
        TieDown => "tie-down",
        /// See [`super::What::Crew`].
        Crew => "crew",
        /// See [`super::What::CrewDay`].
        CrewDay => "crew-day",
        /// See [`super::What::Closed`].
        Closed => "closed",
        /// See [`super::What::Weather`].
        Weather => "weather",
        /// See [`super::What::Wood`].
        Wood => "wood",
        /// See [`super::What::Pull`].
        Pull => "pull",
    }
}

words! {
    /// The materials.
    Item {
        /// A peg.
        Peg => "peg",
        /// A setting-out rope.
        Rope => "rope",
        /// A pole as it comes from the forest, before it is cut to pieces.
        Pole => "pole",
        /// A post.
        Post => "post",
        /// Packing stone, in m³.
        PackingStone => "packing-stone",
        /// A tie beam.
        TieBeam => "tie-beam",
        /// A plate.
        Plate => "plate",
        /// A diagonal brace.
        Brace => "brace",
        /// A king post.
        KingPost => "king-post",
        /// The ridge pole.
        RidgePole => "ridge-pole",
        /// The upper ridge pole, over the cap.
        UpperRidgePole => "upper-ridge-pole",
        /// A lifting pole.
        LiftingPole => "lifting-pole",
        /// A rafter.
        Rafter => "rafter",
        /// A batten.
        Batten => "batten",
        /// Cord, in metres.
        Cord => "cord",
        /// A thatch panel.
        Panel => "panel",
        /// A doubled panel for the cap.
        DoubledPanel => "doubled-panel",
        /// A pin.
        Pin => "pin",
    }
}

impl Item {
    /// An item as people say it: one or many, with blanks or hyphens, in
    /// capitals or not.
    ///
    /// # Errors
    /// Anything else, with the words that would do.
    pub fn said(text: &str) -> Result<Self, UnknownWord> {
        let words: Vec<&str> = text.split(|c: char| c == '-' || c.is_whitespace()).collect();
        let word = words.into_iter().filter(|w| !w.is_empty()).collect::<Vec<_>>().join("-").to_lowercase();
        let one = || word.strip_suffix('s').and_then(|one| one.parse().ok());
        word.parse().ok().or_else(one).map_or_else(|| text.trim().parse(), Ok)
    }

    /// The unit it is counted in; empty for pieces.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Cord => "m",
            Self::PackingStone => "m³",
            _ => "",
        }
    }

    /// Whether it is a pole, or a piece cut from one.
    #[must_use]
    pub const fn is_pole(self) -> bool {
        matches!(
            self,
            Self::Pole
                | Self::Post
                | Self::TieBeam
                | Self::Plate
                | Self::Brace
                | Self::KingPost
                | Self::RidgePole
                | Self::UpperRidgePole
                | Self::LiftingPole
                | Self::Rafter
                | Self::Batten
        )
    }

    /// Whether only whole numbers of it can be told.
    #[must_use]
    pub const fn is_whole(self) -> bool {
        self.unit().is_empty()
    }
}

words! {
    /// How an item moved.
    How {
        /// Cut for the house.
        Cut => "cut",
        /// Woven for the house.
        Woven => "woven",
        /// Bought.
        Bought => "bought",
        /// Promised, not here yet.
        Promised => "promised",
        /// Brought, against a promise where there is one.
        Delivered => "delivered",
        /// Given to another house.
        Moved => "moved",
        /// Built in.
        Used => "used",
        /// Spoiled.
        Spoiled => "spoiled",
        /// Lost from what lay there.
        Lost => "lost",
        /// Torn from where it was built in, and lost.
        TornOff => "torn-off",
        /// Found again.
        Found => "found",
    }
}

words! {
    /// What a crew does on a day.
    Work {
        /// Setting out, counted in houses.
        SetOut => "set-out",
        /// Digging post holes, counted in holes.
        Digging => "digging",
        /// Standing posts, counted in posts.
        Posts => "posts",
        /// Tie beams and plates, counted in pieces.
        Beams => "beams",
        /// The roof frame, counted in rafters.
        Frame => "frame",
        /// Raising the ridge, counted in houses.
        Raising => "raising",
        /// Weaving, counted in panels.
        Weaving => "weaving",
        /// Thatching, counted in panels.
        Thatching => "thatching",
        /// The ridge cap, counted in doubled panels.
        Capping => "capping",
        /// Cutting poles, counted in poles.
        Cutting => "cutting",
        /// Anything else; not counted.
        Other => "other",
    }
}

words! {
    /// What is tied together, from the thatch down, and the cord itself.
    Joint {
        /// A panel to what it is tied to.
        PanelTie => "panel-tie",
        /// A batten to a rafter.
        Batten => "batten",
        /// A rafter to a plate.
        Rafter => "rafter",
        /// A plate to a post.
        Plate => "plate",
        /// A single strand of the cord.
        Cord => "cord",
    }
}

words! {
    /// What is made fast before a storm.
    Secure {
        /// Loose panels are stacked and netted.
        Panels => "panels",
        /// The lifting poles are down.
        LiftingPoles => "lifting-poles",
        /// The ridge is roped to the ground.
        Ridge => "ridge",
        /// Openings are closed, or opened on both sides.
        Openings => "openings",
        /// Tools are under cover.
        Tools => "tools",
        /// People are sent home, or to the shelter.
        People => "people",
    }
}
