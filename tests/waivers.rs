//! Waivers: what they let stand, what they never do, and what is wrong with one.

use coldcheck::date::Date;
use coldcheck::diagnosis::{Because, Day, Diagnosis, Idle};
use coldcheck::engine::{Site, examine};
use coldcheck::render::{json, sarif, terminal};
use coldcheck_core::finding::Verdict;
use coldcheck_core::rule::Severity;
use coldcheck_core::rules::RULES;
use coldcheck_tests::cases::{examine_sheets, request, sheet};
use coldcheck_tests::{golden, paths};
use std::fs;

/// A line of three with two faults: a terminator on in the middle, none at the end.
const SITE: &str = "cable,from,to,kind,length\n\
    C1,unit 1 A,unit 2 B,link,2 m\n\
    C2,unit 2 A,unit 3 B,link,2 m\n\
    B1,pack 1,unit 1 battery,bms,\n\
    S1,CT,unit 1 CT,ct,\n";
const SETTINGS: &str = "unit 1 = coordinator, addr 1, count 3, term on, bank A\n\
    unit 2 = follower, addr 2, count 3, term on, bank A\n\
    unit 3 = follower, addr 3, count 3, term off, bank A\n\
    all units ac out = straight\n\
    neutral-earth bond = main board (fixed)\n";

fn day(text: &str) -> Day {
    Day { date: Date::read(text).expect("a date"), from_clock: false }
}

fn waiver(rule: &str, place: &str, until: &str) -> String {
    let place = if place.is_empty() { String::new() } else { format!("place = \"{place}\"\n") };
    format!(
        "[[waiver]]\nrule = \"{rule}\"\n{place}reason = \"ordered\"\nby = \"I. Vent\"\nuntil = {until}\n"
    )
}

fn check_with(settings: &str, waivers: &str, today: &str) -> (Site, Diagnosis) {
    let sheets = [sheet("cables", SITE), sheet("settings", settings), sheet("waivers", waivers)];
    let (site, mut diagnosis) = examine(&request(&sheets, None))
        .unwrap_or_else(|refusal| panic!("{:?}\n{waivers}", refusal.errors));
    diagnosis.waive(&site, day(today));
    (site, diagnosis)
}

fn check(waivers: &str, today: &str) -> (Site, Diagnosis) {
    check_with(SETTINGS, waivers, today)
}

fn idle(diagnosis: &Diagnosis) -> Vec<Idle> {
    diagnosis.idle_waivers.iter().map(|idle| idle.why).collect()
}

const MIDDLE: &str = "term-on-middle-unit";
const END: &str = "term-missing-one-end";

#[test]
fn a_waived_finding_stands_in_every_report_and_does_not_count() {
    let both = waiver(MIDDLE, "unit 2", "2027-06-30") + &waiver(END, "U3", "2027-06-30");
    let (site, diagnosis) = check(&both, "2027-06-30");
    assert_eq!(diagnosis.verdict, Verdict::Ok, "the last day still holds");
    assert!(diagnosis.findings.is_empty() && diagnosis.idle_waivers.is_empty());
    let text = terminal::check(&site, &diagnosis, terminal::Style { colour: false, quiet: true });
    for words in
        ["Waived: 2 findings.", "Waived, and not counted", "ordered", "I. Vent", "2027-06-30"]
    {
        assert!(text.contains(words), "{words}:\n{text}");
    }
    let report = json::check(&site, &diagnosis);
    assert_eq!(report["waived"][0]["finding"]["rule"], MIDDLE);
    assert_eq!(report["waived"][0]["by"], "I. Vent");
    assert_eq!(report["waivers_held_against"]["date"], "2027-06-30");
    let log = sarif::check(&site, &diagnosis);
    let suppressed = log["runs"][0]["results"].as_array().expect("results").iter();
    let suppressed: Vec<_> = suppressed
        .filter(|result| result["suppressions"] != serde_json::json!([]))
        .map(|result| result["ruleId"].as_str().expect("a rule"))
        .collect();
    assert_eq!(suppressed, [MIDDLE, END]);
}

