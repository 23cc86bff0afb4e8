//! Stage 3: the posts.

use std::f64::consts::PI;

use super::set_out::distances;
use super::{LEVEL_M, SIX, heavy, step};
use crate::build::entry::Item;
use crate::build::findings::{Findings, Inferred};
use crate::build::readings::Readings;
use crate::build::stage::{Figure, Need, Point, Rule, Stage};
use crate::build::storm::AfterStorm;
use crate::build::telling::both;
use crate::build::worked::Worked;
use crate::reckon::net::Corner;
use crate::reckon::plumb;

pub(super) const ID: &str = "posts";

/// Room for the rammer all round a post, m (common practice).
const RAMMING_ROOM_M: f64 = 0.15;
/// Stone as heaped for the stone as rammed (common practice).
const PACKING: f64 = 1.2;

/// Water scours the ground at the feet, and wind leans what stands in it.
const AFTER_STORM: AfterStorm = AfterStorm {
    shakes: |point, _| match point.split_once('/') {
        Some(("head", _)) => true,
        Some((_, what)) => matches!(what, "level" | "plumb-along" | "plumb-across" | "ground"),
        None => false,
    },
    asks: |worked, progress| {
        let standing = worked.posts.iter().filter(|post| progress.stood(&post.id));
        let ask = |id: &str| {
            Point::yes(format!("{id}/ground"), format!("post {id}: ground at its foot not scoured, not soft"))
                .short(format!("{id} ground firm"))
        };
        standing.map(|post| ask(&post.id)).collect()
    },
};

/// Stage 3.
pub const STAGE: Stage = Stage {
    id: ID,
    number: 3,
    says: "Posts",
    short: "posts",
    steps: &[
        step("Dig each hole to hard ground, not less than the depth.", "A post stands on what is under it."),
        step(
            "Stand the post and stay it two ways before you let go.",
            "A post on its own falls. Stays remain until the braces are tied.",
        ),
        step(
            "Pack stones in lifts of a hand, and ram each lift.",
            "Loose stones let the post walk in the first storm.",
        ),
        step("Bring the heads level with the first post.", "Beams that lie level share the load."),
        step(
            "Plumb each post along and across the house.",
            "A frame that leans starts with half its strength spent.",
        ),
        step(
            "Read the bases and the heads, six distances each.",
            "Base and head alike mean that nothing leans.",
        ),
    ],
    cautions: &[
        "Nobody alone in a deep hole, and none deeper than the chest without shoring; local rules decide.",
        "Keep the spoil and yourself off the edge of the hole.",
        "Hands and feet out from under posts and stones.",
        "Lift together, one voice calling; more hands before a bad back.",
        "Leave no post without two stays, not for a moment.",
    ],
    kit,
    points,
    needs,
    findings,
    after_storm: AFTER_STORM,
    rule: Rule::AllTrue,
    rule_says: "every point is true and the lean of the frame is known",
    figure: Figure::Lean,
};

fn kit(worked: &Worked) -> Vec<String> {
    let body = &worked.brief.body;
    let posts = &worked.brief.posts;
    let from_a: Vec<String> =
        worked.frames_m.iter().map(|x| format!("{:.3}", x + worked.brief.length_m / 2.0)).collect();
    vec![
        format!("Along each side from the d-a end: {} m.", from_a.join(", ")),
        format!(
            "Heads {} above the ground, feet {} in it.",
            both(posts.height_m, body),
            both(posts.depth_m, body)
        ),
        format!(
            "Holes {:.0} cm wide, for the rammer to go round.",
            (posts.d_m + 2.0 * RAMMING_ROOM_M) * 100.0
        ),
        format!("A post may lean {:.1} mm over its height.", posts.height_m * 1000.0 / 200.0),
        heavy("post", posts.depth_m + posts.height_m, posts.d_m, worked),
    ]
}

