//! `coldcheck changed`: every single change of a site, and the tests that it asks for again.

use coldcheck::changed::{Changed, Kind, State, title};
use coldcheck::diagnosis::Diagnosis;
use coldcheck::engine::{Request, Site, examine};
use coldcheck::powerup::steps;
use coldcheck::site_file::SiteFile;
use coldcheck::tidy;
use coldcheck_tests::paths;
use coldcheck_tests::powerup::{BARE, CABLES, THREE_PHASE, WHOLE, files, steps_of};
use coldcheck_tests::program::{err, folder, out, run_in};
use std::collections::BTreeSet;
use std::fs;

struct Read {
    site: Site,
    shape: SiteFile,
    diagnosis: Diagnosis,
}

impl Read {
    fn of(texts: &[&str]) -> Self {
        let files = files(texts);
        let request = Request {
            files: &files,
            profile: None,
            scope: None,
            load_profile: &|_| unreachable!(),
        };
        let (site, diagnosis) = examine(&request).expect("the sheets can be read");
        let shape = tidy::shape(&site, &request).expect("there are words for every fact");
        Self { site, shape, diagnosis }
    }

    fn state(&self) -> State<'_> {
        State { site: &self.site, shape: &self.shape, diagnosis: &self.diagnosis }
    }
}

fn between(old: &[&str], new: &[&str]) -> Changed {
    Changed::of(Read::of(old).state(), Read::of(new).state())
}

/// What is written instead of what; what happened; and what must be tested again, each kind with the
/// things that it is of, none for all of its kind.
struct Row {
    name: &'static str,
    edits: &'static [(&'static str, &'static str)],
    happened: &'static [&'static str],
    again: &'static [(&'static str, &'static [&'static str])],
}

/// After whatever is wired anew.
const WIRED: [&str; 15] = [
    "locked-off",
    "dead",
    "warm",
    "cold-start",
    // All is off for the work: what was switched on before is switched on once more.
    "made-ready",
    "pre-charge",
    "battery-closed",
    "all-started",
    "bar-dead",
    "closed",
    "own-side",
    "bar-side",
    "across",
    "circulating",
    "supply-taken",
];

/// After whatever is changed about the link.
const LINKED: &[(&str, &[&str])] = &[
    ("pair", &[]),
    ("link-heard", &[]),
    ("own-side", &[]),
    ("bar-side", &[]),
    ("across", &[]),
    ("circulating", &[]),
];

