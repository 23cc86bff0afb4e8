//! What would make a link hold the gust the builder names.

use std::fmt;

use serde::Serialize;

use super::chain::{Grows, Strength, ground};
use crate::build::worked::Worked;

/// The most turns that lie well in a lashing (common practice).
const MOST_TURNS: u32 = 12;
/// The feet that are proposed, m.
const FEET_M: [f64; 4] = [0.5, 0.8, 1.1, 1.5];
/// The deepest post that is proposed, m (common practice).
const DEEPEST_M: f64 = 2.0;
/// A hole deeper than this may fall in on people (common practice).
const SHORED_M: f64 = 1.2;

/// What would make a link hold.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "by", rename_all = "kebab-case")]
pub enum Change {
    /// More turns in the lashing.
    Turns {
        /// So many.
        turns: u32,
        /// Instead of so many.
        instead_of: u32,
    },
    /// More ties at each place.
    Ties {
        /// So many, instead of one.
        ties: u32,
    },
    /// A thicker pole.
    Thickness {
        /// So thick.
        d_m: f64,
        /// Instead of so thick.
        instead_of_m: f64,
    },
    /// A deeper post, with something across its foot.
    Depth {
        /// So deep.
        depth_m: f64,
        /// So wide a foot.
        foot_m: f64,
        /// Instead of so deep.
        instead_of_m: f64,
        /// And so wide a foot.
        instead_of_foot_m: f64,
    },
    /// Nothing that could be proposed.
    Nothing {
        /// The deepest post that was tried.
        deepest_m: f64,
    },
}

impl fmt::Display for Change {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Turns { turns, instead_of } => {
                let many = if turns > MOST_TURNS { ", more than lie well: a stronger cord" } else { "" };
                write!(f, "{turns} turns instead of {instead_of}{many}")
            }
            Self::Ties { ties } => write!(f, "{ties} ties at each place instead of one, or a stronger cord"),
            Self::Thickness { d_m, instead_of_m } => {
                let (mm, was) = (d_m * 1000.0, instead_of_m * 1000.0);
                write!(f, "{mm:.0} mm thick instead of {was:.0} mm, or rafters closer")
            }
            Self::Depth { depth_m, foot_m, instead_of_m, instead_of_foot_m } => {
                let shored =
                    if depth_m > SHORED_M { "; a hole that deep is shored, nobody in it alone" } else { "" };
                write!(
                    f,
                    "post {depth_m:.2} m deep with a {foot_m:.1} m cross-piece or stones at its foot, instead of {instead_of_m:.2} m and {instead_of_foot_m:.1} m{shored}"
                )
            }
            Self::Nothing { deepest_m } => {
                write!(f, "no post {deepest_m:.0} m deep holds that: more posts, or a lower gust")
            }
        }
    }
}

/// What to change so that a link holds a force, N, at which it would give.
pub(super) fn change(worked: &Worked, strength: &Strength, needed_n: f64) -> Change {
    // A hair less, so that what is just enough is enough.
    let times = needed_n / strength.capacity_n - 1e-9;
    match strength.grows {
        Grows::Turns(turns) => {
            Change::Turns { turns: (f64::from(turns) * times).ceil() as u32, instead_of: turns }
        }
        Grows::Ties => Change::Ties { ties: times.ceil() as u32 },
        Grows::Thickness(d_m) => {
            // Poles are told by steps of 5 mm.
            Change::Thickness { d_m: (d_m * times.cbrt() * 200.0).ceil() / 200.0, instead_of_m: d_m }
        }
        Grows::Depth => deeper(worked, needed_n),
    }
}

/// The narrowest foot, and the least depth with it, that hold so much.
fn deeper(worked: &Worked, needed_n: f64) -> Change {
    let instead_of_m = worked.brief.posts.depth_m;
    let own = worked.brief.holding.foot_m.unwrap_or(0.0);
    let feet = std::iter::once(own).chain(FEET_M.into_iter().filter(|f| *f > own)).filter(|f| *f > 0.0);
    let holds =
        |depth: f64, foot: f64| ground(worked, depth, Some(foot)).is_ok_and(|s| s.capacity_n >= needed_n);
    for foot_m in feet {
        let depths = (0..).map(|step| instead_of_m + 0.05 * f64::from(step));
        if let Some(depth_m) = depths.take_while(|d| *d <= DEEPEST_M + 1e-9).find(|d| holds(*d, foot_m)) {
            return Change::Depth { depth_m, foot_m, instead_of_m, instead_of_foot_m: own };
        }
    }
    Change::Nothing { deepest_m: DEEPEST_M }
}
