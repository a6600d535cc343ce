//! `form` and `labels` as commands, and labels held against a list.

use coldcheck::engine::{Request, read_site};
use coldcheck::labels::{Label, of_site, sheet};
use coldcheck::print::Paper;
use coldcheck::profile::ASSUMED;
use coldcheck::read::{RawSheet, ReadError};
use coldcheck_tests::forms::camera::jpeg;
use coldcheck_tests::forms::raster::{Canvas, whole};
use coldcheck_tests::program::{err, folder, out, run, run_in};
use std::fs;

const SHEETS: [&str; 2] = ["cables.csv", "settings.txt"];

#[test]
fn a_form_is_written_once_and_not_over_another_file() {
    let folder = folder("form");
    let output = run_in(&folder, &["form", "--units", "4", "-o", "form.pdf"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(err(&output).contains("1 sheet of A4"), "{}", err(&output));
    let bytes = fs::read(folder.join("form.pdf")).expect("written");
    assert!(
        bytes.starts_with(b"%PDF-1.") && bytes.ends_with(b"%%EOF\n") || bytes.ends_with(b"%%EOF")
    );
    let again = run_in(&folder, &["form", "--units", "4", "-o", "form.pdf"]);
    assert_eq!(again.status.code(), Some(2));
    let same = run_in(&folder, &["form", "--units", "4"]);
    assert_eq!(same.stdout, bytes, "the same form gives the same bytes");
}

#[test]
fn several_sheets_as_svg_are_several_files() {
    let folder = folder("form-svg");
    let arguments = ["form", "--units", "32", "--format", "svg", "--paper", "letter"];
    assert_eq!(
        run_in(&folder, &arguments).status.code(),
        Some(2),
        "one stream holds no four sheets"
    );
    let output = run_in(&folder, &[&arguments[..], &["-o", "form.svg"]].concat());
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    for sheet in 1..=4 {
        let text = fs::read_to_string(folder.join(format!("form-{sheet}.svg"))).expect("written");
        assert!(text.contains(&format!("sheet {sheet} of 4")));
        assert!(text.contains("Before touching anything"));
    }
}

#[test]
fn a_profile_that_has_no_such_group_has_no_form() {
    let output = run(&["form", "--units", "1"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("min units"), "{}", err(&output));
}

#[test]
fn labels_are_written_for_a_site() {
    let output = run(&["labels", SHEETS[0], SHEETS[1], "--format", "svg"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let svg = out(&output);
    // Cable 3 has two ends: its name stands on two labels.
    assert_eq!(svg.matches(">3</text>").count(), 2);
    assert!(svg.contains("Before touching anything"));
}

/// The labels of the village clinic, and a picture of the first few.
fn pictured() -> (Vec<Label>, Vec<u8>) {
    let case = coldcheck_tests::paths::tests().join("cases/02-village-clinic");
    let file = |name: &str| RawSheet {
        name: name.to_owned(),
        bytes: fs::read(case.join(name)).expect("there"),
    };
    let load =
        |name: &str| -> Result<String, ReadError> { Err(ReadError::file(name, "none", ASSUMED)) };
    let files = SHEETS.map(file);
    let site =
        read_site(&Request { files: &files, profile: None, scope: None, load_profile: &load });
    let (labels, left_out) = of_site(&site.expect("a site"));
    assert!(left_out.is_empty(), "{left_out:?}");
    let page = sheet::pages(&labels, Paper::A4, "clinic").expect("short words").remove(0);
    let picture = Canvas::of(&page, 8.0).picture;
    let few = picture.part(0, 0, picture.width(), whole(72.0 * 8.0));
    (labels, jpeg(&few, 85))
}

#[test]
fn a_photographed_label_is_held_against_the_list() {
    let folder = folder("labels");
    let (labels, picture) = pictured();
    fs::write(folder.join("labels.jpg"), picture).expect("writable");
    let case = coldcheck_tests::paths::tests().join("cases/02-village-clinic");
    for name in SHEETS {
        fs::copy(case.join(name), folder.join(name)).expect("writable");
    }
    let arguments = ["labels", SHEETS[0], SHEETS[1], "--held", "labels.jpg"];
    let output = run_in(&folder, &arguments);
    assert_eq!(output.status.code(), Some(0), "{} {}", out(&output), err(&output));
    let first = &labels[0];
    assert!(out(&output).contains(&format!("cable {}", first.cable)), "{}", out(&output));
    let words = out(&output).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("agrees with the list"), "{words}");
    // The list is changed afterwards: the label in the picture is an old one.
    let list = fs::read_to_string(folder.join(SHEETS[0])).expect("there");
    let changed = list.replacen("can 1 port A", "can 1 port B", 1);
    assert_ne!(list, changed);
    fs::write(folder.join(SHEETS[0]), changed).expect("writable");
    let output = run_in(&folder, &arguments);
    assert_eq!(output.status.code(), Some(1), "{}", out(&output));
    assert!(out(&output).contains("DIFFERS"), "{}", out(&output));
}

#[test]
fn a_picture_without_a_label_is_refused() {
    let folder = folder("no-label");
    let white = coldcheck::picture::Grey::filled(400, 300, [255]);
    fs::write(folder.join("white.jpg"), jpeg(&white, 80)).expect("writable");
    fs::write(folder.join("list.csv"), "cable,from,to\nP1,unit 1 A,unit 2 B\n").expect("writable");
    let output = run_in(&folder, &["labels", "list.csv", "--held", "white.jpg"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("no label of ours"), "{}", err(&output));
}
