//! The poles of the frame as beams and columns, under dry and soaked thatch,
//! with a person on them, and in the gust the builder names.
//!
//! Simple statics (common practice): the ridge carries half of every rafter,
//! the tie beam carries a king post in its middle, the plate the other half
//! and the eave. A post stands as a cantilever in the ground.

use serde::Serialize;

use super::cnet::Net;
use super::lay::{DRY_KG_M2, Lay, PERSON_KG, SOAKED_KG_M2, pole_n_m, pressure_pa};
use crate::build::brief::Sides;
use crate::build::worked::Worked;
use crate::reckon::GRAVITY_M_S2;
use crate::reckon::gust::DEAD_SHARE;
use crate::reckon::member::{self, Beam, Column, Timber};

/// Factors for moisture and time in service class 3 (EN 1995-1-1): for good,
/// for a short while, for a gust.
pub const FOR_GOOD: f64 = 0.5;
const SHORT: f64 = 0.7;
/// See [`FOR_GOOD`].
pub const GUST: f64 = 0.9;
/// Partial factor of solid timber (EN 1995-1-1).
pub const GAMMA: f64 = 1.3;

/// The thickest pole that is looked for, m.
const THICKEST_M: f64 = 0.6;
const STEP_M: f64 = 0.005;

/// A member and the worst that is asked of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MemberNow {
    /// What people call it.
    pub name: &'static str,
    /// The field of the brief that says how thick it is.
    pub field: &'static str,
    /// How thick it is.
    pub d_m: f64,
    /// Asked over allowed.
    pub ratio: f64,
    /// How it fails first.
    pub how: &'static str,
    /// Under which load.
    pub load: &'static str,
    /// The least thickness that would do, where this one does not and one does.
    pub needs_d_m: Option<f64>,
}

impl MemberNow {
    /// Whether more is asked of it than is allowed.
    #[must_use]
    pub fn too_weak(&self) -> bool {
        self.ratio > 1.0
    }

    /// What would do instead, where it is too weak.
    #[must_use]
    pub fn remedy(&self) -> Option<String> {
        self.too_weak().then(|| {
            self.needs_d_m.map_or_else(
                || "no pole is thick enough: shorten its span or name a stronger wood".to_owned(),
                |d| format!("{:.0} mm instead of {:.0} mm would do", d * 1000.0, self.d_m * 1000.0),
            )
        })
    }
}

/// What lies or blows on the roof.
#[derive(Debug, Clone, Copy)]
struct Case {
    says: &'static str,
    kmod: f64,
    thatch_kg_m2: f64,
    person_n: f64,
    /// Outward positive, Pa: on a rafter, and on a whole slope.
    edge_pa: f64,
    field_pa: f64,
    /// Sideways on each post's head, N.
    push_n: f64,
}

impl Case {
    const fn still(says: &'static str, kmod: f64, thatch_kg_m2: f64, person_n: f64) -> Self {
        Self { says, kmod, thatch_kg_m2, person_n, edge_pa: 0.0, field_pa: 0.0, push_n: 0.0 }
    }

    /// What is counted on of a weight: nine tenths where it holds down.
    fn held(&self, weight: f64) -> f64 {
        if self.edge_pa > 0.0 { DEAD_SHARE * weight } else { weight }
    }
}

fn cases(worked: &Worked, net: &Net, gust_m_s: Option<f64>) -> Vec<Case> {
    let person_n = PERSON_KG * GRAVITY_M_S2;
    let mut all = vec![
        Case::still("dry thatch", FOR_GOOD, DRY_KG_M2, 0.0),
        Case::still("dry thatch and a person", SHORT, DRY_KG_M2, person_n),
        Case::still("soaked thatch", SHORT, SOAKED_KG_M2, 0.0),
        Case::still("soaked thatch and a person", SHORT, SOAKED_KG_M2, person_n),
    ];
    if let Some(gust) = gust_m_s {
        let q = pressure_pa(gust);
        let push_n = push_n(worked, net, gust);
        let lifting = Case::still("the gust lifting", GUST, DRY_KG_M2, 0.0);
        all.push(Case { edge_pa: q * net.edge, field_pa: q * net.field, push_n, ..lifting });
        let pressing = Case::still("soaked thatch and the gust", GUST, SOAKED_KG_M2, 0.0);
        all.push(Case { edge_pa: -q * net.edge_down, field_pa: -q * net.down, push_n, ..pressing });
    }
    all
}