/// Reviewed by hand: what a person of the trade would test again (common practice, no source).
const TABLE: &[Row] = &[
    Row {
        name: "a unit exchanged",
        edits: &[("serial A2", "serial B2")],
        happened: &["unit 2 is exchanged: serial A2, now B2"],
        again: &[
            ("earth", &["unit-2"]),
            ("bond-closed", &[]),
            ("bond-opened", &[]),
            ("own-bar", &["unit-2-l1", "unit-2-l2", "unit-2-n"]),
            ("other-bars", &["unit-2-l1", "unit-2-l2", "unit-2-n"]),
            ("input-own", &["unit-2-l1", "unit-2-l2", "unit-2-n"]),
            ("input-others", &["unit-2-l1", "unit-2-l2", "unit-2-n"]),
            ("fed-back", &[]),
            ("battery-bars", &[]),
            ("battery-lead", &["unit-2"]),
            ("pair", &[]),
            ("torque", &["unit-2"]),
            ("insulation", &["unit-2"]),
            ("made-ready", &[]),
            ("polarity", &[]),
            ("pre-charge", &[]),
            ("battery-closed", &[]),
            ("alone", &["unit-2-l1", "unit-2-l2"]),
            ("hertz", &["unit-2"]),
            ("all-started", &[]),
            ("read-back", &[]),
            ("link-heard", &[]),
            ("share", &[]),
            ("sensor", &[]),
            ("input-live", &["unit-2-l1", "unit-2-l2"]),
            // Of two inputs that meet, also the one that the others are held against.
            ("input", &["unit-2-l1", "unit-2-l2"]),
            ("supply-taken", &[]),
            ("changeover", &[]),
            ("bond-in-position", &[]),
            // A unit gives its own current into a fault to earth.
            ("local-code", &[]),
        ],
    },
    Row {
        name: "firmware of one unit",
        edits: &[("serial A3, count 3, fw 2.14", "serial A3, count 3, fw 2.15")],
        happened: &["unit 3 is updated: firmware 2.14, now 2.15"],
        again: &[("read-back", &[]), ("link-heard", &[]), ("cold-start", &[])],
    },
    Row {
        name: "an address",
        edits: &[("addr 3", "addr 9")],
        happened: &["unit 3 address: 3, now 9"],
        again: &[
            ("all-started", &[]),
            ("read-back", &["unit-3"]),
            ("link-heard", &[]),
            ("supply-taken", &[]),
            ("cold-start", &[]),
        ],
    },
    Row {
        name: "a link cable moved",
        edits: &[("P2,unit 2 B,unit 3 A", "P2,unit 2 B,unit 3 B")],
        happened: &["cable P2 is moved: unit 2 B to unit 3 A, now unit 2 B to unit 3 B"],
        // Whoever does not hear the others does not follow them: phasing too.
        again: LINKED,
    },
    Row {
        name: "a terminator",
        edits: &[("fw 2.14, term off", "fw 2.14, term on")],
        happened: &["unit 2 terminator: off, now on"],
        // Whoever does not hear the others does not follow them: phasing too.
        again: LINKED,
    },
    Row {
        name: "a sensor's rating",
        edits: &[("ct L2 rating = 200 A", "ct L2 rating = 400 A")],
        happened: &["CT L2 rating: 200 A, now 400 A"],
        again: &[("sensor", &["ct-l2"])],
    },
    Row {
        name: "a sensor moved",
        edits: &[("ct L2 rating = 200 A", "ct L2 rating = 200 A\nct L2 place = load")],
        happened: &["CT L2 is moved: place not stated, now load side"],
        again: &[("sensor", &["ct-l2"])],
    },
    Row {
        name: "a bond",
        edits: &[("main board (fixed)", "generator frame (fixed)")],
        happened: &["neutral-earth bond: main board (fixed), now generator frame (fixed)"],
        again: &[
            ("bond-closed", &[]),
            ("bond-opened", &[]),
            ("made-ready", &[]),
            ("changeover", &[]),
            ("bond-in-position", &[]),
            ("local-code", &[]),
        ],
    },
    Row {
        name: "an array moved",
        edits: &[("roof west -> unit 2", "roof west -> unit 3")],
        happened: &[
            "pv: roof east -> unit 1; roof west -> unit 2, now roof east -> unit 1; roof west -> unit 3",
        ],
        again: &[("solar", &[])],
    },
    Row {
        name: "a pack exchanged for another",
        edits: &[("pack 2 resistance = 20 mohm", "pack 2 resistance = 25 mohm")],
        happened: &["pack 2 resistance: 0.02 ohm, now 0.025 ohm"],
        again: &[
            ("battery-difference", &[]),
            ("battery-bars", &[]),
            ("made-ready", &[]),
            ("polarity", &[]),
            ("pre-charge", &[]),
            ("battery-closed", &[]),
        ],
    },
    Row {
        name: "a limit",
        edits: &[("unit 1 = coordinator,", "unit 1 = coordinator, charge limit 80 A,")],
        happened: &["unit 1 charge limit: not stated, now 80 A"],
        again: &[
            ("all-started", &[]),
            ("read-back", &["unit-1"]),
            ("link-heard", &[]),
            ("supply-taken", &[]),
            ("cold-start", &[]),
        ],
    },
    Row {
        name: "the name of the site",
        edits: &[("orchard pump house", "orchard pumps")],
        happened: &["site: orchard pump house, now orchard pumps"],
        again: &[],
    },
];

