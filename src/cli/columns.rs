//! Tables for people: columns lined up by what is seen, whatever the script.

use unicode_width::UnicodeWidthStr;

use crate::build::telling::shown;

/// To which side a column's cells are pushed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
}

/// The rows as lines, two blanks between columns, `margin` before each.
pub(super) fn lined_up(margin: &str, sides: &[Side], rows: &[Vec<String>]) -> Vec<String> {
    let rows: Vec<Vec<String>> =
        rows.iter().map(|row| row.iter().map(|cell| shown(cell)).collect()).collect();
    let width = |column: usize| rows.iter().filter_map(|row| row.get(column)).map(|c| c.width()).max();
    let widths: Vec<usize> = (0..sides.len()).map(|column| width(column).unwrap_or(0)).collect();
    rows.iter()
        .map(|row| {
            let mut line = margin.to_owned();
            for ((cell, side), width) in row.iter().zip(sides).zip(&widths) {
                let room = " ".repeat(width.saturating_sub(cell.width()));
                match side {
                    Side::Left => line.extend([cell, &room, "  "]),
                    Side::Right => line.extend([&room, cell, "  "]),
                }
            }
            line.truncate(line.trim_end().len());
            line
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_letters_line_up() {
        let rows = [["家", "7"], ["Tern", "12"]].map(|row| row.map(str::to_owned).to_vec());
        let lines = lined_up("  ", &[Side::Left, Side::Right], &rows);
        assert_eq!(lines, ["  家     7", "  Tern  12"]);
    }
}