fn points(worked: &Worked, readings: &Readings) -> Vec<Point> {
    let mut points = Vec::new();
    let plumb_m = worked.brief.posts.height_m / 200.0;
    for (i, post) in worked.posts.iter().enumerate() {
        let id = &post.id;
        let depth =
            Point::not_less(format!("{id}/depth"), format!("post {id} depth"), worked.brief.posts.depth_m);
        let hard = Point::yes(format!("{id}/hard-ground"), format!("post {id} stands on hard ground"));
        points.extend([depth.short(format!("{id} depth")), hard.short(format!("{id} on hard"))]);
        if i > 0 {
            let level = Point::signed(format!("{id}/level"), format!("head {id} above head A"), 0.0, LEVEL_M);
            points.push(level.short(format!("{id} level")));
        }
        for (axis, says, toward) in [("plumb-along", "along", "b-c"), ("plumb-across", "across", "c-d")] {
            let plumb = Point::signed(
                format!("{id}/{axis}"),
                format!("post {id} leans toward {toward}"),
                0.0,
                plumb_m,
            );
            points.push(plumb.short(format!("{id} {says}")));
        }
    }
    for (pair, says) in SIX {
        let target = worked.distance_m(pair);
        let base =
            Point::near(format!("base/{pair}"), format!("base {says}"), target, worked.tolerance_m(target));
        points.push(base.short(format!("base {}", &says[..3])));
    }
    for (pair, says) in SIX {
        // The head is held against the base that was read, not the design.
        let design = worked.distance_m(pair);
        let base = readings.number(ID, &format!("base/{pair}")).unwrap_or(design);
        let head =
            Point::near(format!("head/{pair}"), format!("head {says}"), base, worked.tolerance_m(design));
        points.push(head.short(format!("head {}", &says[..3])));
    }
    points
}

/// What is cut off a post when the heads are levelled, m (common practice).
const TRIM_M: f64 = 0.1;

fn needs(worked: &Worked) -> Vec<Need> {
    let posts = &worked.brief.posts;
    let count = worked.posts.len() as u32;
    let hole_d = posts.d_m + 2.0 * RAMMING_ROOM_M;
    let each = PI / 4.0 * (hole_d * hole_d - posts.d_m * posts.d_m) * posts.depth_m * PACKING;
    vec![
        Need::pieces(Item::Post, count, format!("2 sides of {}", worked.frames_m.len()))
            .line(format!(
                "{:.2} m in the ground, {:.2} m above it, {TRIM_M} m to trim",
                posts.depth_m, posts.height_m
            ))
            .poles(posts.depth_m + posts.height_m + TRIM_M, posts.d_m),
        Need::amount(Item::PackingStone, each * f64::from(count), format!("{count} holes, {each:.3} m³ in each"))
            .line(format!(
                "a hole {:.0} cm wide and {:.2} m deep, less the post of {:.0} cm, times {PACKING} for stone as heaped",
                hole_d * 100.0,
                posts.depth_m,
                posts.d_m * 100.0
            )),
    ]
}

/// What the posts' readings ask of `plumb`: base, heads, and the bobs of the
/// corner posts.
fn asked(worked: &Worked, readings: &Readings) -> plumb::In {
    let mut bobs = Vec::new();
    for post in worked.posts.iter().filter(|p| p.corner) {
        for (axis, word) in [(plumb::Axis::Length, "plumb-along"), (plumb::Axis::Width, "plumb-across")] {
            if let Some(offset_m) = readings.number(ID, &format!("{}/{word}", post.id))
                && let Some(post) = Corner::ALL.into_iter().find(|c| c.name().eq_ignore_ascii_case(&post.id))
            {
                bobs.push(plumb::Bob { post, axis, offset_m });
            }
        }
    }
    plumb::In {
        height_m: worked.brief.posts.height_m,
        length_m: worked.brief.length_m,
        width_m: worked.brief.width_m,
        base: distances(readings, ID, "base/"),
        head: distances(readings, ID, "head/"),
        bobs,
    }
}

fn findings(worked: &Worked, readings: &Readings) -> Findings {
    let mut found = Findings::default();
    let out = match plumb::run(&asked(worked, readings)) {
        Ok(out) => out,
        Err(refusal) => {
            let read =
                |end: &str| SIX.iter().all(|(pair, _)| readings.of(ID, &format!("{end}/{pair}")).is_some());
            found.bars.push(if read("base") && read("head") {
                format!("how the posts lean is not known: {}", refusal.why)
            } else {
                "how the posts lean is not known yet: read bases and heads".to_owned()
            });
            return found;
        }
    };
    match &out.leans {
        None => {
            found.bars.push("how the frame sways is not known".to_owned());
            let word = "Bases and heads agree or not, but the whole frame may sway: hang a plumb bob at two posts, along and across.";
            found.told.push(word.to_owned());
        }
        Some(leans) => {
            for corner in Corner::ALL {
                let lean = leans.at(corner);
                let post = corner.name().to_uppercase();
                for (word, value) in [("plumb-along", lean.dx_m), ("plumb-across", lean.dy_m)] {
                    let point = format!("{post}/{word}");
                    if readings.of(ID, &point).is_none() {
                        found.inferred.push(Inferred {
                            point,
                            value,
                            why: "worked out from bases, heads and bobs",
                        });
                    }
                }
            }
        }
    }
    found.plumb = Some(out);
    found
}
