//! What holds, in lines for people: the page and the command say the same.

use super::chain::{Known, LinkNow};
use super::cnet::Net;
use super::lay::{DRY_KG_M2, PERSON_KG, SOAKED_KG_M2};
use super::members::MemberNow;
use super::pulls::{CAUTION as PULL_CAUTION, Tested};
use super::wood::From;
use super::{Holds, Raising, Standing};
use crate::build::worked::Worked;
use crate::reckon::GRAVITY_M_S2;

/// How a line is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// As it is.
    Plain,
    /// A heading.
    Title,
    /// What goes with the line above.
    Quiet,
    /// Too weak.
    Weak,
    /// Not known.
    Unknown,
    /// What can hurt someone.
    Caution,
}

/// A line: a mark that stands before it, and the text, which hangs from the
/// mark where it is broken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// How it is meant.
    pub tone: Tone,
    /// The mark.
    pub mark: String,
    /// The text.
    pub text: String,
}

fn line(tone: Tone, mark: impl Into<String>, text: impl Into<String>) -> Line {
    Line { tone, mark: mark.into(), text: text.into() }
}

fn blank() -> Line {
    line(Tone::Plain, "", "")
}

/// All of it, the chain first.
#[must_use]
pub fn lines(holds: &Holds) -> Vec<Line> {
    let mut all = vec![line(Tone::Caution, "! ", holds.caution), blank()];
    all.extend(chain(holds));
    all.push(blank());
    all.extend(members(&holds.members, holds.gust_m_s));
    all.push(blank());
    all.extend(standing(holds.standing.as_ref(), holds.gust_m_s));
    all.push(blank());
    all.extend(raising(&holds.raising));
    all.push(blank());
    all.extend(tests_told(&holds.tests));
    all.push(blank());
    all.push(line(Tone::Title, "", "What is assumed"));
    all.extend(holds.assumptions.iter().map(|a| line(Tone::Plain, "· ", a)));
    all
}

/// The chain from the thatch down, a box a link.
fn chain(holds: &Holds) -> Vec<Line> {
    let title = match holds.gust_m_s {
        Some(gust) => format!("From the thatch down, in a gust of {gust:.0} m/s"),
        None => "From the thatch down".to_owned(),
    };
    let mut all = vec![line(Tone::Title, "", title)];
    let last = holds.links.len().saturating_sub(1);
    for (at, link) in holds.links.iter().enumerate() {
        let first = holds.first == Some(link.name);
        let rope = if at == last { "    " } else { " │  " };
        all.extend(of_link(link, first, rope));
    }
    all.push(first_told(holds));
    if holds.gust_m_s.is_none() {
        all.push(line(
            Tone::Quiet,
            "",
            "Name the gust it is to hold (gust in the brief, or --gust 45): then what to change is told.",
        ));
    }
    all
}

fn of_link(link: &LinkNow, first: bool, rope: &str) -> Vec<Line> {
    let name = format!("{:<18}", link.name);
    match &link.known {
        Known::Unknown { unknown } => vec![
            line(Tone::Unknown, " ○ ", format!("{name}  ? unknown")),
            line(Tone::Quiet, rope, unknown.as_str()),
        ],
        Known::Strong { allowed_to_m_s, gives_at_m_s, ratio, from, change_said, .. } => {
            let short = ratio.is_some_and(|r| r > 1.0);
            let verdict = match (first, short) {
                (true, true) => "  x TOO WEAK, first",
                (true, false) => "  < gives first",
                (false, true) => "  x TOO WEAK",
                (false, false) => "",
            };
            let text = format!(
                "{name}  allowed to {allowed_to_m_s:>3.0}, gives at {gives_at_m_s:>3.0} m/s{verdict}"
            );
            let tone = if short || first { Tone::Weak } else { Tone::Plain };
            let mark = if first { " ▲ " } else { " ● " };
            let mut all = vec![line(tone, mark, text), line(Tone::Quiet, rope, from.as_str())];
            all.extend(change_said.as_ref().map(|c| line(Tone::Weak, rope, format!("to hold it: {c}"))));
            all
        }
    }
}

/// What gives first, among what is known.
fn first_told(holds: &Holds) -> Line {
    let Some(first) = holds.first else {
        return line(Tone::Unknown, "", "What gives first is unknown: no link of the chain is known.");
    };
    let at =
        holds.links.iter().find(|l| l.name == first).and_then(LinkNow::allowed_to_m_s).unwrap_or_default();
    let among = match holds.unknown {
        0 => String::new(),
        1 => " among those known; one is unknown and may be weaker".to_owned(),
        n => format!(" among those known; {n} are unknown and may be weaker"),
    };
    let text =
        format!("First: {first}{among}. Allowed to {at:.0} m/s by these assumptions, a screening figure.");
    line(if holds.unknown > 0 { Tone::Unknown } else { Tone::Plain }, "", text)
}

