//! The chain from the thatch down to the ground: at which gust each link
//! gives, which gives first, and what would make it hold.

use serde::Serialize;

use super::cnet::Net;
use super::lay::{AIR_KG_M3, DRY_KG_M2, Lay, pole_n_m};
use super::members::{GAMMA, GUST};
use super::pulls::{FACTOR, Tested, is_same};
use super::remedy::{self, Change};
use crate::build::entry::Joint;
use crate::build::worked::Worked;
use crate::reckon::GRAVITY_M_S2;
use crate::reckon::footing;
use crate::reckon::gust;
use crate::reckon::member::{self, Beam};

/// Ground over a foot: density, kg/m³, and the half angle of the cone that
/// comes up with it, degrees (dry sand, power-line practice; from memory).
/// Soaked ground holds half or less: that is in the factor.
const SOIL_KG_M3: f64 = 1440.0;
const CONE_DEG: f64 = 20.0;

/// Strand parts across a joint for each turn, and what a knot leaves of a
/// strand: published 50 to 60 %, taken as half.
const PARTS: f64 = 2.0;
const KNOT: f64 = 0.5;

/// The rows that hang on the eave batten.
const EAVE_ROWS: f64 = 2.0;

/// A link as the wind finds it.
#[derive(Debug, Clone)]
pub(super) struct Pulled {
    pub id: &'static str,
    pub name: &'static str,
    pub share_m2: f64,
    pub dead_n: f64,
    pub c_net: f64,
}

/// What a link holds.
#[derive(Debug, Clone)]
pub(super) struct Strength {
    /// The force at which it gives, N.
    pub capacity_n: f64,
    /// What that is divided by before it is counted on.
    pub factor: f64,
    /// How it is known.
    pub from: String,
    /// What would make it stronger.
    pub grows: Grows,
}

/// What a link's strength grows with.
#[derive(Debug, Clone, Copy)]
pub(super) enum Grows {
    /// With the turns of its lashing.
    Turns(u32),
    /// With the ties at each place.
    Ties,
    /// With the cube of a pole's thickness, m.
    Thickness(f64),
    /// With the depth and the foot of a post.
    Depth,
}

/// A link now.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LinkNow {
    /// Its id.
    pub id: &'static str,
    /// What people call it.
    pub name: &'static str,
    /// The roof that pulls on it, m².
    pub share_m2: f64,
    /// The weight that rests on it, N.
    pub dead_n: f64,
    /// The net uplift coefficient there.
    pub c_net: f64,
    /// What is known of it.
    #[serde(flatten)]
    pub known: Known,
}

/// What is known of a link.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Known {
    /// Its strength.
    Strong {
        /// The force at which it gives, N.
        capacity_n: f64,
        /// What that is divided by before it is counted on.
        factor: f64,
        /// How it is known.
        from: String,
        /// Up to which gust it is counted on, m/s.
        allowed_to_m_s: f64,
        /// The gust at which it gives, m/s.
        gives_at_m_s: f64,
        /// Asked over counted on, in the gust that was named.
        ratio: Option<f64>,
        /// What would hold that gust, where this does not.
        change: Option<Change>,
        /// The same in words.
        change_said: Option<String>,
    },
    /// Nothing that could be counted on.
    Unknown {
        /// Why, and what to do.
        unknown: String,
    },
}

impl LinkNow {
    /// Up to which gust it is counted on, m/s, where that is known.
    #[must_use]
    pub const fn allowed_to_m_s(&self) -> Option<f64> {
        match &self.known {
            Known::Strong { allowed_to_m_s, .. } => Some(*allowed_to_m_s),
            Known::Unknown { .. } => None,
        }
    }
}

/// The chain, from the thatch down.
#[must_use]
pub fn chain(worked: &Worked, net: &Net, tested: &[Tested], gust_m_s: Option<f64>) -> Vec<LinkNow> {
    let lay = Lay::of(worked);
    let wraps = worked.brief.frame.wraps;
    let wanted = worked.brief.holding.cord.as_str();
    let tied = |joint, turns, grows| tie(tested, wanted, joint, turns, grows);
    pulled(worked, net, &lay)
        .into_iter()
        .map(|link| {
            let strength = match link.id {
                "panel-tie" => tied(Joint::PanelTie, 1, Grows::Ties),
                "batten" => tied(Joint::Batten, 1, Grows::Ties),
                "rafter" => tied(Joint::Rafter, wraps, Grows::Turns(wraps)),
                "plate" => tied(Joint::Plate, wraps, Grows::Turns(wraps)),
                "rafter-bends" => rafter(worked, &lay),
                _ => ground(worked, worked.brief.posts.depth_m, worked.brief.holding.foot_m),
            };
            link_now(worked, link, strength, gust_m_s)
        })
        .collect()
}

