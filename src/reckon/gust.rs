//! Which tie of a roof gives way first in a gust, and when.
//!
//! Velocity pressure q = ½ρV² (EN 1991-1-4; 1.25 kg/m³ recommended there).
//! Nine tenths of the dead weight are counted on to hold down.

use serde::Serialize;
use serde_json::Value;

use super::fields::{LEAST_DIVISOR, MOST, MOST_THINGS};
use super::{Fields, Refusal};

const CAUTION: &str = "A screening figure, not a design. The uplift coefficient is an assumption: published \
    tables are for other roofs, and for open-sided ones they stop at 30 degrees. Each tie is taken to carry its \
    own share alone and to be as strong as the tests or the guess behind its number; wet, old or creeping cord \
    holds less, and flying limbs are not in it. Local codes and a licensed engineer decide; no result is a \
    reason to stay inside; go to the shelter when told, or sooner.";

/// The share of the dead weight that is counted on to hold down.
pub const DEAD_SHARE: f64 = 0.9;

/// A tie in the way from the thatch to the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// What the builder calls it.
    pub name: String,
    /// What it holds when it gives way, 1e-9 to 1e12 N.
    pub capacity_n: f64,
    /// The roof that pulls on it, 1e-9 to 1e12 m².
    pub share_m2: f64,
    /// The weight that rests on it, 0 to 1e12 N.
    pub dead_n: f64,
}

/// A gust and the ties that meet it.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// Net uplift coefficient, 1e-9 to 1e12.
    pub c_net: f64,
    /// Density of the air, 1e-9 to 1e12 kg/m³.
    pub air_kg_m3: f64,
    /// The gust, 0 to 120 m/s.
    pub gust_m_s: f64,
    /// What a capacity is divided by before it is counted on, 1 to 20.
    pub factor: f64,
    /// The ties.
    pub links: Vec<Link>,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key and a number outside its range.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let links = f.list("links", 0, MOST_THINGS)?;
        let input = Self {
            c_net: f.number("c_net", LEAST_DIVISOR, MOST)?,
            air_kg_m3: f.number_or("air_kg_m3", 1.25, LEAST_DIVISOR, MOST)?,
            gust_m_s: f.number("gust_m_s", 0.0, 120.0)?,
            factor: f.number_or("factor", 3.0, 1.0, 20.0)?,
            links: links.into_iter().map(|(at, v)| read_link(&at, v)).collect::<Result<_, _>>()?,
        };
        f.end()?;
        Ok(input)
    }
}

fn read_link(place: &str, value: Value) -> Result<Link, Refusal> {
    let mut f = Fields::open(place, value)?;
    let link = Link {
        name: f.text("name")?,
        capacity_n: f.number("capacity_n", LEAST_DIVISOR, MOST)?,
        share_m2: f.number("share_m2", LEAST_DIVISOR, MOST)?,
        dead_n: f.number("dead_n", 0.0, MOST)?,
    };
    f.end()?;
    Ok(link)
}

/// A tie in the gust.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LinkOut {
    /// What the builder calls it.
    pub name: String,
    /// What the gust pulls up.
    pub uplift_n: f64,
    /// What is left of that after the dead weight, over what is counted on.
    pub ratio: f64,
    /// The gust at which that ratio is 1.
    pub allowed_to_m_s: f64,
    /// The gust at which it gives way, as far as the capacity is true.
    pub gives_at_m_s: f64,
}

/// The ties in the gust.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// Velocity pressure.
    pub q_pa: f64,
    /// Tie by tie, in the order given.
    pub links: Vec<LinkOut>,
    /// The tie that is allowed the least gust.
    pub first: Option<String>,
    /// What was assumed.
    pub caution: &'static str,
}

/// Works out the ties.
///
/// # Errors
/// None for numbers within their ranges.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let q_pa = 0.5 * input.air_kg_m3 * input.gust_m_s.powi(2);
    let links: Vec<LinkOut> = input.links.iter().map(|link| pull(input, link, q_pa)).collect();
    // min_by keeps the first of equals.
    let first = links.iter().min_by(|one, other| one.allowed_to_m_s.total_cmp(&other.allowed_to_m_s));
    let first = first.map(|link| link.name.clone());
    Ok(Out { q_pa, links, first, caution: CAUTION })
}

