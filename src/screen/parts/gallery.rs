//! Every drawing looked at: at the sizes of real pages, and at every size.

use insta::assert_snapshot;
use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use ratatui::widgets::Widget;

use super::{Drawing, Elevation, common_scale, min_size};
use crate::build::House;
use crate::build::draft::Draft;
use crate::build::trial::Trial;
use crate::screen::look::{Meaning, style};

const STAGES: [&str; 8] =
    ["centre-mark", "set-out", "posts", "beams", "roof-frame", "ridge", "thatch", "cap"];
/// The column beside the points on a page of 80x24, and on one of 120x40.
const SMALL: (u16, u16) = (26, 16);
const LARGE: (u16, u16) = (50, 30);

fn text(buf: &Buffer) -> String {
    let lines: Vec<String> = buf
        .area()
        .rows()
        .map(|row| row.positions().map(|p| buf[p].symbol()).collect::<String>().trim_end().to_owned())
        .collect();
    lines.join("\n")
}

fn drawn(house: &House, stage: &str, (width, height): (u16, u16)) -> String {
    let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
    Drawing::new(house, house.stage(stage).unwrap()).render(buf.area, &mut buf);
    text(&buf)
}

/// Houses side by side on one ground.
fn row(houses: &[House], plot: Size) -> String {
    let width = plot.width * houses.len() as u16;
    let mut buf = Buffer::empty(Rect::new(0, 0, width, plot.height));
    let scale = common_scale(houses, plot);
    for (house, x) in houses.iter().zip((0..).step_by(usize::from(plot.width))) {
        Elevation::new(house, scale).render(Rect::new(x, 0, plot.width, plot.height), &mut buf);
    }
    text(&buf)
}

fn built(stages: usize) -> Trial {
    Trial::new("Tern house").built(&STAGES[..stages])
}

fn pegs(readings: &[(&str, &str)]) -> House {
    let trial = Trial::new("Tern house").built(&["centre-mark"]);
    let read = |t: Trial, (pair, said): &(&str, &str)| t.read(&format!("set-out/{pair}"), said);
    readings.iter().fold(trial, read).house()
}

/// Peg C stands some way along and across from where it is meant.
fn peg_c_off() -> House {
    pegs(&[
        ("ab", "6.968 m"),
        ("bc", "5.257 m"),
        ("cd", "7.012 m"),
        ("da", "5.226 m"),
        ("ac", "8.763 m"),
        ("bd", "8.710 m"),
    ])
}

/// The six contradict each other.
fn slip() -> House {
    pegs(&[
        ("ab", "6.970 m"),
        ("bc", "5.225 m"),
        ("cd", "6.966 m"),
        ("da", "5.228 m"),
        ("ac", "8.792 m"),
        ("bd", "8.709 m"),
    ])
}

fn leaning() -> House {
    built(2)
        .read("posts/A/depth", "0.95 m")
        .read("posts/A/hard-ground", "yes")
        .read("posts/A/plumb-along", "4 mm")
        .read("posts/A/plumb-across", "-3 mm")
        .read("posts/AB1/depth", "0.95 m")
        .read("posts/AB1/hard-ground", "yes")
        .read("posts/AB1/plumb-along", "-22 mm")
        .read("posts/B/depth", "0.95 m")
        .read("posts/B/hard-ground", "yes")
        .read("posts/B/plumb-along", "14 mm")
        .read("posts/B/plumb-across", "35 mm")
        .house()
}

fn thatching(ab: &str, cd: &str) -> House {
    built(6).read("thatch/rows-ab", ab).read("thatch/rows-cd", cd).house()
}

/// The houses that bring out every shape of the drawings.
fn houses() -> Vec<House> {
    let steep = Trial::new("Steep house").say("pitch", "75").say("ratio", "1:2").built(&STAGES[..6]).house();
    let flat = Trial::new("Flat house").say("pitch", "20").say("length", "12 m").built(&STAGES[..7]).house();
    let long =
        Trial::new("Long house").say("length", "40 m").say("ratio", "1:20").say("post_gap_max", "0.5 m");
    let wild = pegs(&[("ab", "900 m"), ("bc", "5 m"), ("cd", "800 m"), ("da", "200 m"), ("ac", "850 m")]);
    let given = built(8).built(&["handing-over"]).house();
    vec![
        built(0).house(),
        slip(),
        peg_c_off(),
        leaning(),
        thatching("19", "14"),
        given,
        steep,
        flat,
        long.house(),
        wild,
    ]
}

