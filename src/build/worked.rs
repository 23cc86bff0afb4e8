//! What a brief works out to: every position, length and count that the
//! stages ask for, reckoned once.

use super::bands::{self, Band, Way};
use super::brief::{Brief, Raising, Remark};
use super::entry::Wood;
use super::entry::{How, Item, Tally};
use super::holds::{self, wood};
use super::spoil::{Spoil, USUAL};
use crate::reckon::{Refusal, lift, rafters, roof, setout, thatch};

/// More people than this round two pairs of poles get in each other's way
/// (common practice).
const MANY_PEOPLE: u32 = 24;

/// The usual stance at a pair of lifting poles: the feet so much of the pole
/// apart (common practice).
const STANCE: f64 = 0.6;

/// A post and where its centre stands on the plan, m from the centre mark.
#[derive(Debug, Clone, PartialEq)]
pub struct Post {
    /// `A` to `D` at the corners; `AB1`, `DC1` … along the sides.
    pub id: String,
    /// Along the house.
    pub x_m: f64,
    /// Across the house.
    pub y_m: f64,
    /// Whether it stands at a corner.
    pub corner: bool,
}

/// The poles that go up with the ridge, as they were tallied.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Hung {
    /// The ridge pole.
    pub ridge: Stick,
    /// The longest and the thickest of the rafters.
    pub rafter: Stick,
}

/// How long a pole is and how thick, m; 0 where that was not told.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Stick {
    /// How long.
    pub length_m: f64,
    /// How thick at its thin end.
    pub d_m: f64,
}

impl Hung {
    /// Takes the poles of a tally that came to a house.
    pub(super) fn take(&mut self, tally: &Tally) {
        let stick = match tally.item {
            Item::RidgePole => &mut self.ridge,
            Item::Rafter => &mut self.rafter,
            _ => return,
        };
        if matches!(tally.how, How::Cut | How::Bought | How::Delivered | How::Found | How::Moved) {
            stick.length_m = stick.length_m.max(tally.of.length_m.unwrap_or_default());
            stick.d_m = stick.d_m.max(tally.of.top_d_m.unwrap_or_default());
        }
    }
}

/// A brief with all that follows from it.
#[derive(Debug, Clone)]
pub struct Worked {
    /// The brief.
    pub brief: Brief,
    /// Ropes and corners.
    pub setout: setout::Out,
    /// The posts, in the order one walks round them from A.
    pub posts: Vec<Post>,
    /// Where the cross frames stand along the house (a tie beam and a king
    /// post each), from the a-d end, m.
    pub frames_m: Vec<f64>,
    /// The roof.
    pub roof: roof::Out,
    /// The rafters' places.
    pub rafters: rafters::Out,
    /// The thatch, as if the whole roof were laid as the brief has it.
    pub thatch: thatch::Out,
    /// The thatch of the a-b and of the c-d slope, in bands from the eave up.
    pub slopes: [Vec<Band>; 2],
    /// The raising of the ridge.
    pub lift: lift::Out,
    /// The poles that go up, as they were tallied.
    pub hung: Hung,
    /// How many panels spoil, as far as it has shown.
    pub spoil: Spoil,
    /// The wood of the frame.
    pub wood: wood::Taken,
    /// Density of the poles as lifted: as weighed, else the wood soaked, as
    /// far as the program knows it by itself, kg/m³.
    pub green_kg_m3: f64,
}

impl Worked {
    /// Works a brief out.
    ///
    /// # Errors
    /// The field that cannot be worked with.
    pub fn of(brief: Brief) -> Result<Self, Remark> {
        let setout = setout::run(&setout::In { length_m: brief.length_m, width_m: brief.width_m })
            .map_err(|e| refused("length", e))?;
        let halves = halvings(brief.length_m, brief.posts.gap_max_m);
        let roof = roof::run(&roof::In {
            width_m: brief.width_m,
            length_m: brief.length_m,
            pitch: roof::Pitch::Deg(brief.frame.pitch_deg),
            eave_m: brief.frame.eave_m,
            gable_m: brief.frame.gable_m,
        })
        .map_err(|e| refused("pitch", e))?;
        let rafters = rafters::run(&rafters::In {
            ridge_m: roof.ridge_m,
            until: rafters::Until::SpacingM(brief.frame.rafter_gap_max_m),
            end_inset_m: 0.0,
        })
        .map_err(|e| refused("rafter_gap_max", e))?;
        let thatch = thatch::run(&thatched(&brief, &roof)).map_err(|e| refused("course", e))?;
        let slopes = slopes(&brief, &roof, &Default::default(), [0, 0])?;
        let wood = wood::named(&brief.holding.wood, &[]);
        let green_kg_m3 = brief.frame.green_kg_m3.unwrap_or(match wood.from {
            wood::From::Table => wood.soaked_kg_m3(),
            _ => wood::GREEN_KG_M3,
        });
        let lift = lift::run(&raising(&brief, &roof, &rafters, &Hung::default(), green_kg_m3, STANCE))
            .map_err(|e| refused("ridge_d", e))?;
        let frames_m = (0..=halves)
            .map(|i| brief.length_m * (f64::from(i) / f64::from(halves) - 0.5))
            .collect::<Vec<_>>();
        let posts = posts(&frames_m, brief.width_m);
        let spoil = Spoil::default();
        Ok(Self {
            brief,
            setout,
            posts,
            frames_m,
            roof,
            rafters,
            thatch,
            slopes,
            lift,
            hung: Hung::default(),
            spoil,
            wood,
            green_kg_m3,
        })
    }

