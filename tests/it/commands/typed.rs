//! What every command has in common: what may be typed, and how it is said.

use std::ffi::OsStr;
use std::os::unix::ffi::OsStrExt;
use std::process::Stdio;

use super::{TERN, json, refused, tern};
use crate::desk::{Desk, MORNING};

#[test]
fn what_is_not_a_command_is_one_clear_line() {
    let desk = Desk::new();
    refused(&desk, &["raise"], 2, &["raise"]);
    refused(&desk, &["houses", "--loud"], 2, &["--loud"]);
    refused(&desk, &["houses", "--at", "yesterday"], 2, &["--at", "RFC 3339"]);
    refused(&desk, &[], 1, &["terminal", "houses"]);
}

#[test]
fn help_and_version_are_no_refusals() {
    let desk = Desk::new();
    assert!(desk.run(["--help"]).well().contains("SPANWRIGHT_BOOK"));
    assert!(desk.run(["start", "--help"]).well().contains("--rafter-gap-max"));
    assert!(desk.run(["--version"]).well().starts_with("spanwright "));
}

#[test]
fn the_environment_names_book_writer_and_time() {
    let desk = Desk::new();
    let mut command = desk.command(TERN);
    command.env("SPANWRIGHT_BOOK", "named.spanwright").env("SPANWRIGHT_BY", "Tavi");
    assert!(command.output().unwrap().status.success());
    let log = json(&desk, &["log", "--book", "named.spanwright"]);
    assert_eq!(
        (&log[0]["by"], &log[0]["at"], &log[0]["written"]),
        (&"Tavi".into(), &MORNING.into(), &MORNING.into())
    );
    let mut odd = Desk::new();
    odd.set_clock("noon");
    refused(&odd, &["houses"], 2, &["SPANWRIGHT_NOW", "noon"]);
}

#[test]
fn who_and_when_may_be_said() {
    let desk = tern();
    let arguments =
        ["read", "Tern house", "set-out/ab", "7m", "--by", "Ilo", "--at", "2030-10-13T17:00:00+10:00"];
    desk.run(arguments).well();
    let reading = json(&desk, &["log", "--kind", "reading"])[0].clone();
    assert_eq!((&reading["by"], &reading["at"]), (&"Ilo".into(), &"2030-10-13T17:00:00+10:00".into()));
    refused(&desk, &["read", "Tern house", "set-out/ab", "7m", "--by", " "], 2, &["by: "]);
}

#[test]
fn text_from_the_book_steers_no_terminal() {
    let desk = tern();
    let remark = "\u{1b}]0;mine\u{7}wet\u{9b}2J\u{202e}\nspanwright: all is well";
    desk.run(["tally", "Tern house", "panel", "4", "--as", "woven", "--remark", remark]).well();
    let said = desk.run(["log", "--kind", "tally"]).well();
    assert!(!said.trim_end().contains(|c: char| c.is_control() || c == '\u{202e}'), "{said:?}");
    let line = desk.run(["house", "\u{1b}[2Jnowhere"]).refused(2);
    assert!(!line.trim_end().contains(char::is_control), "{line:?}");
}

#[test]
fn a_reader_that_has_seen_enough_is_no_failure() {
    let desk = tern();
    let mut child = desk.command(["house", "Tern house", "--all"]).stdout(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    assert!(child.wait().unwrap().success());
}

#[test]
fn output_that_cannot_be_written_is_a_failure() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = tern().command(["houses"]).stdout(full).output().unwrap();
    let line = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.code() == Some(1) && line.contains("standard output"), "{line}");
}