#[test]
fn a_plan_is_dotted_until_its_distances_are_read() {
    assert_snapshot!(drawn(&built(0).house(), "set-out", SMALL));
    let some = pegs(&[("ab", "6.970 m"), ("bc", "5.225 m"), ("ac", "8.709 m"), ("od", "4.355 m")]);
    assert_snapshot!(drawn(&some, "set-out", SMALL));
    assert_snapshot!(drawn(&some, "set-out", LARGE));
}

#[test]
fn a_slip_is_marked_on_its_lines_and_moves_no_peg() {
    assert_snapshot!(drawn(&slip(), "set-out", SMALL));
    assert_snapshot!(drawn(&slip(), "set-out", LARGE));
}

#[test]
fn a_peg_to_move_has_its_way_drawn() {
    assert_snapshot!(drawn(&peg_c_off(), "set-out", SMALL));
    assert_snapshot!(drawn(&peg_c_off(), "set-out", LARGE));
    assert_snapshot!(drawn(&built(2).house(), "set-out", SMALL));
}

#[test]
fn posts_show_their_ground_and_their_lean() {
    assert_snapshot!(drawn(&leaning(), "posts", SMALL));
    assert_snapshot!(drawn(&leaning(), "posts", LARGE));
}

#[test]
fn a_section_shows_the_ridge_over_the_middle_or_off_it() {
    assert_snapshot!(drawn(&built(5).house(), "roof-frame", SMALL));
    assert_snapshot!(drawn(&built(6).house(), "ridge", SMALL));
    let off = built(5).read("ridge/legs/bc", "40 mm").house();
    assert_snapshot!(drawn(&off, "ridge", SMALL));
    assert_snapshot!(drawn(&off, "ridge", LARGE));
}

#[test]
fn slopes_fill_from_the_eave() {
    assert_snapshot!(drawn(&thatching("19", "14"), "thatch", SMALL));
    assert_snapshot!(drawn(&thatching("19", "14"), "thatch", LARGE));
    assert_snapshot!(drawn(&built(7).read("cap/caps", "5").house(), "cap", SMALL));
}

#[test]
fn a_roof_finished_in_another_kind_shows_both() {
    let changed = |fields: &[(&str, &str)]| Draft::Brief {
        changes: fields.iter().map(|(id, text)| ((*id).to_owned(), (*text).to_owned())).collect(),
    };
    let begun = built(6).read("thatch/rows-ab", "20").read("thatch/rows-cd", "18");
    let coconut = begun.clone().draft(&changed(&[("thatch", "coconut")])).read("thatch/rows-ab", "34");
    assert_snapshot!(drawn(&coconut.house(), "thatch", SMALL));
    assert_snapshot!(drawn(&coconut.house(), "thatch", LARGE));
    let closer = begun.draft(&changed(&[("course", "60 mm")])).read("thatch/rows-cd", "31");
    assert_snapshot!(drawn(&closer.house(), "thatch", SMALL));
}

#[test]
fn an_elevation_stands_on_its_caption() {
    assert_snapshot!(drawn(&thatching("30", "20"), "handing-over", SMALL));
    assert_snapshot!(drawn(&thatching("30", "20"), "handing-over", LARGE));
}

#[test]
fn houses_stand_side_by_side_as_far_as_they_are_built() {
    let all: Vec<House> = (0..=8).map(|n| built(n).house()).collect();
    for plot in [Size::new(12, 6), Size::new(19, 10)] {
        assert_snapshot!(row(&all[..4], plot));
        assert_snapshot!(row(&all[4..8], plot));
    }
    let some = [thatching("30", "20"), built(8).built(&["handing-over"]).house()];
    assert_snapshot!(row(&some, Size::new(12, 6)));
    assert_snapshot!(row(&some, Size::new(19, 10)));
    assert_snapshot!(row(&some, Size::new(40, 20)));
}