#[test]
fn every_single_change_asks_for_its_tests() {
    // Serial numbers are stated, so that an exchange is one.
    let mut whole = WHOLE.to_owned();
    for unit in 1..=3 {
        whole = whole.replace(&format!("addr {unit},"), &format!("addr {unit}, serial A{unit},"));
    }
    for row in TABLE {
        let (mut text, mut cables) = (whole.clone(), CABLES.to_owned());
        for (old, new) in row.edits {
            let before = (text.clone(), cables.clone());
            text = text.replacen(old, new, 1);
            cables = cables.replacen(old, new, 1);
            assert_ne!(before, (text.clone(), cables.clone()), "{}", row.name);
        }
        let changed = between(&[&whole, CABLES], &[&text, &cables]);
        let says: Vec<String> =
            changed.changes.iter().map(coldcheck::changed::Change::says).collect();
        assert_eq!(says, row.happened, "{}", row.name);
        let told: BTreeSet<(String, Vec<String>)> = changed
            .again
            .iter()
            .map(|again| {
                let bare =
                    |step: &String| step[again.kind.len()..].trim_start_matches('-').to_owned();
                let steps = again.steps.iter().map(bare).collect();
                (again.kind.clone(), if again.is_all { Vec::new() } else { steps })
            })
            .collect();
        let mut wanted: BTreeSet<(String, Vec<String>)> = row
            .again
            .iter()
            .map(|(kind, steps)| {
                ((*kind).to_owned(), steps.iter().map(|one| (*one).to_owned()).collect())
            })
            .collect();
        let is_wired = row.again.iter().any(|(kind, _)| {
            !["read-back", "link-heard", "supply-taken", "cold-start", "all-started"].contains(kind)
        });
        // A sensor's leads are no power joint.
        let is_sensor = row.again.iter().all(|(kind, _)| *kind == "sensor");
        if is_wired {
            let more = WIRED.iter().filter(|kind| !(is_sensor && **kind == "warm"));
            wanted.extend(more.map(|kind| ((*kind).to_owned(), Vec::new())));
        }
        assert_eq!(told, wanted, "{}", row.name);
        // Each says why.
        for again in &changed.again {
            assert!(!again.because.is_empty(), "{}: {}", row.name, again.kind);
        }
    }
}

#[test]
fn one_more_unit_and_one_less_are_told_as_such() {
    let more = WHOLE.replace("count 3", "count 4")
        + "unit 4 = follower, addr 4, count 4, fw 2.14, term off, bank A, mode parallel\n\
           unit 4 ac out = straight\n";
    let (added, removed) =
        (between(&[WHOLE, CABLES], &[&more, CABLES]), between(&[&more, CABLES], &[WHOLE, CABLES]));
    let whole = |changed: &Changed| -> Vec<(Kind, String)> {
        let whole = changed.changes.iter().filter(|change| change.key.is_empty());
        whole.map(|change| (change.kind, change.thing.clone())).collect()
    };
    assert_eq!(whole(&added), [(Kind::Added, "unit 4".to_owned())]);
    assert_eq!(whole(&removed), [(Kind::Removed, "unit 4".to_owned())]);
    // Terminators, count, sensor rating, limits, bond, pre-charge, phasing of the new one, firmware.
    for (changed, kinds) in [
        (&added, &["read-back", "sensor", "bond-opened", "pre-charge", "across", "share"][..]),
        (&removed, &["read-back", "sensor", "bond-opened", "pre-charge", "share"]),
    ] {
        for kind in kinds {
            assert!(changed.again.iter().any(|again| again.kind == *kind), "{kind}: {changed:?}");
        }
    }
    // The link is a longer one: phasing of all, and of the new one.
    let across: Vec<&String> = added
        .again
        .iter()
        .filter(|again| again.kind == "across")
        .flat_map(|again| &again.steps)
        .collect();
    assert!(across.iter().any(|step| *step == "across-unit-4-l2"), "{across:?}");
    let rules: Vec<&str> = added.touched.iter().map(|rule| rule.rule().slug).collect();
    for slug in ["term-on-middle-unit", "count-not-equal-fitted", "ct-overrange", "firmware-mixed"]
    {
        assert!(rules.contains(&slug), "{slug}");
    }
}

#[test]
fn the_same_machine_under_another_name_is_renamed() {
    let old = "unit 1 = coordinator, addr 1, serial K1\nunit 2 = follower, addr 2, serial K2\n";
    let changed = between(&[old], &[&old.replace("unit 2", "unit 7")]);
    let told: Vec<Kind> = changed.changes.iter().map(|change| change.kind).collect();
    assert_eq!(told, [Kind::Renamed]);
}

