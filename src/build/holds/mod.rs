//! What holds, what lifts, what gives first: a house's ties, poles and posts
//! against weight and wind. Screening figures all of them.

mod chain;
pub mod cnet;
mod lay;
mod members;
mod pulls;
mod raising;
mod remedy;
mod telling;
mod told;
pub mod wood;

#[cfg(test)]
mod tests;

use serde::Serialize;

pub use chain::{Known, LinkNow};
pub use members::MemberNow;
pub use pulls::{CAUTION as PULL_CAUTION, More, Tested, tested};
pub use raising::{Raising, Stance};
pub use remedy::Change;
pub use telling::{Line, Tone, in_short, lines, tests_told, weak_in_short};
pub use told::Told;

use super::entry::Pull;
use super::worked::Worked;
use crate::reckon::footing;

/// What stands over everything.
pub const CAUTION: &str = "Screening figures, not a design: the local code and a licensed engineer decide. \
    No result is a reason to stay inside: go to the shelter when told, or sooner.";

/// What holds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Holds {
    /// What stands over everything.
    pub caution: &'static str,
    /// The gust that is to be held, m/s.
    pub gust_m_s: Option<f64>,
    /// The wood.
    pub wood: wood::Taken,
    /// The wind's coefficients.
    pub wind: cnet::Net,
    /// The chain, from the thatch down.
    pub links: Vec<LinkNow>,
    /// The link that is counted on the least, of those that are known.
    pub first: Option<&'static str>,
    /// How many links nothing is known of.
    pub unknown: usize,
    /// The poles.
    pub members: Vec<MemberNow>,
    /// How deep a post should stand in that gust; none without a gust, or
    /// where the ground is not named.
    pub standing: Option<Standing>,
    /// The raising of the ridge.
    pub raising: Raising,
    /// The tests of cords and joints.
    pub tests: Vec<Tested>,
    /// What was assumed.
    pub assumptions: Vec<String>,
}

/// How deep a post should stand by itself (IBC 1807.3.2.1).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Standing {
    /// The ground.
    pub soil: &'static str,
    /// What the ground is allowed to bear sideways for each metre of depth (IBC
    /// Table 1806.2), Pa/m.
    pub bearing_pa_per_m: f64,
    /// Sideways on its head, N.
    pub push_n: f64,
    /// How deep it should stand, m.
    pub needs_m: f64,
    /// How deep it is to stand by the brief, m.
    pub depth_m: f64,
    /// Whether the rule is written for such a depth.
    pub within_code: bool,
    /// What was assumed.
    pub caution: String,
}

/// What holds of a house, with the pulls that count for it; a gust takes the
/// place of the one in the brief.
#[must_use]
pub fn holds(worked: &Worked, pulls: &[Pull], gust_m_s: Option<f64>) -> Holds {
    let holding = &worked.brief.holding;
    let gust_m_s = gust_m_s.or(holding.gust_m_s);
    let wind = cnet::net(holding.sides, worked.roof.pitch_deg, holding.c_net);
    let tests = tested(pulls);
    let links = chain::chain(worked, &wind, &tests, gust_m_s);
    let known = links.iter().filter_map(|l| Some((l.allowed_to_m_s()?, l.name)));
    // min_by keeps the first of equals.
    let first = known.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, name)| name);
    Holds {
        caution: CAUTION,
        gust_m_s,
        wood: worked.wood.clone(),
        unknown: links.iter().filter(|l| l.allowed_to_m_s().is_none()).count(),
        links,
        first,
        members: members::members(worked, &wind, gust_m_s),
        standing: gust_m_s.and_then(|gust| standing(worked, &wind, gust)),
        raising: raising::raising(worked),
        tests,
        assumptions: telling::assumptions(worked, &wind),
        wind,
    }
}

/// The poles of a house, with what they were reckoned by.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Poles {
    /// What stands over them.
    pub caution: &'static str,
    /// The wood.
    pub wood: wood::Taken,
    /// The gust among the loads, m/s.
    pub gust_m_s: Option<f64>,
    /// Pole by pole.
    pub members: Vec<MemberNow>,
}

/// The poles of a house, as a brief tells them.
#[must_use]
pub fn poles(worked: &Worked) -> Poles {
    let gust_m_s = worked.brief.holding.gust_m_s;
    Poles { caution: CAUTION, wood: worked.wood.clone(), gust_m_s, members: members(worked) }
}

/// The poles of a house under weight alone, and in the gust of its brief.
#[must_use]
pub fn members(worked: &Worked) -> Vec<MemberNow> {
    let holding = &worked.brief.holding;
    let wind = cnet::net(holding.sides, worked.roof.pitch_deg, holding.c_net);
    members::members(worked, &wind, holding.gust_m_s)
}

fn standing(worked: &Worked, wind: &cnet::Net, gust_m_s: f64) -> Option<Standing> {
    let posts = &worked.brief.posts;
    let soil = worked.brief.holding.soil;
    let bearing_pa_per_m = soil.bearing_pa_per_m()?;
    let push_n = members::push_n(worked, wind, gust_m_s);
    let asked = footing::In {
        load_n: push_n,
        load_height_m: posts.height_m,
        width_m: posts.d_m,
        bearing_pa_per_m,
        pull: None,
    };
    let out = footing::run(&asked).ok()?;
    Some(Standing {
        soil: soil.word(),
        bearing_pa_per_m,
        push_n,
        needs_m: out.depth_m,
        depth_m: posts.depth_m,
        within_code: out.within_code,
        caution: out.caution,
    })
}
