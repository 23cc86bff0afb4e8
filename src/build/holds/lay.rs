//! How a roof's weight and wind gather: lengths and weights that the chain and
//! the members share.

use std::f64::consts::PI;

use crate::build::worked::Worked;
use crate::reckon::GRAVITY_M_S2;

/// Thatch soaked, kg/m² of slope: what frames for palm thatch are to carry
/// (The Basics of Biomass Roofing, 1997).
pub const SOAKED_KG_M2: f64 = 20.0;
/// Thatch dry, kg/m² of slope: half of that (wet weighs one and a half to
/// twice as much as dry; from memory, unsure).
pub const DRY_KG_M2: f64 = 10.0;
/// A person with tools, kg (common practice).
pub const PERSON_KG: f64 = 100.0;

/// Density of the air, kg/m³ (EN 1991-1-4, recommended).
pub const AIR_KG_M3: f64 = 1.25;

/// How a roof is laid out.
#[derive(Debug, Clone, Copy)]
pub struct Lay {
    /// Cosine of the pitch.
    pub cos: f64,
    /// Between rafters, m.
    pub spacing_m: f64,
    /// Between frames, m.
    pub gap_m: f64,
    /// The most length of roof that leans on one frame, m: a gap, or half of
    /// one with the gable's overhang.
    pub bay_m: f64,
    /// Along the slope, ridge to plate, m.
    pub leg_m: f64,
    /// Along the slope, ridge to eave, m.
    pub slope_m: f64,
    /// Weight of the rafters, N/m² of slope, at a density of 1 kg/m³.
    rafters_per_density: f64,
}

impl Lay {
    /// The lay of a house's roof.
    #[must_use]
    pub fn of(worked: &Worked) -> Self {
        let cos = worked.roof.pitch_deg.to_radians().cos();
        let bays = worked.frames_m.len().saturating_sub(1).max(1) as f64;
        let gap_m = worked.brief.length_m / bays;
        let spacing_m = worked.rafters.spacing_m;
        Self {
            cos,
            spacing_m,
            gap_m,
            bay_m: gap_m.max(gap_m / 2.0 + worked.brief.frame.gable_m),
            leg_m: worked.roof.rafter_to_plate_m,
            slope_m: worked.roof.rafter_m,
            rafters_per_density: pole_n_m(worked.brief.frame.rafter_d_m, 1.0) / spacing_m,
        }
    }

    /// Weight of thatch and rafters, N/m² of slope.
    #[must_use]
    pub fn roof_n_m2(&self, thatch_kg_m2: f64, wood_kg_m3: f64) -> f64 {
        thatch_kg_m2 * GRAVITY_M_S2 + self.rafters_per_density * wood_kg_m3
    }
}

/// Weight of a pole, N for each metre.
#[must_use]
pub fn pole_n_m(d_m: f64, density_kg_m3: f64) -> f64 {
    PI / 4.0 * d_m * d_m * density_kg_m3 * GRAVITY_M_S2
}

/// Velocity pressure of a gust, Pa: ½ρV².
#[must_use]
pub fn pressure_pa(gust_m_s: f64) -> f64 {
    0.5 * AIR_KG_M3 * gust_m_s * gust_m_s
}