#[test]
fn a_waiver_ends_with_its_day() {
    let (_, diagnosis) = check(&waiver(MIDDLE, "unit 2", "2027-06-30"), "2027-07-01");
    assert_eq!(diagnosis.verdict, Verdict::FixFirst);
    assert_eq!((diagnosis.findings.len(), idle(&diagnosis)), (2, vec![Idle::Expired]));
}

#[test]
fn a_danger_is_never_waived() {
    let settings = SETTINGS
        .replace("term off, bank A", "term on, bank B")
        .replace("3, term on, bank A\nunit 3", "3, term off, bank A\nunit 3");
    let text = waiver("battery-banks-separate", "unit 3", "2027-06-30");
    let (site, diagnosis) = check_with(&settings, &text, "2027-01-01");
    assert_eq!(diagnosis.verdict, Verdict::Stop);
    assert_eq!(idle(&diagnosis), [Idle::Danger]);
    assert!(diagnosis.findings.iter().any(|finding| finding.severity == Severity::Danger));
    let text = terminal::check(&site, &diagnosis, terminal::Style { colour: false, quiet: true });
    assert!(text.contains("refused: a danger cannot be waived"), "{text}");
}

#[test]
fn what_a_waiver_does_not_name_in_full_is_not_waived() {
    let settings = SETTINGS.replace("addr 3", "addr 2");
    let rule = "address-duplicate";
    for (places, waived) in [("unit 2", 0), ("unit 2, unit 3", 1), ("unit 1; unit 2; unit 3", 1)] {
        let (_, diagnosis) =
            check_with(&settings, &waiver(rule, places, "2027-06-30"), "2027-01-01");
        assert_eq!(diagnosis.waived.len(), waived, "{places}");
    }
    let list = "[[waiver]]\nrule = \"address-duplicate\"\nplace = [\"unit 2\", \"unit 3\"]\nreason = \"x\"\nby = \"y\"\nuntil = \"2027-06-30\"\n";
    assert_eq!(check_with(&settings, list, "2027-01-01").1.waived.len(), 1);
    let (_, diagnosis) = check(&waiver(MIDDLE, "unit 2 A", "2027-06-30"), "2027-01-01");
    assert_eq!(idle(&diagnosis), [Idle::OtherPlaces], "a socket is not the unit");
    let (_, diagnosis) = check(&waiver(MIDDLE, "", "2027-06-30"), "2027-01-01");
    assert_eq!(idle(&diagnosis), [Idle::OtherPlaces], "the group is not a unit");
    let (_, diagnosis) = check(&waiver(MIDDLE, "unit 2 terminator", "2027-06-30"), "2027-01-01");
    assert_eq!(diagnosis.waived.len(), 1);
}

#[test]
fn a_waiver_that_fits_nothing_says_why() {
    for (rule, why) in [
        ("link-broken", Idle::NothingFound),
        ("link-too-long", Idle::NotChecked),
        ("address-out-of-range", Idle::NotChecked),
    ] {
        let (_, diagnosis) = check(&waiver(rule, "", "2027-06-30"), "2027-01-01");
        assert_eq!(idle(&diagnosis), [why], "{rule}");
    }
    let settings = format!("{SETTINGS}scope = communication\n");
    let text = waiver("battery-banks-separate", "unit 3", "2027-06-30");
    assert_eq!(idle(&check_with(&settings, &text, "2027-01-01").1), [Idle::OutOfScope]);
}

#[test]
fn without_a_date_nothing_is_waived_and_that_is_said() {
    let sheets = [
        sheet("cables", SITE),
        sheet("settings", SETTINGS),
        sheet("waivers", &waiver(MIDDLE, "unit 2", "2027-06-30")),
    ];
    let (_, diagnosis) = examine_sheets(&sheets, None).expect("it can be read");
    assert_eq!(diagnosis.findings.len(), 2);
    assert_eq!(idle(&diagnosis), [Idle::NoDate]);
}