#[test]
fn a_small_house_beside_a_large_one_is_small() {
    let large = Trial::new("School shade").say("length", "6 sp").built(&STAGES).house();
    let steep = Trial::new("Steep house").say("pitch", "60").say("ratio", "1:2").built(&STAGES[..6]).house();
    let small = Trial::new("Boat shed").say("length", "2 sp").say("post_height", "1.4 m").built(&STAGES[..7]);
    assert_snapshot!(row(&[large, built(5).house(), steep, small.house()], Size::new(19, 10)));
}

#[test]
fn a_house_is_as_wide_to_the_left_as_to_the_right() {
    let mirrored = |c: char| match c {
        '╱' => '╲',
        '╲' => '╱',
        c => c,
    };
    for house in [2, 4, 6, 7, 8].map(|n| [built(n).house()]) {
        for width in (9..=61).step_by(2) {
            for line in row(&house, Size::new(width, 24)).lines() {
                let line = format!("{line:<w$}", w = usize::from(width));
                let back: String = line.chars().rev().map(mirrored).collect();
                assert_eq!(line, back);
            }
        }
    }
}

#[test]
fn a_drawing_keeps_to_any_area() {
    let stages = ["set-out", "posts", "ridge", "cap", "handing-over"];
    for (n, house) in (0..).zip(houses()) {
        let drawings = stages.map(|stage| Drawing::new(&house, house.stage(stage).unwrap()));
        let elevation = Elevation::new(&house, common_scale([&house], Size::new(20, 10)));
        // Every size is tried, each by every fifth house.
        let sizes =
            (0..=60).flat_map(|w| (0..=30).map(move |h| (w, h))).filter(|(w, h)| (w + h + n) % 5 == 0);
        for (width, height) in sizes {
            let mut buf = Buffer::empty(Rect::new(0, 0, width + 2, height + 2));
            let area = Rect::new(1, 1, width, height);
            drawings.iter().for_each(|drawing| drawing.render(area, &mut buf));
            elevation.render(area, &mut buf);
            let level = (0..width + 2).flat_map(|x| [(x, 0), (x, height + 1)]);
            let upright = (0..height + 2).flat_map(|y| [(0, y), (width + 1, y)]);
            assert!(level.chain(upright).all(|at| buf[at].symbol() == " "), "{width}x{height}");
        }
    }
}

#[test]
fn no_scale_and_no_area_stops_a_drawing() {
    for house in houses() {
        for m_per_col in [0.0, -1.0, 1e-12, 1e12, f64::NAN] {
            let mut buf = Buffer::empty(Rect::new(0, 0, 20, 10));
            Elevation::new(&house, m_per_col).render(buf.area, &mut buf);
        }
        // What reaches past the buffer is cut off.
        for stage in &house.stages {
            let mut buf = Buffer::empty(Rect::new(0, 0, 40, 20));
            Drawing::new(&house, stage).render(Rect::new(5, 5, 200, 60), &mut buf);
        }
    }
}

#[test]
fn from_its_least_size_on_a_drawing_is_there() {
    for house in houses() {
        for stage in &house.stages {
            let Size { width, height } = min_size(stage.stage.figure);
            for size in [(width, height), (width + 1, height), (width, height + 1), (200, 60)] {
                assert!(
                    !drawn(&house, stage.stage.id, size).trim().is_empty(),
                    "{} {size:?}",
                    stage.stage.id
                );
            }
            assert!(drawn(&house, stage.stage.id, (width - 1, height)).trim().is_empty());
        }
    }
}

#[test]
fn what_asks_for_a_hand_has_a_sign_and_a_colour() {
    let style_of = |house: &House, sign: &str| {
        let mut buf = Buffer::empty(Rect::new(0, 0, 50, 30));
        Drawing::new(house, house.stage("set-out").unwrap()).render(buf.area, &mut buf);
        let at = buf.area.positions().find(|p| buf[*p].symbol() == sign).unwrap();
        buf[at].style().fg
    };
    assert_eq!(style_of(&peg_c_off(), "v"), style(Meaning::Hand).fg);
    assert_eq!(style_of(&slip(), "?"), style(Meaning::Out).fg);
}
