//! Every drawing looked at: at the sizes of real pages, and at every size.

use insta::assert_snapshot;
use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use ratatui::widgets::Widget;

use super::{Drawing, Elevation, common_scale};
use crate::build::House;
use crate::build::trial::Trial;

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

#[test]
fn look() {
    for size in [SMALL, LARGE] {
        for (house, stage) in [
            (built(0).house(), "set-out"),
            (pegs(&[("ab", "6.970 m"), ("bc", "5.225 m"), ("ac", "8.709 m"), ("od", "4.355 m")]), "set-out"),
            (slip(), "set-out"),
            (peg_c_off(), "set-out"),
            (built(2).house(), "set-out"),
            (leaning(), "posts"),
            (built(4).house(), "roof-frame"),
            (built(5).read("ridge/legs/bc", "24 mm").house(), "ridge"),
            (built(6).house(), "ridge"),
            (thatching("19", "14"), "thatch"),
            (built(7).read("cap/caps", "5").house(), "cap"),
            (thatching("30", "20"), "handing-over"),
        ] {
            println!("--- {stage} {size:?}\n{}\n", drawn(&house, stage, size));
        }
    }
    for plot in [Size::new(12, 6), Size::new(18, 9), Size::new(20, 10), Size::new(24, 12), Size::new(40, 20)]
    {
        let houses: Vec<House> = (0..=6)
            .map(|n| built(n).house())
            .chain([
                thatching("19", "14"),
                built(7).house(),
                built(8).house(),
                built(8).built(&["handing-over"]).house(),
            ])
            .collect();
        for chunk in houses.chunks(4) {
            println!("--- {plot:?}\n{}\n", row(chunk, plot));
        }
    }
}