/// The share of roof and the weight of each link. What pulls outward on a tie
/// up to the plate pulls across the slope, and of the weight only that part
/// counts; a post is pulled upright.
fn pulled(worked: &Worked, net: &Net, lay: &Lay) -> Vec<Pulled> {
    let dry = worked.wood.density_kg_m3;
    let (frame, posts) = (&worked.brief.frame, &worked.brief.posts);
    let thatch_n_m2 = DRY_KG_M2 * GRAVITY_M_S2;
    let patch_m2 = lay.spacing_m * worked.widest_course_m();
    let rafter_m2 = lay.spacing_m * lay.slope_m;
    let leg_m2 = lay.spacing_m * lay.leg_m;
    let bay_m2 = lay.bay_m * lay.slope_m;
    let roof_n_m2 = lay.roof_n_m2(DRY_KG_M2, dry);
    let plate_n = pole_n_m(frame.beam_d_m, dry) * lay.gap_m;
    let post_n = pole_n_m(posts.d_m, dry) * (posts.height_m + posts.depth_m);
    let beam_n = pole_n_m(frame.beam_d_m, dry) * worked.brief.width_m / 2.0;
    let link = |id, name, share_m2, dead_n, c_net| Pulled { id, name, share_m2, dead_n, c_net };
    vec![
        link("panel-tie", "panel tie", patch_m2, thatch_n_m2 * patch_m2 * lay.cos, net.patch),
        link(
            "batten",
            "eave batten tie",
            EAVE_ROWS * patch_m2,
            EAVE_ROWS * thatch_n_m2 * patch_m2 * lay.cos,
            net.patch,
        ),
        link("rafter-bends", "rafter, bent up", leg_m2, roof_n_m2 * leg_m2 * lay.cos, net.edge),
        link("rafter", "rafter to plate", rafter_m2, roof_n_m2 * rafter_m2 * lay.cos, net.edge),
        link("plate", "plate to post", bay_m2, (roof_n_m2 * bay_m2 + plate_n) * lay.cos, net.field),
        link(
            "post",
            "post in the ground",
            bay_m2 * lay.cos,
            roof_n_m2 * bay_m2 + plate_n + beam_n + post_n,
            net.field,
        ),
    ]
}