/// How far a pole is loaded, its ratio of asked over allowed. What is over must
/// not look like equal, nor what is under.
fn loaded(ratio: f64) -> String {
    match ratio {
        r if (0.995..=1.0).contains(&r) => "loaded to the very edge of what it bears".to_owned(),
        r if r > 1.0 && r < 1.005 => "loaded to just over what it bears".to_owned(),
        r => format!("loaded to {r:.2} of what it bears"),
    }
}

/// What goes with a pole stands below it, set in.
const SET_IN: &str = "            ";

fn members(members: &[MemberNow], gust_m_s: Option<f64>) -> Vec<Line> {
    let wind = match gust_m_s {
        Some(gust) => format!("a gust of {gust:.0} m/s among the loads"),
        None => "no gust named, no wind among the loads".to_owned(),
    };
    let mut all = vec![line(Tone::Title, "", format!("Poles, by this screening ({wind})"))];
    for m in members {
        let (verdict, tone) =
            if m.too_weak() { ("x TOO WEAK", Tone::Weak) } else { ("= within", Tone::Plain) };
        let text = format!("{:<10} {:>4.0} mm  {}: {verdict}", m.name, m.d_m * 1000.0, loaded(m.ratio));
        all.push(line(tone, " ", text));
        all.push(line(Tone::Quiet, SET_IN, format!("{} first, under {}", m.how, m.load)));
        all.extend(m.remedy().map(|r| line(Tone::Weak, SET_IN, r)));
    }
    all
}

/// The poles in a line: those that are too weak, else the one that is nearest
/// to it.
#[must_use]
pub fn in_short(worked: &Worked) -> String {
    let members = super::members(worked);
    let weak: Vec<String> = members
        .iter()
        .filter(|m| m.too_weak())
        .map(|m| format!("{} {}, {}, {}", m.name, loaded(m.ratio), m.how, m.load))
        .collect();
    let wood = &worked.wood.class;
    if !weak.is_empty() {
        return format!("Poles x TOO WEAK by screening ({wood}): {}.", weak.join("; "));
    }
    let most = members.iter().max_by(|a, b| a.ratio.total_cmp(&b.ratio));
    most.map_or_else(String::new, |m| {
        let most = format!("{} most, {}, {}, {}", m.name, loaded(m.ratio), m.how, m.load);
        format!("Poles = within by screening ({wood}): {most}.")
    })
}

/// The poles that are too weak, shortly; nothing where none is.
#[must_use]
pub fn weak_in_short(worked: &Worked) -> Option<String> {
    let members = super::members(worked);
    let weak = members.iter().filter(|m| m.too_weak());
    let weak: Vec<String> = weak.map(|m| format!("{} {}", m.name, loaded(m.ratio))).collect();
    (!weak.is_empty()).then(|| format!("Poles x TOO WEAK by screening: {}", weak.join(", ")))
}

fn standing(standing: Option<&Standing>, gust_m_s: Option<f64>) -> Vec<Line> {
    let title = line(Tone::Title, "", "Posts: how deep, pushed sideways (IBC 1807.3.2.1)");
    let told = match (standing, gust_m_s) {
        (Some(s), _) => {
            let short = s.needs_m > s.depth_m + 1e-9;
            let verdict = if short { "x TOO SHALLOW" } else { "= within" };
            let code = if s.within_code { "" } else { ", deeper than the rule is written for" };
            let text = format!(
                "In {} ({:.1} kPa sideways for each metre, IBC Table 1806.2), {:.0} N on each head: {:.2} m needed{code}, {:.2} m in the brief: {verdict}",
                s.soil,
                s.bearing_pa_per_m / 1000.0,
                s.push_n,
                up_to_cm(s.needs_m),
                s.depth_m
            );
            return vec![
                title,
                line(if short { Tone::Weak } else { Tone::Plain }, " ", text),
                line(Tone::Quiet, " ", s.caution.as_str()),
            ];
        }
        (None, None) => "Unknown: no gust is named.",
        (None, Some(_)) => "Unknown: the ground is not named (soil in the brief).",
    };
    vec![title, line(Tone::Unknown, " ", told)]
}

/// Up to the next whole centimetre, m: what lacks a little must not look like
/// equal.
fn up_to_cm(m: f64) -> f64 {
    (m * 100.0 - 1e-6).ceil() / 100.0
}

