//! What was said of a brief, understood field by field.

use super::{
    Brief, BriefText, Frame, Holding, Posts, Raising, Remark, Roofing, Sides, Soil, THATCHES, Tolerance,
};
use crate::build::field::{self, Field, Sort};
use crate::build::pieces::Size;
use crate::measure::{Body, Metres, Parts, Unit};

/// Reads a brief, or says everything that is wrong with it.
///
/// # Errors
/// All refusals at once, each with its field.
pub fn understand(said: &BriefText) -> Result<Brief, Vec<Remark>> {
    let mut reader = Reader { said, body: None, refused: Vec::new() };
    let brief = reader.brief();
    match brief {
        Some(brief) if reader.refused.is_empty() => Ok(brief),
        _ => Err(reader.refused),
    }
}

/// Takes the fields one by one and gathers what cannot be taken.
struct Reader<'s> {
    said: &'s BriefText,
    body: Option<Body>,
    refused: Vec<Remark>,
}

impl Reader<'_> {
    fn brief(&mut self) -> Option<Brief> {
        for id in self.said.0.keys() {
            if field::by_id(id).is_none() {
                self.refused
                    .push(Remark { field: "brief", why: format!("\"{id}\" is not a field of a brief") });
            }
        }
        self.body = self.measure();
        let (length, width) = self.plan();
        let posts = Posts {
            height_m: self.number("post_height"),
            depth_m: self.number("post_depth"),
            gap_max_m: self.number("post_gap_max"),
            d_m: self.number("post_d"),
        };
        let frame = self.frame();
        let roofing = self.roofing();
        let poles = self.poles();
        let holding = self.holding();
        let tolerance = match self.text("tolerance").as_str() {
            "tape" => Tolerance::Tape,
            _ => Tolerance::Rope,
        };
        let bare = Unit::called(&self.text("bare_numbers")).unwrap_or(Unit::Centimetre);
        self.check_against(length, &posts, &roofing);
        Some(Brief {
            owner: self.text("owner"),
            place: self.text("place"),
            body: self.body.clone()?,
            length_m: length,
            width_m: width,
            posts,
            frame,
            roofing,
            poles,
            holding,
            tolerance,
            bare,
        })
    }

    fn refuse(&mut self, field: &'static str, why: impl Into<String>) {
        self.refused.push(Remark { field, why: why.into() });
    }

    fn field(&self, id: &'static str) -> (&'static Field, Option<String>) {
        let field = field::by_id(id).unwrap_or(&field::FIELDS[0]);
        let said = self.said.said(id).or(field.default).map(str::to_owned);
        (field, said)
    }

    /// A text or a choice.
    fn text(&mut self, id: &'static str) -> String {
        let (field, said) = self.field(id);
        let said = said.unwrap_or_default();
        if let Sort::Choice(words) = field.sort
            && !words.contains(&said.as_str())
        {
            self.refuse(field.id, format!("\"{said}\" is not one of: {}", words.join(", ")));
        }
        if said.chars().count() > 80 {
            self.refuse(field.id, "longer than 80 characters; say it shorter");
        }
        said
    }

    /// A number, in metres, degrees or as counted; 0 where it is refused.
    fn number(&mut self, id: &'static str) -> f64 {
        let (field, said) = self.field(id);
        let Some(said) = said else {
            self.refuse(field.id, format!("missing; {}", field.help));
            return 0.0;
        };
        match field.read(&said, self.body.as_ref()) {
            Ok(number) => number,
            Err(why) => {
                self.refuse(field.id, why);
                0.0
            }
        }
    }

    fn maybe(&mut self, id: &'static str) -> Option<f64> {
        self.said.said(id)?;
        Some(self.number(id))
    }

    fn measure(&mut self) -> Option<Body> {
        let before = self.refused.len();
        let name = self.text("measure");
        if name.is_empty() {
            self.refuse("measure", "missing; say whose span the house is laid out with");
        }
        let span = self.number("span");
        let parts = ["half_span", "forearm", "hand", "breadth", "finger"].map(|id| self.maybe(id));
        if self.refused.len() > before {
            return None;
        }
        let metres = |m: Option<f64>| m.and_then(|m| Metres::new(m).ok());
        let [half_span, forearm, hand, breadth, finger] = parts.map(metres);
        match Body::new(&name, metres(Some(span))?, Parts { half_span, forearm, hand, breadth, finger }) {
            Ok(body) => Some(body),
            Err(e) => {
                self.refuse("span", e.to_string());
                None
            }
        }
    }

    fn plan(&mut self) -> (f64, f64) {
        let length = self.number("length");
        if self.said.said("width").is_some() {
            if self.said.said("ratio").is_some() {
                self.refuse("ratio", "both a width and a proportion; say one of them");
            }
            let width = self.number("width");
            if width > length && length > 0.0 {
                self.refuse("width", "wider than long; the longer side is the length");
            }
            return (length, width);
        }
        let width = length * self.number("ratio");
        if self.refused.is_empty()
            && let Some(Sort::Length(least, most)) = field::by_id("width").map(|field| field.sort)
            && !(least..=most).contains(&width)
        {
            self.refuse("ratio", format!("makes the house {width:.2} m wide; {least} to {most} m would do"));
        }
        (length, width)
    }

    fn frame(&mut self) -> Frame {
        Frame {
            beam_d_m: self.number("beam_d"),
            ridge_d_m: self.number("ridge_d"),
            rafter_d_m: self.number("rafter_d"),
            pitch_deg: self.number("pitch"),
            eave_m: self.number("eave"),
            gable_m: self.number("gable"),
            rafter_gap_max_m: self.number("rafter_gap_max"),
            raising: if self.text("raising") == "bare" { Raising::Bare } else { Raising::WithRafters },
            wraps: self.number("wraps") as u32,
            fraps: self.number("fraps") as u32,
            green_kg_m3: self.maybe("green_density"),
        }
    }

    fn roofing(&mut self) -> Roofing {
        let name = self.text("thatch");
        let kind = THATCHES.iter().find(|t| t.id == name).copied().unwrap_or(THATCHES[0]);
        let course_m = self.maybe("course").unwrap_or(kind.course_m);
        Roofing {
            kind,
            course_m,
            panel_m: self.number("panel"),
            lap_m: self.number("lap"),
            cap_lap_m: self.number("cap_lap"),
            pins_per_cap: self.number("pins_per_cap") as u32,
        }
    }

    /// The sizes of poles that are usually had.
    fn poles(&mut self) -> Vec<Size> {
        let said = self.text("poles");
        let sizes: Vec<_> = said.split(',').map(|size| super::pole(size, self.body.as_ref())).collect();
        let read = sizes.into_iter().map(|size| size.map_err(|why| self.refuse("poles", why)));
        read.filter_map(Result::ok).collect()
    }

    fn holding(&mut self) -> Holding {
        Holding {
            wood: self.text("wood").split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase(),
            cord: self.text("cord"),
            sides: if self.text("sides") == "closed" { Sides::Closed } else { Sides::Open },
            c_net: self.maybe("c_net"),
            gust_m_s: self.maybe("gust"),
            soil: match self.text("soil").as_str() {
                "gravel" => Soil::Gravel,
                "sand" => Soil::Sand,
                "clay" => Soil::Clay,
                _ => Soil::Unknown,
            },
            foot_m: self.maybe("foot"),
        }
    }

    /// What only shows when fields are held against each other.
    fn check_against(&mut self, length_m: f64, posts: &Posts, roofing: &Roofing) {
        if !self.refused.is_empty() {
            return;
        }
        if posts.d_m * 2.0 >= length_m {
            self.refuse("post_d", "thicker than half the house is long");
        }
        for (id, lap) in [("lap", roofing.lap_m), ("cap_lap", roofing.cap_lap_m)] {
            if lap >= roofing.panel_m {
                self.refuse(id, "a lap as long as the panel covers nothing; make it shorter");
            }
        }
    }
}
