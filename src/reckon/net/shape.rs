//! The four pegs of a plan from the lengths read between them.

use super::{Adjusted, Corner, Corners, Net, NoShape, Pair, Point, Pose, Readings, Sight};

/// What readings can say about four pegs.
#[derive(Debug, Clone)]
pub struct Survey {
    /// The pairs of points that are in the net, in their order.
    pub used: Vec<Pair>,
    /// Pairs from a centre mark that they do not fix.
    pub unused: Vec<Pair>,
    /// How much rank the readings lack; 0 where they fix the shape.
    pub lacking: usize,
    net: Net,
    design: Corners<Point>,
}

/// The shape of four pegs, laid on the design.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// The corners as read.
    pub corners: Corners<Point>,
    /// The adjusted lengths and redundancy numbers, sight by sight as in
    /// [`Survey::used`].
    pub adjusted: Adjusted,
    /// The single readings beyond those that the shape needs.
    pub redundancy: usize,
}

/// Sorts out which readings join the net and whether they fix its shape.
///
/// The centre mark joins only where two neighbouring corners at least were
/// read from it: readings to opposite corners, which lie in one line with it,
/// do not fix it.
#[must_use]
pub fn survey(design: &Corners<Point>, readings: &Readings) -> Survey {
    let read = |pair: Pair| readings.get(&pair).is_some_and(|r| !r.all().is_empty());
    let from_mark =
        Corners::of(|corner| Pair::ALL.into_iter().any(|p| p.ends() == (None, corner) && read(p)));
    let mark = Corner::ALL.into_iter().any(|c| *from_mark.at(c) && *from_mark.at(c.next()));
    let (used, unused): (Vec<_>, Vec<_>) =
        Pair::ALL.into_iter().filter(|p| read(*p)).partition(|p| mark || !p.from_mark());
    let mut points = Corner::ALL.map(|c| *design.at(c)).to_vec();
    if mark {
        points.push([0.0, 0.0]);
    }
    let sights = used.iter().filter_map(|pair| {
        let (from, to) = pair.ends();
        let ends = (from.map_or(Corner::ALL.len(), |c| c as usize), to as usize);
        Some(Sight { ends, read_m: readings.get(pair)?.all().to_vec() })
    });
    let net = Net::new(&points, sights.collect());
    let lacking = net.full_rank().saturating_sub(net.rank());
    Survey { used, unused, lacking, net, design: *design }
}

/// Adjusts the readings of a survey that lacks nothing and lays the shape on
/// the design: the four corners nearest in the sum of squares, a centre mark
/// in the net on the origin.
///
/// # Errors
/// [`NoShape`] where the readings contradict each other or make a flat shape.
pub fn shape(survey: &Survey) -> Result<Shape, NoShape> {
    let adjusted = survey.net.adjust()?;
    let point = |i: usize| adjusted.points.get(i).copied();
    let as_found = Corners::of(|c| point(c as usize).unwrap_or_default());
    let pairs = Corner::ALL.map(|c| (*as_found.at(c), *survey.design.at(c)));
    let pose = Pose::nearest(&pairs, point(Corner::ALL.len()));
    let corners = Corners::of(|c| pose.place(*as_found.at(c)));
    Ok(Shape { corners, adjusted, redundancy: survey.net.redundancy() })
}
