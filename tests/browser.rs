//! Drawings and reports in a browser: words where they were measured to be, nothing fetched, nothing
//! run, readable by a screen reader, and printed without a finding cut in two.
//!
//! Ignored in a plain `cargo test`, because it needs Chromium, node and poppler; `cargo dev test`
//! sets those up and runs it.

use coldcheck::draw::{Parts, Width, draw};
use coldcheck::profile::{ASSUMED, builtin};
use coldcheck::render::html::{Made, report};
use coldcheck_tests::drawings::{self, Named};
use coldcheck_tests::generate::rounds;
use coldcheck_tests::golden::day;
use coldcheck_tests::{browser, paths, tools};
use std::fs;
use std::path::Path;
use std::process::Command;

/// Sites that are looked at: some cases, large ones, tangles, hostile names.
fn sites() -> Vec<Named> {
    // `COLDCHECK_ROUNDS=1` shows it every case.
    let cases = drawings::of_cases().into_iter().step_by(usize::try_from(rounds(12)).expect("few"));
    let new = drawings::new_ones().into_iter().filter(|named| named.name == "new plain 32");
    let hostile = drawings::hostile().into_iter().take(3);
    let tangled = drawings::tangled().into_iter().filter(|named| named.name == "loops");
    cases.chain(new).chain(hostile).chain(tangled).collect()
}

#[test]
#[ignore = "needs Chromium, node and poppler; cargo dev test runs it"]
fn a_browser_shows_and_prints_them_well() {
    let folder = paths::scratch("browser");
    for file in fs::read_dir(&folder).expect("the folder").flatten() {
        fs::remove_file(file.path()).expect("an old file");
    }
    for named in sites() {
        let (site, diagnosis) = named.examine();
        let name = named.name.replace(' ', "-");
        for width in Width::ALL {
            let svg = draw(&site, &diagnosis, width, Parts::Whole).svg();
            fs::write(folder.join(format!("{name}-{width:?}.svg")), svg).expect("written");
        }
        let profile = builtin(ASSUMED).expect("built in");
        let made = Made { sheets: &named.sheets, profile, day: day() };
        let html = report(&site, &diagnosis, &made, &[], None);
        fs::write(folder.join(format!("{name}.html")), html).expect("written");
    }
    let wrong = browser::look(&folder);
    assert!(wrong.is_empty(), "{} faults:\n{}", wrong.len(), wrong.join("\n"));
    let mut printed = 0;
    for file in fs::read_dir(&folder).expect("the folder").flatten() {
        if file.path().extension().is_some_and(|end| end == "pdf") {
            printed += 1;
            no_finding_is_cut(&file.path());
        }
    }
    assert_eq!(printed, sites().len());
}

/// On every page the first words of a finding come before its last, and the other way round at the
/// end: none begins on one page and ends on the next.
fn no_finding_is_cut(pdf: &Path) {
    let output = tools::run(Command::new("pdftotext").arg("-layout").arg(pdf).arg("-"));
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    for (number, page) in text.split('\u{c}').enumerate() {
        let mut is_open = false;
        for line in page.lines() {
            let (begins, ends) = (line.trim_start().starts_with("why "), line.contains("Done by"));
            let at = format!("{}, page {}: {line}", pdf.display(), number + 1);
            if begins {
                assert!(!is_open, "{at}");
                is_open = true;
            } else if ends {
                assert!(is_open, "{at}");
                is_open = false;
            }
        }
        assert!(!is_open, "{}, page {}", pdf.display(), number + 1);
    }
}
