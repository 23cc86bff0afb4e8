//! What would make a link hold the gust the builder names.

use super::chain::{Grows, Strength, ground};
use crate::build::worked::Worked;

/// The most turns that lie well in a lashing (common practice).
const MOST_TURNS: f64 = 12.0;
/// The foot that is proposed for a straight post, and the widest, m.
const FEET_M: [f64; 4] = [0.5, 0.8, 1.1, 1.5];
/// The deepest post that is proposed, m (common practice).
const DEEPEST_M: f64 = 2.0;
/// A hole deeper than this may fall in on people (common practice).
const SHORED_M: f64 = 1.2;

/// What to change so that a link holds a force, N, at which it would give.
pub(super) fn change(worked: &Worked, strength: &Strength, needed_n: f64) -> String {
    // A hair less, so that what is just enough is enough.
    let times = needed_n / strength.capacity_n - 1e-9;
    match strength.grows {
        Grows::Turns(turns) => {
            let needed = (f64::from(turns) * times).ceil();
            if needed <= MOST_TURNS {
                format!("{needed:.0} turns instead of {turns}")
            } else {
                format!("{needed:.0} turns instead of {turns}, more than lie well: a stronger cord")
            }
        }
        Grows::Ties => format!("{:.0} ties at each place instead of one, or a stronger cord", times.ceil()),
        Grows::Thickness(d_m) => {
            let mm = (d_m * times.cbrt() * 200.0).ceil() * 5.0;
            format!("{mm:.0} mm thick instead of {:.0} mm, or rafters closer", d_m * 1000.0)
        }
        Grows::Depth => deeper(worked, needed_n),
    }
}

/// The narrowest foot, and the least depth with it, that hold so much.
fn deeper(worked: &Worked, needed_n: f64) -> String {
    let holding = &worked.brief.holding;
    let depth_m = worked.brief.posts.depth_m;
    let own = holding.foot_m.unwrap_or(0.0);
    let feet = std::iter::once(own).chain(FEET_M.into_iter().filter(|f| *f > own)).filter(|f| *f > 0.0);
    let holds =
        |depth: f64, foot: f64| ground(worked, depth, Some(foot)).is_ok_and(|s| s.capacity_n >= needed_n);
    for foot_m in feet {
        let depths = (0..).map(|step| depth_m + 0.05 * f64::from(step));
        if let Some(depth) = depths.take_while(|d| *d <= DEEPEST_M + 1e-9).find(|d| holds(*d, foot_m)) {
            let was = if own > 0.0 { format!(" and {own:.1} m") } else { String::new() };
            let shored =
                if depth > SHORED_M { "; a hole that deep is shored, nobody in it alone" } else { "" };
            return format!(
                "post {depth:.2} m deep with a {foot_m:.1} m cross-piece or stones at its foot, instead of {depth_m:.2} m{was}{shored}"
            );
        }
    }
    format!("no post {DEEPEST_M:.0} m deep holds that: more posts, or a lower gust")
}