/// The weakest cord that is proved, of those that may count.
fn weakest<'t>(tested: &'t [Tested], wanted: &str, joint: Joint) -> Option<(&'t Tested, f64)> {
    tested
        .iter()
        .filter(|t| t.joint == joint && (wanted.is_empty() || is_same(&t.cord, wanted)))
        .filter_map(|t| Some((t, t.characteristic_n?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

/// A tied joint: as it was pulled itself, else by the strands across it.
fn tie(tested: &[Tested], wanted: &str, joint: Joint, turns: u32, grows: Grows) -> Result<Strength, String> {
    if let Some((t, capacity_n)) = weakest(tested, wanted, joint) {
        let from = format!("{} pulled {} times with {}", joint.word().replace('-', " "), t.tests, t.cord);
        return Ok(Strength { capacity_n, factor: FACTOR, from, grows });
    }
    if let Some((t, strand_n)) = weakest(tested, wanted, Joint::Cord) {
        let capacity_n = strand_n * PARTS * f64::from(turns) * KNOT;
        let from = format!(
            "{} strand pulled {} times; {turns} turn{} of {PARTS} parts, halved by the knot",
            t.cord,
            t.tests,
            if turns == 1 { "" } else { "s" }
        );
        return Ok(Strength { capacity_n, factor: FACTOR, from, grows });
    }
    let so_far: usize = tested
        .iter()
        .filter(|t| t.joint == joint || t.joint == Joint::Cord)
        .filter(|t| wanted.is_empty() || is_same(&t.cord, wanted))
        .map(|t| t.tests)
        .max()
        .unwrap_or(0);
    let which = if wanted.is_empty() { String::new() } else { format!(" of {wanted}") };
    Err(match so_far {
        0 => format!("pull three{which} to breaking (spanwright pull {joint} or cord)"),
        n => format!("{n} of at least three{which} pulled to breaking (spanwright pull {joint} or cord)"),
    })
}

/// A rafter that the wind bends up between ridge and plate.
fn rafter(worked: &Worked, lay: &Lay) -> Result<Strength, String> {
    let d_m = worked.brief.frame.rafter_d_m;
    let asked = member::In {
        d_m,
        timber: worked.wood.timber(),
        kmod: GUST,
        gamma_m: GAMMA,
        beam: Some(Beam { span_m: lay.leg_m, load_n_m: 1.0, point_n: 0.0 }),
        column: None,
    };
    let out = member::run(&asked).map_err(|e| e.why)?;
    let ratio = out.beam.map(|b| b.bending_ratio).filter(|r| *r > 0.0);
    let design_n =
        ratio.map(|r| lay.leg_m / r).ok_or_else(|| "its strength cannot be worked out".to_owned())?;
    let factor = GAMMA / GUST;
    Ok(Strength {
        capacity_n: design_n * factor,
        factor,
        from: format!("{:.0} mm of {} bending (EN 1995-1-1)", d_m * 1000.0, worked.wood.class),
        grows: Grows::Thickness(d_m),
    })
}

/// A post of some depth held down by the ground over its foot.
pub(super) fn ground(worked: &Worked, depth_m: f64, foot_m: Option<f64>) -> Result<Strength, String> {
    let Some(bearing_pa_per_m) = worked.brief.holding.soil.bearing_pa_per_m() else {
        return Err("the ground is not named; say soil gravel, sand or clay in the brief".to_owned());
    };
    let pull = footing::Pull { soil_kg_m3: SOIL_KG_M3, cone_deg: CONE_DEG, depth_m, foot_m };
    let asked = footing::In {
        // What it stands against sideways is another question.
        load_n: 1.0,
        load_height_m: 0.0,
        width_m: worked.brief.posts.d_m,
        bearing_pa_per_m,
        pull: Some(pull),
    };
    let out = footing::run(&asked).map_err(|e| e.why)?;
    let capacity_n = out.pull_out_n.filter(|n| *n > 0.0).ok_or_else(|| {
        "a straight post is not counted on to hold down; fix a cross-piece or stones to its foot (foot in the brief)"
            .to_owned()
    })?;
    let from = format!(
        "the ground over a {:.0} cm foot, {depth_m:.2} m deep, {CONE_DEG:.0}° cone",
        foot_m.unwrap_or_default() * 100.0
    );
    Ok(Strength { capacity_n, factor: FACTOR, from, grows: Grows::Depth })
}

fn link_now(
    worked: &Worked,
    link: Pulled,
    strength: Result<Strength, String>,
    gust_m_s: Option<f64>,
) -> LinkNow {
    let known = match strength.and_then(|s| strong(worked, &link, s, gust_m_s)) {
        Ok(known) => known,
        Err(unknown) => Known::Unknown { unknown },
    };
    let Pulled { id, name, share_m2, dead_n, c_net } = link;
    LinkNow { id, name, share_m2, dead_n, c_net, known }
}

fn strong(
    worked: &Worked,
    link: &Pulled,
    strength: Strength,
    gust_m_s: Option<f64>,
) -> Result<Known, String> {
    let asked = gust::In {
        c_net: link.c_net,
        air_kg_m3: AIR_KG_M3,
        gust_m_s: gust_m_s.unwrap_or(0.0),
        factor: strength.factor,
        links: vec![gust::Link {
            name: link.name.to_owned(),
            capacity_n: strength.capacity_n,
            share_m2: link.share_m2,
            dead_n: link.dead_n,
        }],
    };
    let out = gust::run(&asked).map_err(|e| e.why)?;
    let out = out.links.into_iter().next().ok_or_else(|| "it cannot be worked out".to_owned())?;
    let change = gust_m_s.filter(|_| out.ratio > 1.0).map(|_| {
        let needed_n = strength.capacity_n * out.ratio;
        remedy::change(worked, &strength, needed_n)
    });
    Ok(Known::Strong {
        capacity_n: strength.capacity_n,
        factor: strength.factor,
        from: strength.from,
        allowed_to_m_s: out.allowed_to_m_s,
        gives_at_m_s: out.gives_at_m_s,
        ratio: gust_m_s.map(|_| out.ratio),
        change_said: change.map(|c| c.to_string()),
        change,
    })
}
