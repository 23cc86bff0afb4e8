//! Raising the ridge: what hangs, how many people, and how hard the poles and
//! their feet are pushed, by how far the feet stand apart.

use serde::Serialize;

use crate::build::worked::{Hung, Worked};

/// How far apart the feet of a pair stand, as shares of the pole.
const SPREADS: [f64; 4] = [0.4, 0.6, 0.8, 1.0];

/// The raising.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Raising {
    /// Whether the rafters are tied on.
    pub with_rafters: bool,
    /// All that hangs, kg.
    pub mass_kg: f64,
    /// Whether poles were tallied that are longer or thicker than the brief has
    /// them; they are counted so.
    pub as_tallied: bool,
    /// Density of the poles as lifted, kg/m³.
    pub density_kg_m3: f64,
    /// The fewest people at the poles.
    pub people: u32,
    /// Stance by stance.
    pub stances: Vec<Stance>,
    /// What was assumed.
    pub caution: &'static str,
}

/// The poles with their feet so far apart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Stance {
    /// Between the feet of a pair, m.
    pub spread_m: f64,
    /// Between a pole and upright, degrees.
    pub half_angle_deg: f64,
    /// Along each pole, N.
    pub leg_n: f64,
    /// Outward at each foot, N.
    pub foot_thrust_n: f64,
}

/// The raising of a house's ridge.
#[must_use]
pub fn raising(worked: &Worked) -> Raising {
    let stances = SPREADS.iter().filter_map(|share| {
        let spread_m = share * worked.lifting_pole_m();
        let out = worked.lift_at(*share).ok()?;
        let (half_angle_deg, leg_n, foot_thrust_n) = (out.half_angle_deg, out.leg_n, out.foot_thrust_n);
        Some(Stance { spread_m, half_angle_deg, leg_n, foot_thrust_n })
    });
    Raising {
        with_rafters: worked.raises_rafters(),
        mass_kg: worked.lift.mass_kg,
        as_tallied: worked.hung != Hung::default(),
        density_kg_m3: worked.green_kg_m3,
        people: worked.people(),
        stances: stances.collect(),
        caution: worked.lift.caution,
    }
}
