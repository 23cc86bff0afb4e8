//! The shape of the project: which way imports run, what must never change,
//! and how long a file may grow.

use std::fs;
use std::path::{Path, PathBuf};

/// Each layer with those it may lean on.
const LAYERS: &[(&str, &[&str])] = &[
    ("measure", &[]),
    ("reckon", &["measure"]),
    ("build", &["measure", "reckon"]),
    ("book", &["measure", "reckon", "build"]),
    ("screen", &["measure", "reckon", "build", "book"]),
    ("cli", &["measure", "reckon", "build", "book", "screen"]),
];

/// The most lines of a file, its unit tests not counted.
const LONGEST: usize = 450;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every Rust file below a folder, in order.
fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut entries: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
    found
}

/// The words that follow a path's beginning in a text.
fn named_after<'t>(text: &'t str, beginning: &'t str) -> impl Iterator<Item = &'t str> {
    text.split(beginning).skip(1).map(|rest| {
        let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(rest.len());
        &rest[..end]
    })
}

#[test]
fn imports_run_one_way_only() {
    let mut looked_at = 0;
    for (layer, below) in LAYERS {
        let files = sources(&root().join("src").join(layer));
        assert!(!files.is_empty(), "{layer} is there");
        for file in files {
            let text = fs::read_to_string(&file).unwrap();
            assert!(!text.contains("use crate::{"), "{}: one layer a line", file.display());
            for named in named_after(&text, "crate::") {
                let is_layer = LAYERS.iter().any(|(known, _)| *known == named);
                let may = named == *layer || below.contains(&named);
                assert!(!is_layer || may, "{}: {layer} leans on {named}", file.display());
                looked_at += usize::from(is_layer);
            }
        }
    }
    assert!(looked_at > 100, "the imports were found: {looked_at}");
    let folders = fs::read_dir(root().join("src")).unwrap().map(|e| e.unwrap().path());
    for folder in folders.filter(|f| f.is_dir()) {
        let name = folder.file_name().unwrap().to_str().unwrap();
        assert!(LAYERS.iter().any(|(layer, _)| *layer == name), "{name} has its place in the list");
    }
}

/// FNV-1a of 64 bits.
fn digest(bytes: &[u8]) -> u64 {
    bytes
        .iter()
        .fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(0x100_0000_01b3))
}

/// Source: RFC 9923, the test vector "a" of FNV-1a; from memory.
#[test]
fn the_digest_is_the_known_one() {
    assert_eq!(digest(b"a"), 0xaf63_dc4c_8601_ec8c);
}

/// A book out there was made by these: a change belongs in a new one.
#[test]
fn a_migration_never_changes() {
    const KNOWN: &[(&str, u64)] = &[
        ("0001-entries", 0x28a1_1e68_ceff_3f5a),
        ("0002-views", 0x0e4f_4977_d05c_c780),
        ("0003-village", 0x15a2_678d_64d4_0fbe),
        ("0004-strikes", 0x1a7e_ce88_06ec_cab4),
        ("0005-torn-off", 0xebb0_8247_fd61_87d4),
    ];
    for (name, known) in KNOWN {
        let text = fs::read(root().join("migrations").join(name).join("up.sql")).unwrap();
        assert_eq!(digest(&text), *known, "{name} is {:#x}", digest(&text));
    }
    let count = fs::read_dir(root().join("migrations")).unwrap().count();
    assert_eq!(count, KNOWN.len(), "a new migration is added to the list");
}

#[test]
fn no_file_is_forgotten() {
    for top in ["src", "tests/it", "tests/bench"] {
        for file in sources(&root().join(top)) {
            let name = file.file_stem().unwrap().to_str().unwrap();
            if matches!(name, "lib" | "main") {
                continue;
            }
            let folder = file.parent().unwrap();
            let (name, folder) = match name {
                "mod" => (folder.file_name().unwrap().to_str().unwrap(), folder.parent().unwrap()),
                name => (name, folder),
            };
            let beside = folder.with_extension("rs");
            let parents = ["mod.rs", "lib.rs", "main.rs"].map(|parent| folder.join(parent));
            let parents = parents.into_iter().chain([beside]).filter_map(|p| fs::read_to_string(p).ok());
            let declared = format!("mod {name};");
            let is_declared = |parent: String| parent.lines().any(|line| line.ends_with(&declared));
            assert!(parents.into_iter().any(is_declared), "{} is compiled nowhere", file.display());
        }
    }
}

#[test]
fn no_file_grows_too_long() {
    for top in ["src", "tests"] {
        for file in sources(&root().join(top)) {
            let text = fs::read_to_string(&file).unwrap();
            let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default();
            let lines = code.lines().count();
            assert!(lines <= LONGEST, "{}: {lines} lines; split it", file.display());
        }
    }
}