fn raising(raising: &Raising) -> Vec<Line> {
    // In kilograms, as people feel it.
    let kg = |newtons: f64| newtons / GRAVITY_M_S2;
    let what = if raising.with_rafters { "the ridge with its rafters" } else { "the bare ridge" };
    let mut all = vec![
        line(Tone::Title, "", "Raising"),
        line(Tone::Caution, "! ", raising.caution),
        line(
            Tone::Plain,
            " ",
            format!(
                "{what}, {:.0} kg at {:.0} kg/m³ as lifted: not less than {} people at two pairs of poles",
                raising.mass_kg, raising.density_kg_m3, raising.people
            ),
        ),
        line(
            Tone::Quiet,
            " ",
            if raising.as_tallied {
                "Poles as tallied where they are longer or thicker than the brief has them."
            } else {
                "Poles as the brief has them: tally the ridge pole with its length and thickness to count it so."
            },
        ),
        line(Tone::Quiet, " ", "feet apart   pole leans   along each pole   outward at each foot"),
    ];
    all.extend(raising.stances.iter().map(|s| {
        let text = format!(
            "{:>8.2} m   {:>8.0}°   {:>12.0} kg   {:>17.0} kg",
            s.spread_m,
            s.half_angle_deg,
            kg(s.leg_n),
            kg(s.foot_thrust_n)
        );
        line(Tone::Plain, " ", text)
    }));
    all
}

/// The tests of cords and joints.
#[must_use]
pub fn tests_told(tests: &[Tested]) -> Vec<Line> {
    let mut all = vec![
        line(Tone::Title, "", "Cords and joints pulled to breaking"),
        line(Tone::Caution, "! ", PULL_CAUTION),
    ];
    if tests.is_empty() {
        all.push(line(Tone::Unknown, " ", "None yet. Three of a kind say something, ten say more."));
    }
    for t in tests {
        let name = format!("{} of {}", t.joint.word().replace('-', " "), t.cord);
        match (t.characteristic_n, t.working_n) {
            (Some(strong), Some(working)) => {
                let text = format!(
                    "{name}: {} tests, 19 of 20 hold {strong:.0} N, counted on {working:.0} N",
                    t.tests
                );
                all.push(line(Tone::Plain, " ", text));
                let gains: Vec<String> =
                    t.more.iter().map(|m| format!("{} more {:+.0} %", m.tests, m.gain * 100.0)).collect();
                if !gains.is_empty() {
                    let text = format!("if more broke like these: {}", gains.join(", "));
                    all.push(line(Tone::Quiet, "   ", text));
                }
            }
            _ => {
                let text = format!("{name}: ? {} of at least 3 tests", t.tests);
                all.push(line(Tone::Unknown, " ", text));
            }
        }
    }
    all
}

/// What is assumed of a house.
pub(super) fn assumptions(worked: &Worked, wind: &Net) -> Vec<String> {
    let mut all = vec![
        worked.wood.assumed(),
        wind.source.clone(),
        format!(
            "Lift coefficients: {:.2} for ties and the batten, {:.2} for rafters, {:.2} for plates and posts; pressing down {:.2} on rafters, {:.2} on the rest.",
            wind.patch, wind.edge, wind.field, wind.edge_down, wind.down
        ),
        format!(
            "Thatch: {SOAKED_KG_M2:.0} kg/m² soaked (published for palm), {DRY_KG_M2:.0} kg/m² dry, of which nine tenths hold down. A person: {PERSON_KG:.0} kg in the middle of one pole."
        ),
        "Panels are tied once at every rafter; the eave batten holds two rows. The ridge is not counted on: a rafter's foot takes its whole lift. Each post takes its bay, or half of one and the gable.".to_owned(),
        "Joints: counted on for a third of what 19 of 20 hold (EN 14358); a plate holds by its own lashing at each post; a joint pulled itself counts as pulled, with the turns of the brief; else 2 strands for each turn, halved by the knot; frapping turns do not count. Wet and old cord holds less: pull it so.".to_owned(),
        "Timber: service class 3, k_mod 0.5 for good, 0.7 for a short while, 0.9 in a gust, divided by 1.3 (EN 1995-1-1). A king post is held at both ends, a post at its foot alone.".to_owned(),
        "Ground: 1440 kg/m³ and a cone of 20° over the foot (from memory), a third counted on, as soaked ground holds half or less. No diagonal brace is counted on. What a push sideways adds to the lift of the windward posts is not in it.".to_owned(),
    ];
    let soaked = worked.wood.soaked_kg_m3();
    if worked.wood.from == From::Book && worked.brief.frame.green_kg_m3.is_none() {
        all.push(format!(
            "Raising is reckoned at {:.0} kg/m³; {} as told soaks to {soaked:.0}: weigh a short piece and say green_density in the brief.",
            worked.green_kg_m3,
            worked.wood.said()
        ));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pole_is_told_by_how_much_of_what_it_bears_it_is_loaded_to() {
        for (ratio, told) in [
            (0.334, "loaded to 0.33 of what it bears"),
            (0.996, "loaded to the very edge of what it bears"),
            (1.0, "loaded to the very edge of what it bears"),
            (1.003, "loaded to just over what it bears"),
            (1.29, "loaded to 1.29 of what it bears"),
        ] {
            assert_eq!(loaded(ratio), told);
        }
    }

    #[test]
    fn a_depth_that_is_just_too_little_does_not_look_like_enough() {
        assert_eq!((up_to_cm(0.9), up_to_cm(0.9004)), (0.9, 0.91));
    }
}