/// How hard a gust across the house pushes each post's head, N.
///
/// Open sides: one slope alone pressed or lifted (the rule of EN 1991-1-4
/// 7.3). Closed sides: pressed to windward and drawn to lee, 1.0 on the roof
/// and 1.3 on the upper half of the wall (EN 1991-1-4 7.2; from memory). All
/// posts lean alike.
#[must_use]
pub fn push_n(worked: &Worked, net: &Net, gust_m_s: f64) -> f64 {
    let roof = &worked.roof;
    let upright_m2 = roof.slope_area_m2 * roof.pitch_deg.to_radians().sin();
    let shape_m2 = match worked.brief.holding.sides {
        Sides::Open => net.field.max(net.down) * upright_m2,
        Sides::Closed => upright_m2 + 1.3 * worked.brief.posts.height_m / 2.0 * worked.brief.length_m,
    };
    pressure_pa(gust_m_s) * shape_m2 / worked.posts.len().max(1) as f64
}

/// A load as a member feels it.
struct Felt {
    beam: Option<Beam>,
    column: Option<Column>,
}

impl Felt {
    const fn beam(span_m: f64, load_n_m: f64, point_n: f64) -> Self {
        Self { beam: Some(Beam { span_m, load_n_m, point_n }), column: None }
    }

    const fn column(height_m: f64, axial_n: f64, length_factor: f64) -> Self {
        Self { beam: None, column: Some(Column { height_m, axial_n, length_factor }) }
    }
}

/// A frame, and what each of its poles feels of a case.
struct Frame<'w> {
    worked: &'w Worked,
    lay: Lay,
    /// Density of the poles at their heaviest and at their lightest, kg/m³.
    green: f64,
    dry: f64,
}

impl Frame<'_> {
    /// What hangs on a slope weighs most soaked, and holds down least dry.
    fn wood(&self, case: &Case) -> f64 {
        if case.field_pa > 0.0 { self.dry } else { self.green }
    }

    /// Down on each m² of slope, N.
    fn fall(&self, case: &Case) -> f64 {
        case.held(self.lay.roof_n_m2(case.thatch_kg_m2, self.wood(case))) - case.field_pa * self.lay.cos
    }

    fn rafter(&self, case: &Case, d_m: f64) -> Felt {
        let lay = &self.lay;
        let weight = case.thatch_kg_m2 * GRAVITY_M_S2 * lay.spacing_m + pole_n_m(d_m, self.wood(case));
        let across = case.held(weight * lay.cos) - case.edge_pa * lay.spacing_m;
        Felt::beam(lay.leg_m, across.abs(), case.person_n * lay.cos)
    }

    /// Down on each metre of the ridge, N; it is not tied against lift.
    fn on_ridge(&self, case: &Case, d_m: f64) -> f64 {
        (self.fall(case) * self.lay.leg_m + pole_n_m(d_m, self.wood(case))).max(0.0)
    }

    fn ridge(&self, case: &Case, d_m: f64) -> Felt {
        // An overhang of a metre bends a pole as a span of two does.
        let span_m = self.lay.gap_m.max(2.0 * self.worked.brief.frame.gable_m);
        Felt::beam(span_m, self.on_ridge(case, d_m), case.person_n)
    }

    fn on_king(&self, case: &Case) -> f64 {
        self.on_ridge(case, self.worked.brief.frame.ridge_d_m) * self.lay.bay_m + case.person_n
    }

    /// Up or down on each metre of a plate, N.
    fn on_plate(&self, case: &Case, d_m: f64) -> f64 {
        let tied_m = self.lay.slope_m - self.lay.leg_m / 2.0;
        (self.fall(case) * tied_m).abs() + pole_n_m(d_m, self.wood(case))
    }

    fn tie_beam(&self, case: &Case, d_m: f64) -> Felt {
        Felt::beam(self.worked.brief.width_m, pole_n_m(d_m, self.green), self.on_king(case))
    }

    fn post(&self, case: &Case) -> Felt {
        let brief = &self.worked.brief;
        let beam_n = pole_n_m(brief.frame.beam_d_m, self.green) * brief.width_m / 2.0;
        let plate_n = self.on_plate(case, brief.frame.beam_d_m) * self.lay.bay_m;
        let height_m = brief.posts.height_m;
        // A cantilever is half of a beam twice as long under twice the load.
        let pushed = Beam { span_m: 2.0 * height_m, load_n_m: 0.0, point_n: 2.0 * case.push_n };
        Felt {
            beam: (case.push_n > 0.0).then_some(pushed),
            ..Felt::column(height_m, self.on_king(case) + plate_n + beam_n, 2.0)
        }
    }
}