#[test]
fn waivers_change_no_byte_of_the_image() {
    let plain = [sheet("cables", SITE), sheet("settings", SETTINGS)];
    let plain = examine_sheets(&plain, None).expect("it can be read").0;
    let (waived, _) = check(&waiver(MIDDLE, "unit 2", "2027-06-30"), "2027-01-01");
    assert_eq!(coldcheck::image::write(&plain), coldcheck::image::write(&waived));
}

#[test]
fn a_waiver_that_lacks_something_is_an_error_with_its_place() {
    let refused = |waivers: &str| {
        let sheets =
            [sheet("cables", SITE), sheet("settings", SETTINGS), sheet("waivers", waivers)];
        let refusal = examine_sheets(&sheets, None).expect_err(waivers);
        let lines = refusal.errors.iter().map(|error| {
            let place = refusal.sheets.position(error.origin.expect("a place"));
            format!("{}:{}: {}", place.file, place.line, error.says)
        });
        lines.collect::<Vec<_>>().join("\n")
    };
    let good = waiver(MIDDLE, "unit 2", "2027-06-30");
    for (from, to, says) in [
        ("reason = \"ordered\"\n", "", "waivers:1: this waiver has no `reason`"),
        ("\"ordered\"", "\" \"", "waivers:4: this waiver has no `reason`"),
        ("by = \"I. Vent\"\n", "", "waivers:1: this waiver has no `by`"),
        ("until = 2027-06-30\n", "", "waivers:1: this waiver has no `until`"),
        ("2027-06-30", "\"30.6.2027\"", "waivers:6: “30.6.2027” is no day of the calendar"),
        ("2027-06-30", "\"2027-06-31\"", "waivers:6: “2027-06-31” is no day of the calendar"),
        ("middle", "midle", "waivers:2: no rule is called “term-on-midle-unit”"),
        ("unit 2", "unit 7", "waivers:3: nothing of this site is called “unit 7”"),
        ("\"unit 2\"", "\"\"", "waivers:3: nothing of this site is called “”"),
        ("by =", "from = \"x\"\nby =", "waivers:5: “from” is nothing that a waiver has"),
    ] {
        assert!(good.contains(from), "{from}");
        assert_eq!(refused(&good.replacen(from, to, 1)), says);
    }
    assert_eq!(refused("[[waiver]]\n").lines().count(), 4);
}

#[test]
fn a_site_file_in_json_has_waivers_too() {
    let site = serde_json::json!({
        "unit": [{ "name": "U1", "address": 1 }, { "name": "U2", "address": 1 }],
        "waiver": [{ "rule": "address-duplicate", "place": ["U1", "U2"], "reason": "a test",
                     "by": "I. Vent", "until": "2027-06-30" }],
    });
    let sheets = [sheet("site.json", &site.to_string())];
    let (site, mut diagnosis) = examine_sheets(&sheets, None).expect("it can be read");
    diagnosis.waive(&site, day("2027-06-30"));
    assert_eq!(diagnosis.waived.len(), 1);
}

#[test]
fn a_name_that_means_two_things_is_refused() {
    let cables = SITE.replace("C2,", "2,");
    let sheets = |place: &str| {
        let waivers = waiver(MIDDLE, place, "2027-06-30");
        [sheet("cables", &cables), sheet("settings", SETTINGS), sheet("waivers", &waivers)]
    };
    let refusal = examine_sheets(&sheets("2"), None).expect_err("unit 2 or cable 2");
    assert_eq!(refusal.errors[0].says, "“2” could be unit 2 or cable 2");
    assert!(examine_sheets(&sheets("unit 2"), None).is_ok());
    assert!(examine_sheets(&sheets("cable 2"), None).is_ok());
}