#[test]
fn a_complaint_of_a_great_deal_of_text_stays_short() {
    let desk = tern();
    let line = desk.run(["house", &"家".repeat(40_000)]).refused(2);
    assert!(line.chars().count() < 3000 && line.contains("spanwright houses"), "{line}");
    let key = "k".repeat(5_000_000);
    let input = format!(r#"{{"length_m": 4, "width_m": 3, "{key}": 1}}"#);
    let line = desk.run_with_input(["reckon", "setout"], &input).refused(2);
    assert!(line.len() < 3000 && line.ends_with("its keys are length_m, width_m\n"), "{line}");
}

#[test]
fn what_the_environment_says_in_no_utf8_is_not_passed_over() {
    let desk = tern();
    let odd = || OsStr::from_bytes(b"odd\xff");
    for name in ["SPANWRIGHT_BY", "SPANWRIGHT_NOW"] {
        let output = desk.command(["houses"]).env(name, odd()).output().unwrap();
        let line = String::from_utf8(output.stderr).unwrap();
        assert!(
            output.status.code() == Some(2) && line.starts_with(&format!("spanwright: {name}: ")),
            "{line}"
        );
    }
    // A file may have any name: it is the book, and not the one at home.
    assert!(desk.command(TERN).env("SPANWRIGHT_BOOK", odd()).output().unwrap().status.success());
    assert!(desk.folder().join(odd()).exists());
}

#[test]
fn what_cannot_be_seen_is_no_name_no_cause_and_no_reason() {
    let desk = tern();
    for unseen in ["\u{200b}\u{2060}", "\u{200d}", "Oru\u{202e}", "\u{301}", "\u{feff}Oru"] {
        let start = [&["start", unseen], &TERN[2..]].concat();
        refused(&desk, &start, 2, &["name: ", "can be seen"]);
        refused(
            &desk,
            &["read", "Tern house", "set-out/ab", "7m", "--by", unseen],
            2,
            &["by: ", "can be seen"],
        );
    }
    refused(&desk, &["hold", "--all", "--cause", "\u{200b}"], 2, &["cause: ", "say why"]);
    let id = desk.run(["read", "Tern house", "set-out/ab", "7m"]).well();
    let id = id.lines().next().unwrap();
    refused(&desk, &["strike", id, "--why", "\u{2060} \u{ad}"], 2, &["why: ", "say why"]);
    desk.run(["read", "Tern house", "set-out/ab", "7m", "--by", "👩\u{200d}🌾 क्\u{200d}ष"]).well();
}

#[test]
fn words_of_any_script_are_bounded_alike() {
    let desk = tern();
    let most = "家".repeat(101);
    refused(&desk, &["hold", "--all", "--cause", &most], 2, &["cause: longer than 100 characters"]);
    let reading = ["read", "Tern house", "set-out/ab", "7m", "--with", &most];
    refused(&desk, &reading, 2, &["with: longer than 100 characters"]);
    desk.run(["hold", "--all", "--cause", &"👩".repeat(100)]).well();
}

/// Source: by hand. 99999999999999999999 is more than 64 bits hold, 1e400 more
/// than a double does.
#[test]
fn a_number_out_of_its_range_is_told_with_its_name_and_its_range() {
    let desk = tern();
    let day = ["crew", "day", "Tern house", "--crew", "Reef", "--work", "digging"];
    let day = |more: &[&'static str]| [&day[..], more].concat();
    let pole = ["tally", "Tern house", "pole", "1", "--as", "cut", "--length"];
    let wood = ["wood", "add", "palm", "--class", "D24", "--density"];
    let asked = [
        ("count", vec!["tally", "Tern house", "panel", "N", "--as", "woven"]),
        ("count", vec!["tally", "Tern house", "cord", "N", "--as", "bought"]),
        ("length", [&pole[..], &["N"]].concat()),
        ("thick", [&pole[..], &["6 m", "--thick", "N"]].concat()),
        ("panel", vec!["lost", "Tern house", "panel=N"]),
        ("value", vec!["read", "Tern house", "thatch/rows-ab", "N"]),
        ("value", vec!["read", "Tern house", "set-out/ab", "N"]),
        ("count", vec!["permit", "add", "--tree", "palm", "--until", "2031-06-30", "--count", "N"]),
        ("limit", vec!["log", "--limit", "N"]),
        ("size", vec!["crew", "add", "Reef", "--size", "N"]),
        ("people", day(&["--people", "N"])),
        ("share", day(&["--people", "2", "--share", "N"])),
        ("done", day(&["--people", "2", "--done", "N"])),
        ("month", vec!["crew", "weather", "--chance", "0.3", "--month", "N"]),
        ("chance", vec!["crew", "weather", "--month", "3", "--chance", "N"]),
        (
            "times",
            vec!["pieces", "Tern house", "--pole", "6 m x 12 cm", "--into", "2 rafter", "--times", "N"],
        ),
        ("value", vec!["pull", "cord", "N", "--cord", "coir"]),
        ("density", [&wood[..], &["N", "--durability", "4"]].concat()),
        ("durability", [&wood[..], &["700", "--durability", "N"]].concat()),
        ("pins-per-cap", vec!["brief", "Tern house", "--pins-per-cap", "N"]),
        ("gust", vec!["holds", "Tern house", "--gust", "N"]),
        ("span", vec!["measure", "Oru", "--span", "N"]),
    ];
    for (field, words) in asked {
        for n in ["99999999999999999999", "4294967296", "-5", "1e400", "NaN"] {
            let words: Vec<String> = words.iter().map(|word| word.replace('N', n)).collect();
            let line = desk.run(&words).refused(2);
            assert!(line.starts_with(&format!("spanwright: {field}: ")), "{words:?}: {line}");
            assert!(line.matches('\n').count() == 1, "{line}");
        }
    }
    refused(&desk, &["brief", "Tern house", "--wraps", "50"], 2, &["wraps: ", "1 to "]);
}

/// What a line does that is pasted into a shell.
fn pasted(desk: &Desk, line: &str) -> std::process::Output {
    let program = desk.command([] as [&str; 0]).get_program().to_owned();
    let script = format!("spanwright() {{ \"$PROGRAM\" \"$@\"; }}\n{line}");
    let mut shell = std::process::Command::new("/bin/sh");
    shell.args(["-c", &script]).env_clear().envs(desk.environment()).env("PROGRAM", program);
    shell.current_dir(desk.folder()).output().unwrap()
}

#[test]
fn a_command_that_is_told_can_be_pasted_whatever_the_house_is_called() {
    for name in [
        "Tern house",
        "Tern \"A\" $(touch ran)",
        "Oru's `touch ran`",
        "';touch ran;'",
        "a\\ !x {a,b} ~ *",
        "-rf",
        "--all",
        "#",
        "\"",
        "'",
    ] {
        let desk = Desk::new();
        desk.run(["start", "--measure", "Oru", "--span", "1.742 m", "--length", "4sp", "--", name]).well();
        let day =
            ["crew", "day", "--crew", "weavers", "--work", "weaving", "--people", "3", "--done", "45.5"];
        let told = desk.run([&day[..], &["--json", "--", name]].concat()).well();
        let told: serde_json::Value = serde_json::from_str(&told).unwrap();
        let out = pasted(&desk, told["tell_too"].as_str().unwrap());
        assert!(out.status.success(), "{name}: {told} {out:?}");
        let said = String::from_utf8(out.stdout).unwrap();
        assert!(said.contains("on hand 45, used 0"), "{name}: {said}");
        let hold = ["hold", "--cause", "storm", "--", name];
        let told = desk.run(hold).well();
        let line = told.lines().find_map(|line| line.strip_prefix("Answer it: ")).unwrap();
        let out = pasted(&desk, line);
        assert!(out.status.success(), "{name}: {line} {out:?}");
        let tied = desk.run(["tie-down", "--json", "--", name]).well();
        assert!(tied.contains("\"done\":true") && tied.contains("\"done\":false"), "{name}: {tied}");
        assert!(!desk.file("ran").exists(), "{name}");
    }
}