/// Every member with the worst that is asked of it.
#[must_use]
pub fn members(worked: &Worked, net: &Net, gust_m_s: Option<f64>) -> Vec<MemberNow> {
    let (sizes, posts) = (&worked.brief.frame, &worked.brief.posts);
    let cases = cases(worked, net, gust_m_s);
    let frame = Frame {
        worked,
        lay: Lay::of(worked),
        green: worked.green_kg_m3.max(worked.wood.soaked_kg_m3()),
        dry: worked.wood.density_kg_m3,
    };
    let rise_m = worked.roof.rise_m;
    let timber = worked.wood.timber();
    let find =
        |name, field, d_m, felt: &dyn Fn(&Case, f64) -> Felt| worst(name, field, d_m, timber, &cases, felt);
    let all = [
        find("rafter", "rafter_d", sizes.rafter_d_m, &|c, d| frame.rafter(c, d)),
        find("ridge", "ridge_d", sizes.ridge_d_m, &|c, d| frame.ridge(c, d)),
        find("king post", "ridge_d", sizes.ridge_d_m, &|c, _| Felt::column(rise_m, frame.on_king(c), 1.0)),
        find("tie beam", "beam_d", sizes.beam_d_m, &|c, d| frame.tie_beam(c, d)),
        find("plate", "beam_d", sizes.beam_d_m, &|c, d| {
            Felt::beam(frame.lay.gap_m, frame.on_plate(c, d), c.person_n)
        }),
        find("post", "post_d", posts.d_m, &|c, _| frame.post(c)),
    ];
    all.into_iter().flatten().collect()
}

/// The worst of the cases; none only where numbers leave the range of doubles.
fn worst(
    name: &'static str,
    field: &'static str,
    d_m: f64,
    timber: Timber,
    cases: &[Case],
    felt: &dyn Fn(&Case, f64) -> Felt,
) -> Option<MemberNow> {
    let at = |d_m: f64| {
        let asked = cases.iter().filter_map(|case| {
            let Felt { beam, column } = felt(case, d_m);
            let asked = member::In { d_m, timber, kmod: case.kmod, gamma_m: GAMMA, beam, column };
            let (ratio, how) = first(&member::run(&asked).ok()?);
            Some((ratio, how, case.says))
        });
        asked.max_by(|a, b| a.0.total_cmp(&b.0))
    };
    let (ratio, how, load) = at(d_m)?;
    let thicker = || {
        let steps = (1..).map(|step| (d_m / STEP_M).floor() * STEP_M + STEP_M * f64::from(step));
        steps.take_while(|d| *d <= THICKEST_M + 1e-9).find(|d| at(*d).is_some_and(|(r, ..)| r <= 1.0))
    };
    let needs_d_m = if ratio > 1.0 { thicker() } else { None };
    Some(MemberNow { name, field, d_m, ratio, how, load, needs_d_m })
}

/// How a member fails first.
fn first(out: &member::Out) -> (f64, &'static str) {
    if let Some(combined) = out.combined_ratio {
        return (combined, "bends and buckles");
    }
    let beam = out.beam.as_ref().map(|b| {
        if b.shear_ratio > b.bending_ratio { (b.shear_ratio, "shears") } else { (b.bending_ratio, "bends") }
    });
    let column = out.column.as_ref().map(|c| (c.column_ratio, "buckles"));
    beam.or(column).unwrap_or((0.0, "bends"))
}