    /// The same where so many rows of each slope were laid before, in bands:
    /// those stay, and the brief is worked to from the row reached.
    ///
    /// # Errors
    /// The field that cannot be worked with.
    pub fn over(self, below: &[Vec<Band>; 2], laid: [u32; 2]) -> Result<Self, Remark> {
        let slopes = slopes(&self.brief, &self.roof, below, laid)?;
        Ok(Self { slopes, ..self })
    }

    /// The bands of both slopes.
    pub fn bands(&self) -> impl Iterator<Item = &Band> {
        self.slopes.iter().flatten()
    }

    /// The widest course of both slopes, m.
    #[must_use]
    pub fn widest_course_m(&self) -> f64 {
        self.bands().map(|band| band.even_course_m).fold(0.0, f64::max)
    }

    /// The panels of both slopes.
    #[must_use]
    pub fn roof_panels(&self) -> u32 {
        self.bands().map(Band::panels).sum()
    }

    /// All panels, two for a doubled one.
    #[must_use]
    pub fn panels(&self) -> u32 {
        self.roof_panels() + 2 * self.thatch.cap_panels
    }

    /// All panels to ask for, when a share of them spoils.
    #[must_use]
    pub fn order_panels(&self) -> u32 {
        self.spoil.to_weave(self.panels())
    }

    /// How long the roof lasts, years: as long as the first band to go.
    #[must_use]
    pub fn life_years(&self) -> u32 {
        let own = self.brief.roofing.kind.life_years;
        self.bands().map(|band| band.way.kind.life_years).min().unwrap_or(own)
    }

    /// How far a length may be from its target, m.
    #[must_use]
    pub fn tolerance_m(&self, target_m: f64) -> f64 {
        self.brief.tolerance.of(target_m)
    }

    /// How far a peg may stand from its place before it is moved, m.
    #[must_use]
    pub fn peg_tolerance_m(&self) -> f64 {
        self.tolerance_m(self.setout.leg_m)
    }

    /// The target of one of the ten distances of the plan, `ab` to `od`, m.
    #[must_use]
    pub fn distance_m(&self, pair: &str) -> f64 {
        match pair {
            "ab" | "cd" => self.brief.length_m,
            "bc" | "da" => self.brief.width_m,
            "ac" | "bd" => self.setout.diagonal_m,
            _ => self.setout.leg_m,
        }
    }

    /// How many rafters there are, both slopes together.
    #[must_use]
    pub fn rafter_count(&self) -> u32 {
        2 * self.rafters.count
    }

    /// The people needed to raise the ridge.
    #[must_use]
    pub fn people(&self) -> u32 {
        // A brief keeps poles short and thin enough for this to be exact.
        self.lift.people as u32
    }

    /// What should be thought over before building so.
    #[must_use]
    pub fn warnings(&self) -> Vec<Remark> {
        let mut all = self.brief.warnings();
        if self.raises_rafters() && self.people() > MANY_PEOPLE {
            let why = format!(
                "the ridge with its rafters takes {} people at the poles; raised bare it takes {}",
                self.people(),
                self.people_bare()
            );
            all.push(Remark { field: "raising", why });
        }
        if self.wood.from == wood::From::Unknown {
            let why = format!(
                "nothing is known of \"{}\"; it is taken as a weak wood, {}; spanwright wood add tells it",
                self.wood.name, self.wood.class
            );
            all.push(Remark { field: "wood", why });
        }
        all.extend(self.too_weak());
        all
    }

    /// The poles of which more is asked than they may bear, each thickness
    /// once.
    fn too_weak(&self) -> Vec<Remark> {
        let mut all: Vec<Remark> = Vec::new();
        let mut members = holds::members(self);
        members.sort_by(|a, b| b.ratio.total_cmp(&a.ratio));
        for m in members {
            let Some(remedy) = m.remedy().filter(|_| !all.iter().any(|r| r.field == m.field)) else {
                continue;
            };
            let why = format!(
                "the {} is asked {:.2} times what {} of {} may bear ({}: {}); {remedy}; a screening figure",
                m.name,
                m.ratio,
                self.wood.class,
                self.wood.said(),
                m.how,
                m.load
            );
            all.push(Remark { field: m.field, why });
        }
        all
    }

    /// Takes the wood as the book knows it.
    pub fn know_woods(&mut self, told: &[Wood]) {
        self.wood = wood::named(&self.brief.holding.wood, told);
    }

