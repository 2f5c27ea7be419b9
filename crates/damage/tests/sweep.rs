//! The sweep makes its page and its curves, and what it says is so.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

use std::fs;
use std::path::{Path, PathBuf};

use plumbline_damage::{EdgeCounter, Effort, Frame, Plumbline, Reader, Take, sweep};

/// Reads the truth: whoever is compared with it is compared with all that there is.
#[derive(Debug)]
struct Knows;

impl Reader for Knows {
    fn name(&self) -> &'static str {
        "truth"
    }

    fn read(&self, take: &Take) -> Vec<Frame> {
        let frames = take.words.iter().map(|word| Frame {
            digits: word.meant.digits(),
            first_edge: word.first_edge(),
        });
        frames.collect()
    }
}

/// A folder of this test's own, empty.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    folder
}

#[test]
fn a_quick_sweep_makes_the_page_with_every_curve_that_it_shows() {
    let folder = folder("sweep");
    let readers: [&dyn Reader; 3] = [&EdgeCounter, &Plumbline, &Knows];
    sweep(&readers, Effort::Quick, &folder).unwrap();
    let page = fs::read_to_string(folder.join("measured.md")).unwrap();
    let shown = pictures(&page);
    assert!(shown.len() > 20, "{} curves", shown.len());
    for name in shown {
        let svg = fs::read_to_string(folder.join(name)).unwrap();
        assert!(
            svg.starts_with("<svg") && svg.ends_with("</svg>\n"),
            "{name}"
        );
        assert!(!svg.contains("NaN") && !svg.contains("inf"), "{name}");
        assert!(
            svg.matches("class=\"line s").count() >= 4,
            "{name} has curves and their key"
        );
    }
    for row in page.lines().filter(|line| line.starts_with("| ")) {
        assert!(!row.contains("not measured"), "{row}");
    }
    everything_is_measured(&page);
}

/// Each row of figures: setting, codewords, and share, wrong, position for each reader.
fn everything_is_measured(page: &str) {
    let mut rows = 0;
    let (before, after) = page.split_once("## Sound without code").unwrap();
    for row in before.lines().filter(|line| line.starts_with("| ")) {
        let cells: Vec<&str> = row.split('|').map(str::trim).collect();
        if let Ok(words) = cells[2].parse::<u32>() {
            rows += 1;
            // The truth has everything right, and nothing wrong.
            let all = if words == 0 { "–" } else { "100.0" };
            assert_eq!(cells[9..11], [all, "0"], "{row}");
        }
    }
    assert!(rows > 130, "{rows} rows");
    for row in after
        .lines()
        .filter(|line| line.starts_with("| ") && !line.contains("sound"))
    {
        assert!(
            row.ends_with("| 0 |"),
            "the truth of no code is no frame: {row}"
        );
    }
}

/// The files that a page of Markdown shows.
fn pictures(page: &str) -> Vec<&str> {
    let links = page.split("](").skip(1);
    let files = links.filter_map(|link| link.split(')').next());
    files
        .filter(|file| file.to_ascii_lowercase().ends_with(".svg"))
        .collect()
}

/// The chapter and the page of tables show only what is there, and all that is there is shown.
#[test]
fn the_documentation_has_every_picture_that_it_shows() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/receiver");
    let mut shown = Vec::new();
    for page in ["README.md", "measured.md"] {
        let text = fs::read_to_string(folder.join(page)).unwrap();
        shown.extend(pictures(&text).into_iter().map(str::to_owned));
    }
    for name in &shown {
        assert!(
            folder.join(name).is_file(),
            "{name} is missing: run scripts/sweep"
        );
    }
    for entry in fs::read_dir(&folder).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let seen = shown.contains(&name) || !name.to_ascii_lowercase().ends_with(".svg");
        assert!(seen, "nobody shows {name}");
    }
}
