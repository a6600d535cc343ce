//! The sheet to sign: what stands on it, and that it is one page of paper.

use coldcheck::engine::{Request, examine};
use coldcheck::powerup::{Today, outline, progress, steps, told, way_down};
use coldcheck::profile::{ASSUMED, builtin};
use coldcheck::readings::Reading;
use coldcheck::render::html::{FirstPage, Made, one_page};
use coldcheck::tidy;
use coldcheck_tests::golden::day;
use coldcheck_tests::powerup::{CABLES, HASH, Kind, WHOLE, all_right, files, reading};
use coldcheck_tests::{browser, paths, tools};
use std::fmt::Write;
use std::fs;
use std::process::Command;

/// The whole site with so many units, as settings and cable list.
fn grown(units: usize) -> (String, String) {
    let is_unit = |line: &&str| line.starts_with("unit ");
    let lines: Vec<&str> = WHOLE.lines().filter(|line| !is_unit(line)).collect();
    let mut text = lines.join("\n") + "\n";
    let mut cables = "cable,from,to,kind\n".to_owned();
    for unit in 1..=units {
        let role = if unit == 1 { "coordinator" } else { "follower" };
        let end = if unit == 1 || unit == units { "on" } else { "off" };
        let _ = writeln!(
            text,
            "unit {unit} = {role}, addr {unit}, count {units}, fw 2.14, term {end}, bank A, serial \
             A-2027-00{unit}, mode parallel, frequency 60 Hz"
        );
        if unit > 1 {
            let _ = writeln!(cables, "P{unit},unit {} B,unit {unit} A,link", unit - 1);
        }
    }
    let text = if units < 2 { text.replace("; roof west -> unit 2", "") } else { text };
    (text, cables)
}

/// The sheet of a site, under these readings of its steps.
fn sheet(texts: &[&str], taken: impl Fn(&[coldcheck::powerup::Step]) -> Vec<Reading>) -> String {
    let files = files(texts);
    let request =
        Request { files: &files, profile: None, scope: None, load_profile: &|_| unreachable!() };
    let (site, diagnosis) = examine(&request).expect("the sheets can be read");
    let shape = tidy::shape(&site, &request).expect("there are words for every fact");
    let steps = steps(&site, &shape);
    let readings = taken(&steps);
    let has_danger = diagnosis.dangers().next().is_some();
    let told = told::Told {
        site: &site,
        diagnosis: &diagnosis,
        steps: &steps,
        progress: progress(&steps, &readings, Today { hash: HASH, has_danger, now: None }),
        readings: &readings,
        way_down: &way_down(&site, &shape),
        hash: HASH,
        remarks: Vec::new(),
    };
    let made = Made { sheets: &files, profile: builtin(ASSUMED).expect("built in"), day: day() };
    let outline = outline(&site, &shape);
    one_page(&site, &made, FirstPage { told: &told, outline: &outline })
}

#[test]
fn without_readings_it_says_not_commissioned_and_with_them_what_was_read() {
    let bare = sheet(&[WHOLE, CABLES], |_| Vec::new());
    assert!(bare.contains("NOT COMMISSIONED") && bare.contains("0 of "));
    let whole = sheet(&[WHOLE, CABLES], all_right);
    assert!(!whole.contains("NOT COMMISSIONED"));
    for words in [
        "The way down",
        "isolator of roof east",
        "absence of voltage",
        "phasing: across the open breaker",
        "sensors: leg, direction, ratio and rating: ct l1",
        "changeover both ways: to battery",
        "share of the load",
        "1 meter 2",
        "03-01 09:12 RK 1",
        "Handed over to",
        "Before touching anything",
    ] {
        assert!(whole.contains(words), "{words}");
    }
    assert!(!whole.to_lowercase().contains("is safe") || whole.contains("do not say"));
    let failed = sheet(&[WHOLE, CABLES], |steps| {
        let kind = |at: usize| if at == 6 { Kind::Wrong } else { Kind::Right };
        let first = steps.iter().take(7).enumerate();
        first.filter_map(|(at, step)| reading(step, kind(at))).collect()
    });
    assert!(failed.contains("<strong>1.5!</strong>") && failed.contains("1 not as expected"));
    let crossed = WHOLE.to_owned() + "unit 3 ac out = except L1<->L2\n";
    assert!(sheet(&[&crossed, CABLES], |_| Vec::new()).contains("STOP: "));
}

#[test]
fn a_step_of_several_readings_says_how_many_were_taken_and_what_was_wrong_before() {
    let own_bar = |sheet: &str| {
        let row = sheet.split("<tr").find(|row| row.contains("each conductor to its own bar"));
        row.expect("the row").to_owned()
    };
    let until = |id: &'static str| {
        move |steps: &[coldcheck::powerup::Step]| {
            let end = coldcheck_tests::powerup::position(steps, id);
            all_right(&steps[..=end])
        }
    };
    let part = own_bar(&sheet(&[WHOLE, CABLES], until("own-bar-unit-1-l1")));
    assert!(part.contains("(1 of 3, not L2 N)"), "{part}");
    let whole = own_bar(&sheet(&[WHOLE, CABLES], all_right));
    assert!(!whole.contains(" of 3"), "{whole}");
    let again = sheet(&[WHOLE, CABLES], |steps| {
        let last = coldcheck_tests::powerup::position(steps, "dead-bars");
        let mut readings = all_right(&steps[..last]);
        readings.push(reading(&steps[last], Kind::Wrong).expect("a reading"));
        readings.extend(all_right(steps));
        readings
    });
    assert!(again.contains("(before: 4.5)"));
}

#[test]
#[ignore = "needs Chromium, node and poppler; cargo dev test runs it"]
fn up_to_six_units_are_one_page_of_paper() {
    let folder = paths::scratch("sheets");
    for file in fs::read_dir(&folder).expect("the folder").flatten() {
        fs::remove_file(file.path()).expect("an old file");
    }
    for units in 1..=6 {
        let (text, cables) = grown(units);
        let html = sheet(&[&text, &cables], all_right);
        fs::write(folder.join(format!("read-{units}.html")), html).expect("written");
        let html = sheet(&[&text, &cables], |_| Vec::new());
        fs::write(folder.join(format!("bare-{units}.html")), html).expect("written");
    }
    let wrong = browser::look(&folder);
    assert!(wrong.is_empty(), "{} faults:\n{}", wrong.len(), wrong.join("\n"));
    let mut printed = 0;
    for file in fs::read_dir(&folder).expect("the folder").flatten() {
        if file.path().extension().is_some_and(|end| end == "pdf") {
            let output = tools::run(Command::new("pdfinfo").arg(file.path()));
            let told = String::from_utf8_lossy(&output.stdout).into_owned();
            let pages = told.lines().find_map(|line| line.strip_prefix("Pages:"));
            assert_eq!(pages.map(str::trim), Some("1"), "{}", file.path().display());
            let size = told.lines().find_map(|line| line.strip_prefix("Page size:")).unwrap_or("");
            assert!(size.contains("A4"), "{size}");
            printed += 1;
        }
    }
    assert_eq!(printed, 12);
}
