//! What a brief says of the wood, the wind and the ground.

/// Whether there are walls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// The wind goes through.
    Open,
    /// Walls all round.
    Closed,
}

/// The ground the posts stand in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Soil {
    /// Nobody said.
    Unknown,
    /// Sandy gravel or gravel.
    Gravel,
    /// Sand, or silty or clayey sand or gravel.
    Sand,
    /// Clay or silt.
    Clay,
}

impl Soil {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Unknown => "unknown",
            Self::Gravel => "gravel",
            Self::Sand => "sand",
            Self::Clay => "clay",
        }
    }

    /// Allowable lateral bearing for each foot of depth, lb/ft² (IBC Table
    /// 1806.2); none for ground nobody named.
    #[must_use]
    pub const fn bearing_psf_per_ft(self) -> Option<f64> {
        match self {
            Self::Unknown => None,
            Self::Gravel => Some(200.0),
            Self::Sand => Some(150.0),
            Self::Clay => Some(100.0),
        }
    }

    /// The same for each metre of depth, Pa/m.
    #[must_use]
    pub fn bearing_pa_per_m(self) -> Option<f64> {
        /// One lb/ft² a foot: 47.880 26 Pa in 0.3048 m.
        const PSF_PER_FT: f64 = 157.087_46;
        self.bearing_psf_per_ft().map(|psf| psf * PSF_PER_FT)
    }
}

/// What a brief says of the wood, the wind and the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Holding {
    /// The kind of tree of the frame; empty where nobody said.
    pub wood: String,
    /// The cord the house is tied with, as it was pulled; empty where the
    /// weakest that was pulled is to count.
    pub cord: String,
    /// Whether there are walls.
    pub sides: Sides,
    /// The builder's own net uplift coefficient, in place of the tables.
    pub c_net: Option<f64>,
    /// The gust that the house is to hold, m/s.
    pub gust_m_s: Option<f64>,
    /// The ground.
    pub soil: Soil,
    /// Across the cross-piece or the stones fixed to the foot of each post,
    /// m; none is a straight post.
    pub foot_m: Option<f64>,
}
