//! `coldcheck` alone: where the site of a folder stands on the way through a job day.

use coldcheck::engine::{Request, examine};
use coldcheck::powerup::{progress, told, way_down};
use coldcheck::readings::Reading;
use coldcheck::sizing::site::Sizes;
use coldcheck::tidy;
use coldcheck::way::{Standing, Station, next, way};
use coldcheck_tests::powerup::{CABLES, HASH, SOUND, WHOLE, all_right, files, steps_of};
use coldcheck_tests::program::{err, folder, out, run_in};
use std::fs;

/// The stations of a site, its steps read as far as this.
fn stations(text: &str, read: impl Fn(&str) -> bool) -> Vec<Station> {
    let files = files(&[text, CABLES]);
    let request =
        Request { files: &files, profile: None, scope: None, load_profile: &|_| unreachable!() };
    let (site, diagnosis) = examine(&request).expect("the sheets can be read");
    let shape = tidy::shape(&site, &request).expect("there are words for every fact");
    let (_, steps, has_danger) = steps_of(&[text, CABLES]);
    let is_read = |reading: &Reading| reading.step.as_ref().is_some_and(|step| read(&step.text));
    let readings: Vec<Reading> = all_right(&steps).into_iter().filter(is_read).collect();
    let way_down = way_down(&site, &shape);
    let today = coldcheck::powerup::Today { has_danger, ..SOUND };
    let told = told::Told {
        site: &site,
        diagnosis: &diagnosis,
        steps: &steps,
        progress: progress(&steps, &readings, today),
        readings: &readings,
        way_down: &way_down,
        hash: HASH,
        remarks: Vec::new(),
    };
    let sizes = Sizes::of(&site, &diagnosis).expect("a plan");
    way(&told, &sizes.sheet)
}

fn standing(way: &[Station], command: &str) -> Vec<Standing> {
    way.iter().filter(|one| one.command == command).map(|one| one.standing).collect()
}

#[test]
fn a_sheet_of_sizes_is_a_sheet_and_a_page_of_notes_is_none() {
    let here = folder("way-sizes");
    let lines: Vec<&str> = WHOLE.lines().collect();
    let of_group = |line: &&&str| line.starts_with("supply system");
    let units: Vec<&str> = lines.iter().filter(|line| !of_group(line)).copied().collect();
    fs::write(here.join("cables.csv"), CABLES).expect("writable");
    fs::write(here.join("units.txt"), units.join("\n")).expect("writable");
    let sizes: Vec<&str> = lines.iter().filter(of_group).copied().collect();
    assert!(!sizes.is_empty());
    fs::write(here.join("sizes.txt"), sizes.join("\n")).expect("writable");
    let notes = "Bring the ladder.\nAsk for the key.\nsite = the mill\n";
    fs::write(here.join("notes.txt"), notes).expect("writable");
    let told = out(&run_in(&here, &[]));
    assert!(told.contains("no sheets: notes.txt"), "{told}");
}

#[test]
fn the_day_goes_from_design_to_the_sheet() {
    use Standing::{Done, Open, Waits};
    let nothing = stations(WHOLE, |_| false);
    assert_eq!(standing(&nothing, "powerup"), [Open, Waits]);
    assert_eq!(standing(&nothing, "meter"), [Waits]);
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    let dead: Vec<&str> =
        steps.iter().filter(|step| step.stage.is_dead()).map(|step| step.id.as_str()).collect();
    let half = stations(WHOLE, |step| dead.contains(&step));
    assert_eq!(standing(&half, "powerup"), [Done, Open]);
    assert_eq!((standing(&half, "meter"), standing(&half, "report")), (vec![Done], vec![Waits]));
    let all = stations(WHOLE, |_| true);
    assert_eq!(standing(&all, "changeover"), [Done]);
    assert_eq!(standing(&all, "sensors"), [Done]);
    // This site has findings that are no danger; without them only the sheet is left.
    assert_eq!(standing(&all, "report"), [Open]);
    let last = all.iter().filter(|one| one.part != coldcheck::way::Part::Design);
    let last: Vec<Station> = last.cloned().collect();
    assert_eq!(next(&last).map(|one| one.command), Some("report"));
}