    /// Takes the poles that go up as they were tallied: what is raised weighs
    /// no less than by the brief.
    pub fn know_poles(&mut self, hung: Hung) {
        self.hung = hung;
        if let Ok(lift) = self.lift_at(STANCE) {
            self.lift = lift;
        }
    }

    /// From the foot of a lifting pole to the crossing, m.
    #[must_use]
    pub fn lifting_pole_m(&self) -> f64 {
        self.brief.posts.height_m + self.roof.rise_m
    }

    /// The raising with the feet of each pair so far apart, as a share of the
    /// pole.
    ///
    /// # Errors
    /// Feet twice the pole apart, or more.
    pub fn lift_at(&self, spread: f64) -> Result<lift::Out, Refusal> {
        lift::run(&raising(&self.brief, &self.roof, &self.rafters, &self.hung, self.green_kg_m3, spread))
    }

    /// The people needed to raise the ridge without its rafters.
    #[must_use]
    pub fn people_bare(&self) -> u32 {
        let mut bare = self.brief.clone();
        bare.frame.raising = Raising::Bare;
        lift::run(&raising(&bare, &self.roof, &self.rafters, &self.hung, self.green_kg_m3, STANCE))
            .map_or(0, |out| out.people as u32)
    }

    /// Whether a lashing of the roof frame is tied before the ridge goes up.
    #[must_use]
    pub fn raises_rafters(&self) -> bool {
        self.brief.frame.raising == Raising::WithRafters
    }
}

/// The roof as it is thatched where nothing was laid before.
fn thatched(brief: &Brief, roof: &roof::Out) -> thatch::In {
    thatch::In {
        slope_m: roof.rafter_m,
        ridge_m: roof.ridge_m,
        course_m: brief.roofing.course_m,
        panel_m: brief.roofing.panel_m,
        side_lap_m: brief.roofing.lap_m,
        cap_panel_m: brief.roofing.panel_m,
        cap_lap_m: brief.roofing.cap_lap_m,
        pins_per_cap: brief.roofing.pins_per_cap,
        slopes: 2,
        spoil: USUAL,
    }
}

fn slopes(
    brief: &Brief,
    roof: &roof::Out,
    below: &[Vec<Band>; 2],
    laid: [u32; 2],
) -> Result<[Vec<Band>; 2], Remark> {
    let (way, whole) = (Way::of(&brief.roofing), thatched(brief, roof));
    let [ab, cd] = below;
    let slope =
        |below: &[Band], laid| bands::upward(below, laid, way, &whole).map_err(|e| refused("course", e));
    Ok([slope(ab, laid[0])?, slope(cd, laid[1])?])
}

fn refused(field: &'static str, refusal: Refusal) -> Remark {
    Remark { field, why: refusal.why }
}

/// The parts a side is halved into until no gap is wider than allowed.
fn halvings(length_m: f64, gap_max_m: f64) -> u32 {
    let mut parts = 1;
    // The longest house over the narrowest gap stops well before this bound.
    while length_m / f64::from(parts) > gap_max_m + 1e-9 && parts < 1024 {
        parts *= 2;
    }
    parts
}

/// Walks round: a to b, then back from c to d.
fn posts(frames_m: &[f64], width_m: f64) -> Vec<Post> {
    let last = frames_m.len().saturating_sub(1);
    let name = |i: usize, from: &str, to: &str| match i {
        0 => from.to_owned(),
        i if i == last => to.to_owned(),
        i => format!("{from}{to}{i}"),
    };
    let side = |from: &'static str, to: &'static str, y_m: f64| {
        frames_m.iter().enumerate().map(move |(i, &x_m)| Post {
            id: name(i, from, to),
            x_m,
            y_m,
            corner: i == 0 || i == last,
        })
    };
    let near = side("A", "B", -width_m / 2.0);
    let mut far: Vec<Post> = side("D", "C", width_m / 2.0).collect();
    far.reverse();
    near.chain(far).collect()
}

/// Everything that hangs from the ridge as it goes up, with the feet of each
/// pair a share of the pole apart.
fn raising(
    brief: &Brief,
    roof: &roof::Out,
    rafters: &rafters::Out,
    hung: &Hung,
    density_kg_m3: f64,
    spread: f64,
) -> lift::In {
    let frame = &brief.frame;
    let part = |name: &str, count, length_m: f64, d_m: f64, told: Stick| lift::Part {
        name: name.to_owned(),
        count,
        length_m: length_m.max(told.length_m),
        d_m: d_m.max(told.d_m),
        density_kg_m3,
    };
    let mut parts = vec![part("ridge pole", 1, roof.ridge_m, frame.ridge_d_m, hung.ridge)];
    if frame.raising == Raising::WithRafters {
        parts.push(part("rafters", 2 * rafters.count, roof.rafter_m, frame.rafter_d_m, hung.rafter));
    }
    let pole_m = brief.posts.height_m + roof.rise_m;
    lift::In { parts, mates: 0, pairs: 2, pole_m, foot_spread_m: spread * pole_m, each_kg: 25.0, team: 0.5 }
}