/// A demand is no part of the site; what must be read follows from it all the same.
#[test]
fn a_demand_that_moves_a_band_says_so() {
    let new = WHOLE.replace("max battery voltage = 58 V", "max battery voltage = 56 V");
    let changed = between(&[WHOLE, CABLES], &[&new, CABLES]);
    let polarity = changed.again.iter().find(|again| again.kind == "polarity").expect("again");
    assert_eq!(polarity.because, ["it must be 44 to 56 V, and was 44 to 58 V"]);
}

#[test]
fn order_spelling_and_direction_are_no_change() {
    let turned = "cable,from,to,kind\np2,Unit 3 A,UNIT-2 b,link\nP1,unit 2 A,unit 1 B,link\n";
    let lines: Vec<&str> = WHOLE.lines().rev().collect();
    let changed = between(&[WHOLE, CABLES], &[&lines.join("\n"), turned]);
    assert_eq!((changed.changes.as_slice(), changed.again.as_slice()), (&[][..], &[][..]));
}

#[test]
fn every_kind_of_step_has_words() {
    for texts in [&[WHOLE, CABLES][..], &[THREE_PHASE], &[BARE]] {
        for step in steps_of(texts).1 {
            assert_ne!(title(&step.kind), title("none"), "{}", step.kind);
        }
    }
    let read = Read::of(&[WHOLE]);
    assert!(!steps(&read.site, &read.shape).is_empty());
}

#[test]
fn the_command_answers_in_words_and_under_its_schema() {
    let folder = folder("changed");
    let put = |state: &str, settings: &str| {
        fs::create_dir_all(folder.join(state)).expect("writable");
        fs::write(folder.join(state).join("settings.txt"), settings).expect("writable");
        fs::write(folder.join(state).join("cables.csv"), CABLES).expect("writable");
    };
    put("old", WHOLE);
    put("same", &WHOLE.replace("unit 2 = follower", "UNIT 2 = follower"));
    put("new", &WHOLE.replace("fw 2.14, term off", "fw 2.15, term off"));
    put("danger", &(WHOLE.to_owned() + "unit 3 ac out = except L1<->L2\n"));
    let path = paths::workspace().join("host-cli/assets/changed.v1.schema.json");
    let schema =
        serde_json::from_str(&fs::read_to_string(path).expect("the schema")).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("the schema is sound");
    for (new, code, says) in [
        ("same", 0, "nothing that is wired or set differs"),
        ("new", 1, "unit 2 is updated: firmware 2.14, now 2.15"),
        ("danger", 5, "STOP:"),
    ] {
        let output = run_in(&folder, &["changed", "old", new]);
        assert_eq!(output.status.code(), Some(code), "{new}: {}", err(&output));
        let text = out(&output);
        assert!(text.contains(says), "{text}");
        assert!(text.lines().all(|line| line.chars().count() <= 80));
        let output = run_in(&folder, &["changed", "old", new, "--format", "json"]);
        let mut told = serde_json::from_str(&out(&output)).expect("JSON");
        let errors: Vec<String> =
            validator.iter_errors(&told).map(|error| error.to_string()).collect();
        assert!(errors.is_empty(), "{errors:?}");
        told["check"] = "safe".into();
        assert!(!validator.is_valid(&told), "a schema that takes anything");
    }
    // What the program itself wrote there, and what was read, is no sheet.
    let report = run_in(&folder, &["check", "new/settings.txt", "--format", "json"]);
    fs::write(folder.join("new").join("report.json"), out(&report)).expect("writable");
    fs::write(folder.join("new").join("day.csv"), "time,by,instrument,place,quantity,value\n")
        .expect("writable");
    let saved = out(&run_in(&folder, &["check", "new/settings.txt"]));
    fs::write(folder.join("new").join("answer.txt"), saved).expect("writable");
    let output = run_in(&folder, &["changed", "old", "new", "--format", "json"]);
    assert_eq!(
        err(&output),
        "note: new/answer.txt is left out: it is a saved answer and no sheet\n"
    );
    let told: serde_json::Value = serde_json::from_str(&out(&output)).expect("JSON");
    assert_eq!(told["new"], serde_json::json!(["new/cables.csv", "new/settings.txt"]));
    fs::create_dir_all(folder.join("empty")).expect("writable");
    for (old, new) in [("empty", "new"), ("missing", "new"), ("-", "-")] {
        assert_eq!(run_in(&folder, &["changed", old, new]).status.code(), Some(2), "{old}");
    }
}