#[test]
fn a_danger_keeps_what_is_live_waiting() {
    let crossed = WHOLE.to_owned() + "unit 3 ac out = except L1<->L2\n";
    let way = stations(&crossed, |_| true);
    assert_eq!(standing(&way, "check"), [Standing::Stop]);
    assert_eq!(standing(&way, "powerup"), [Standing::Done, Standing::Waits]);
    assert_eq!(next(&way).map(|one| one.command), Some("mend"));
}

#[test]
fn a_folder_is_looked_through_and_nothing_is_written() {
    let folder = folder("way");
    let empty = run_in(&folder, &[]);
    assert_eq!(empty.status.code(), Some(0));
    assert!(out(&empty).contains("coldcheck new"), "{}", out(&empty));
    fs::write(folder.join("settings.txt"), WHOLE).expect("writable");
    fs::write(folder.join("cables.csv"), CABLES).expect("writable");
    fs::write(folder.join("notes.txt"), "ladder, tea, spare fuses\n").expect("writable");
    let taken = run_in(
        &folder,
        &[
            &["powerup", "settings.txt", "cables.csv", "--readings", "first day.jsonl"][..],
            &["--by", "RK", "--instrument", "meter 2", "--take", "locked-off=yes"],
        ]
        .concat(),
    );
    assert_eq!(taken.status.code(), Some(4));
    let report = run_in(&folder, &["check", "settings.txt", "--format", "json"]);
    fs::write(folder.join("check.json"), out(&report)).expect("writable");
    let before = fs::read_dir(&folder).expect("a folder").count();
    let text = out(&run_in(&folder, &[]));
    assert!(text.contains("sheets here: cables.csv and settings.txt"), "{text}");
    assert!(text.contains("no sheets: notes.txt"), "{text}");
    assert!(text.contains("1 of ") && text.contains("dead tests passed"), "{text}");
    assert!(!text.contains("check.json"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    assert_eq!(fs::read_dir(&folder).expect("a folder").count(), before);
    // Its next command does what it says.
    let next = text.split("next: ").nth(1).and_then(|rest| rest.lines().next()).expect("a next");
    let words: Vec<&str> = next.split_whitespace().skip(1).collect();
    let code = run_in(&folder, &words).status.code();
    assert!(code.is_some_and(|code| code != 2), "{next}: {code:?}");
}

/// What was saved of an answer, and what was made of the sheets, is no sheet beside them.
#[test]
fn saved_answers_and_written_sites_are_left_out_and_said() {
    let folder = folder("way-strays");
    let files = ["settings.txt", "cables.csv"];
    fs::write(folder.join(files[0]), WHOLE).expect("writable");
    fs::write(folder.join(files[1]), CABLES).expect("writable");
    let clean = out(&run_in(&folder, &[]));
    for (command, name) in [("check", "o1.txt"), ("powerup", "o2.txt"), ("tidy", "tidied.toml")] {
        let told = out(&run_in(&folder, &[command, files[0], files[1]]));
        fs::write(folder.join(name), told).expect("writable");
    }
    let text = out(&run_in(&folder, &[]));
    assert!(text.contains("sheets here: cables.csv and settings.txt"), "{text}");
    assert!(
        text.contains("left out: tidied.toml") && text.contains("no sheets: o1.txt and o2.txt"),
        "{text}"
    );
    let check = |text: &str| {
        let line = text.lines().find(|line| line.contains("] check")).expect("a line");
        line.to_owned()
    };
    assert_eq!(check(&text), check(&clean));
    // Alone it is the site.
    for name in files {
        fs::remove_file(folder.join(name)).expect("there");
    }
    let text = out(&run_in(&folder, &[]));
    assert!(text.contains("sheets here: tidied.toml"), "{text}");
}

/// What is left out of a sheet is told first, also where little is told.
#[test]
fn what_is_not_understood_and_what_is_assumed_stand_in_the_head() {
    let folder = folder("way-left-out");
    let text = WHOLE.to_owned() + "blub flux = 3\nct 3 rating = 200 A\n";
    fs::write(folder.join("settings.txt"), text).expect("writable");
    for more in [&[][..], &["-q"]] {
        let told = out(&run_in(&folder, &[&["check", "settings.txt"], more].concat()));
        let head = told.split("\n\n").next().expect("a head");
        let head = head.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(head.contains("1 entry of the sheets is NOT UNDERSTOOD"), "{head}");
        assert!(
            head.contains("assumed: the number of a sensor is that of its leg (CT L3)"),
            "{head}"
        );
    }
    let drawn = out(&run_in(&folder, &["draw", "settings.txt"]));
    assert!(drawn.contains("NOT UNDERSTOOD"));
    fs::write(folder.join("cables.csv"), CABLES).expect("writable");
    let sheets = ["settings.txt", "cables.csv"];
    for command in ["size", "mend", "meter", "powerup"] {
        let told = out(&run_in(&folder, &[&[command], &sheets[..]].concat()));
        assert!(told.contains("NOT UNDERSTOOD"), "{command}: {told}");
        let told =
            out(&run_in(&folder, &[&[command], &sheets[..], &["--format", "json"]].concat()));
        let told: serde_json::Value = serde_json::from_str(&told).expect("JSON");
        assert_eq!(told["not_understood"][0]["text"], "blub flux = 3", "{command}: {told}");
    }
    let image = run_in(&folder, &[&["image"], &sheets[..], &["-o", "plan.bin"]].concat());
    assert!(err(&image).contains("NOT UNDERSTOOD"), "{}", err(&image));
}

/// Nobody dials in what a finding says is wrong.
#[test]
fn a_setting_that_a_finding_disputes_is_marked() {
    let folder = folder("way-disputed");
    let text = WHOLE.replace("unit 3 = follower, addr 3", "unit 3 = follower, addr 2");
    fs::write(
        folder.join("settings.txt"),
        text.replace("addr 2, count 3, fw 2.14, term off", "addr 2, count 3, fw 2.14, term on"),
    )
    .expect("writable");
    fs::write(folder.join("cables.csv"), CABLES).expect("writable");
    let told = out(&run_in(&folder, &["size", "settings.txt", "cables.csv"]));
    let dials = told.split("Settings to dial in").nth(1).expect("settings");
    let dials = dials.split_whitespace().collect::<Vec<_>>().join(" ");
    let of = |unit: &str| {
        let rest = dials.split(&format!("{unit}: ")).nth(1).expect("its settings");
        rest.split(" unit ").next().expect("its settings").to_owned()
    };
    for unit in ["unit 2", "unit 3"] {
        let says = "address 2 (NOT AS IT STANDS: address-duplicate says it is wrong)";
        assert!(of(unit).contains(says), "{dials}");
    }
    assert!(of("unit 2").contains("terminator on (NOT AS IT STANDS: term-"), "{dials}");
    assert!(!of("unit 1").contains("NOT AS IT STANDS"), "{dials}");
}

/// Beside the settings that name its units, a list of cables is a sheet, whatever they are called.
#[test]
fn a_list_that_only_the_settings_explain_is_taken() {
    let folder = folder("way-names");
    let named = |text: &str| {
        let names = [("unit 1", "alder"), ("unit 2", "birch"), ("unit 3", "cedar")];
        names.iter().fold(text.to_owned(), |text, (unit, name)| text.replace(unit, name))
    };
    fs::write(folder.join("settings.txt"), named(WHOLE)).expect("writable");
    fs::write(folder.join("cables.csv"), named(CABLES)).expect("writable");
    fs::write(folder.join("notes.txt"), "ladder, tea, spare fuses\n").expect("writable");
    let text = out(&run_in(&folder, &[]));
    assert!(text.contains("sheets here: cables.csv and settings.txt"), "{text}");
    assert!(text.contains("no sheets: notes.txt"), "{text}");
}