fn pull(input: &In, link: &Link, q_pa: f64) -> LinkOut {
    let uplift_n = q_pa * input.c_net * link.share_m2;
    let held_n = DEAD_SHARE * link.dead_n;
    let counted_n = link.capacity_n / input.factor;
    let gust_m_s = |lifted_n: f64| (2.0 * lifted_n / (input.air_kg_m3 * input.c_net * link.share_m2)).sqrt();
    LinkOut {
        name: link.name.clone(),
        uplift_n,
        ratio: (uplift_n - held_n).max(0.0) / counted_n,
        allowed_to_m_s: gust_m_s(counted_n + held_n),
        gives_at_m_s: gust_m_s(link.capacity_n + held_n),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::{Value, json};

    use super::*;
    use crate::reckon::trial::{refuses, takes, told};

    fn roof() -> Value {
        json!({
            "c_net": 1.4, "gust_m_s": 40,
            "links": [
                {"name": "rafter to plate", "capacity_n": 6000, "share_m2": 1.5, "dead_n": 200},
                {"name": "plate to post", "capacity_n": 9000, "share_m2": 3, "dead_n": 500},
                {"name": "post to beam", "capacity_n": 9000, "share_m2": 3, "dead_n": 500},
            ],
        })
    }

    #[test]
    fn the_tie_that_is_allowed_least_comes_first() {
        let out = told("gust", roof());
        assert_eq!(out["q_pa"], 1000.0);
        let near = |got: &Value, meant: f64| (got.as_f64().unwrap() - meant).abs() < 1e-12 * meant;
        let link = &out["links"][0];
        assert!(near(&link["uplift_n"], 2100.0));
        assert!(near(&link["ratio"], (2100.0 - 180.0) / 2000.0));
        assert!(near(&link["allowed_to_m_s"], (2.0 * 2180.0 / (1.25 * 1.4 * 1.5_f64)).sqrt()));
        assert!(near(&link["gives_at_m_s"], (2.0 * 6180.0 / (1.25 * 1.4 * 1.5_f64)).sqrt()));
        assert_eq!(out["first"], "plate to post");
        assert!(
            out["caution"]
                .as_str()
                .unwrap()
                .ends_with("no result is a reason to stay inside; go to the shelter when told, or sooner.")
        );
    }

    #[test]
    fn a_roof_heavier_than_the_gust_pulls_on_nothing() {
        let mut calm = roof();
        calm["gust_m_s"] = json!(5);
        assert_eq!(told("gust", calm)["links"][0]["ratio"], 0.0);
        let none = told("gust", json!({"c_net": 1.4, "gust_m_s": 40, "links": []}));
        assert_eq!((&none["links"], &none["first"]), (&json!([]), &Value::Null));
    }

    #[test]
    fn what_divides_is_never_nothing() {
        refuses(
            "gust",
            &roof(),
            &[
                ("/c_net", json!(0)),
                ("/c_net", json!(null)),
                ("/air_kg_m3", json!(9e-10)),
                ("/gust_m_s", json!(121)),
                ("/factor", json!(0.9)),
                ("/factor", json!(21)),
                ("/links", json!(null)),
                ("/links/2/capacity_n", json!(0)),
                ("/links/1/share_m2", json!(0)),
                ("/links/0/dead_n", json!(-1)),
                ("/links/0/name", json!(null)),
            ],
        );
        takes(
            "gust",
            &roof(),
            &[("/gust_m_s", json!(0)), ("/gust_m_s", json!(120)), ("/links/0/dead_n", json!(0))],
        );
    }

    proptest! {
        #[test]
        fn at_the_gust_it_is_allowed_a_tie_is_used_up(
            c_net in 0.1..3.0_f64, factor in 1.0..20.0_f64, capacity_n in 10.0..1e5_f64, share_m2 in 0.1..50.0_f64,
            dead in 0.0..2.0_f64,
        ) {
            let link = Link { name: String::new(), capacity_n, share_m2, dead_n: dead * capacity_n / factor };
            let input = In { c_net, air_kg_m3: 1.25, gust_m_s: 1.0, factor, links: vec![link] };
            let out = run(&input).unwrap();
            let at_limit = run(&In { gust_m_s: out.links[0].allowed_to_m_s, ..input.clone() }).unwrap();
            // Square of a root, less a weight of up to twice the rest.
            prop_assert!((at_limit.links[0].ratio - 1.0).abs() < 1e-13);
            prop_assert!(out.links[0].gives_at_m_s >= out.links[0].allowed_to_m_s);
        }
    }
}