#[test]
fn every_rule_is_in_one_list_the_first_that_fits() {
    let text = fs::read_to_string(paths::tests().join("waived/site.toml")).expect("the site");
    let (site, mut diagnosis) =
        examine_sheets(&[sheet("site.toml", &text)], None).expect("it can be read");
    diagnosis.waive(&site, golden::day());
    for (id, rule) in RULES {
        let lists = [
            diagnosis.findings.iter().any(|finding| finding.rule == *id),
            diagnosis.waived.iter().any(|waived| waived.finding.rule == *id),
            diagnosis.not_checked.iter().any(|entry| entry.rule == *id),
            diagnosis.met.contains(id),
        ];
        let ran = diagnosis.stages.contains(&coldcheck::diagnosis::stage(*id));
        assert_eq!(lists.contains(&true), ran, "{}: {lists:?}", rule.slug);
        // A rule may have a finding that stands and one that is waived; nothing else overlaps.
        let others = [lists[0] || lists[1], lists[2], lists[3]];
        assert!(others.iter().filter(|listed| **listed).count() <= 1, "{}: {lists:?}", rule.slug);
    }
}

/// Rules that a strict check counted.
fn counted(diagnosis: &Diagnosis) -> Vec<&'static str> {
    let counted = diagnosis.counted.as_deref().expect("strict");
    counted.iter().map(|rule| rule.rule().slug).collect()
}

/// Rules that end as not checked for want of a datum, told apart from the counting.
fn lacking(diagnosis: &Diagnosis) -> Vec<&'static str> {
    // Of what sizes are computed from no plan has a datum: the words to write it with tell it.
    let lacks = |because: &Because| matches!(because, Because::Missing(data) if data.0 != 0);
    let open = diagnosis
        .not_checked
        .iter()
        .filter(|entry| lacks(&entry.because) || !entry.inputs.is_empty());
    open.map(|entry| entry.rule.rule().slug).collect()
}

#[test]
fn strict_counts_what_lacks_data_and_nothing_else() {
    let right = SETTINGS
        .replace("3, term on, bank A\nunit 3", "3, term off, bank A\nunit 3")
        .replace("term off, bank A\nall", "term on, bank A\nall");
    let (_, mut diagnosis) = check_with(&right, &waiver(END, "unit 3", "2027-06-30"), "2027-01-01");
    assert_eq!(diagnosis.verdict, Verdict::Ok);
    diagnosis.be_strict();
    assert_eq!(diagnosis.verdict, Verdict::FixFirst);
    assert_eq!(counted(&diagnosis), lacking(&diagnosis), "whatever lacks data, and that alone");
    for slug in ["parallel-mode-not-set", "unit-listed-twice"] {
        assert!(counted(&diagnosis).contains(&slug), "{slug} lacks its data here");
    }
    for slug in ["photo-one-letter-l", "drawing-wrong", "link-ring-open", "link-too-long"] {
        assert!(!counted(&diagnosis).contains(&slug), "{slug} has nothing to be declared for it");
    }

    let sheets = [
        sheet("cables", &SITE.replace("2 m", "")),
        sheet("settings", &format!("{right}max link total = 30 m\n")),
    ];
    let (site, mut diagnosis) = examine_sheets(&sheets, None).expect("it can be read");
    assert_eq!(diagnosis.verdict, Verdict::OkWithNotes, "the lengths are a note");
    diagnosis.be_strict();
    assert_eq!(diagnosis.verdict, Verdict::FixFirst);
    let slugs = counted(&diagnosis);
    assert!(slugs.contains(&"link-too-long"), "{slugs:?}");
    let text = terminal::check(&site, &diagnosis, terminal::Style { colour: false, quiet: true });
    assert!(text.starts_with("FIX FIRST: "), "{text}");
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let says = format!("{} rules lack data and count as findings", slugs.len());
    assert!(words.contains(&says), "{text}");
    assert!(text.contains("because the check is strict:\n  - "), "{text}");
}

#[test]
fn strict_never_lowers_a_verdict() {
    let settings = SETTINGS.replace("term off, bank A", "term off, bank B");
    let text = waiver(MIDDLE, "unit 2", "2027-06-30");
    let (_, mut diagnosis) = check_with(&settings, &text, "2027-01-01");
    assert_eq!(diagnosis.verdict, Verdict::Stop);
    diagnosis.be_strict();
    assert_eq!(diagnosis.verdict, Verdict::Stop);
}
