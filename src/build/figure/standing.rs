//! How far a house has been built.

use crate::build::house::House;

/// What of a house stands, from its sign-offs and readings.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Built {
    /// The centre mark is chosen.
    pub marked: bool,
    /// The four pegs are driven.
    pub pegged: bool,
    /// Posts stand on the a-b side and on the c-d side.
    pub posts: [bool; 2],
    /// Tie beams and plates lie on the posts.
    pub beams: bool,
    /// The ridge pole lies on the tie beams.
    pub ridge_laid: bool,
    /// The ridge is up on its king posts, with bare rafters.
    pub raised: bool,
    /// The share of the rows laid, 0 to 1: the a-b slope, the c-d slope.
    pub rows: [f64; 2],
    /// The share of the caps laid, 0 to 1.
    pub caps: f64,
    /// The owner has it.
    pub handed_over: bool,
}

/// How far a house has been built: what is signed stands, and what is read is
/// there to be read.
#[must_use]
pub fn standing(house: &House) -> Built {
    let signed = |id: &str| house.stage(id).is_some_and(|s| s.signed.is_some());
    let read = |id: &str, like: &dyn Fn(&str) -> bool| {
        house.stage(id).is_some_and(|s| s.points.iter().any(|p| p.reading.is_some() && like(&p.point.id)))
    };
    let begun = |id: &str| signed(id) || read(id, &|_| true);
    let side = |ends: [char; 2]| {
        let stood = |p: &str| p.starts_with(ends) && !p.ends_with("/depth") && !p.ends_with("/hard-ground");
        signed("posts") || read("posts", &stood)
    };
    let share = |stage: &str, point: &str| {
        let now = house.stage(stage).and_then(|s| s.point(point));
        let target = now.and_then(|p| p.point.goal.target()).unwrap_or(1.0).max(1.0);
        let laid = now.and_then(|p| p.value).map(|laid| laid / target);
        laid.unwrap_or(if signed(stage) { 1.0 } else { 0.0 }).clamp(0.0, 1.0)
    };
    Built {
        marked: begun("centre-mark") || begun("set-out"),
        pegged: begun("set-out"),
        posts: [side(['A', 'B']), side(['C', 'D'])],
        beams: begun("beams"),
        ridge_laid: begun("roof-frame"),
        raised: signed("ridge") || read("ridge", &|p| p != "people"),
        rows: [share("thatch", "rows-ab"), share("thatch", "rows-cd")],
        caps: share("cap", "caps"),
        handed_over: house.is_handed_over(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::trial::Trial;

    const FRAME: &[&str] = &["centre-mark", "set-out", "posts", "beams", "roof-frame", "ridge"];

    #[test]
    fn nothing_stands_before_anything_is_read() {
        assert_eq!(standing(&Trial::new("Tern house").house()), Built::default());
    }

    #[test]
    fn a_house_stands_as_far_as_it_is_signed() {
        let built = |n: usize| standing(&Trial::new("Tern house").built(&FRAME[..n]).house());
        assert!(built(1).marked && !built(1).pegged);
        assert!(built(2).pegged && built(2).posts == [false; 2]);
        assert!(built(3).posts == [true; 2] && !built(3).beams);
        assert!(built(4).beams && !built(4).ridge_laid);
        assert!(built(5).ridge_laid && !built(5).raised);
        assert!(built(6).raised && built(6).rows == [0.0; 2]);
    }

    #[test]
    fn a_hole_is_no_post_and_a_plumbed_post_stands() {
        let dug = Trial::new("Tern house").read("posts/A/depth", "0.95 m").read("posts/A/hard-ground", "yes");
        assert_eq!(standing(&dug.house()).posts, [false, false]);
        let stood = dug.read("posts/A/plumb-along", "4 mm");
        assert_eq!(standing(&stood.house()).posts, [true, false]);
    }

    #[test]
    fn each_slope_has_its_own_share_of_rows() {
        let laying = Trial::new("Tern house").built(FRAME);
        let rows = laying.house().worked.thatch.rows_per_slope;
        let half = laying.read("thatch/rows-ab", &(rows / 2).to_string());
        let built = standing(&half.house());
        assert!((built.rows[0] - f64::from(rows / 2) / f64::from(rows)).abs() < 1e-12);
        assert_eq!((built.rows[1], built.caps, built.handed_over), (0.0, 0.0, false));
    }

    #[test]
    fn rows_the_storm_took_are_missing_though_the_thatch_was_signed() {
        let thatched = Trial::new("Tern house").built(FRAME).built(&["thatch"]);
        assert_eq!(standing(&thatched.house()).rows, [1.0, 1.0]);
        let torn = thatched.read("thatch/rows-cd", "0");
        assert_eq!(standing(&torn.house()).rows, [1.0, 0.0]);
    }
}
