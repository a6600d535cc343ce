//! Words and names as people write them: what is understood all the same, and what is asked about
//! because it may mean two things.

use coldcheck::diagnosis::Diagnosis;
use coldcheck::engine::read_site;
use coldcheck::tidy::tidy;
use coldcheck_tests::cases::{examine_sheets, request, sheet};

const CABLES: &str = "cable,from,to,kind,length\n\
    C1,unit 1 A,unit 2 B,link,2 m\n\
    C2,unit 2 A,unit 3 B,link,2 m\n\
    B1,pack 1,unit 1 battery,bms,\n\
    S1,CT,unit 1 CT,ct,\n";

const SETTINGS: &str = "scope = communication\n\
    name old box = unit 1\n\
    name new box = unit 2\n\
    unit 1 = coordinator, addr 1, count 3, term on, bank A\n\
    unit 2 = follower, addr 2, count 3, term off, bank A\n\
    unit 3 = follower, addr 3, count 3, term on, bank A\n";

fn check(cables: &str, further: &str) -> Result<Diagnosis, String> {
    let sheets = [sheet("cables", cables), sheet("settings", &format!("{SETTINGS}{further}"))];
    examine_sheets(&sheets, None)
        .map(|(_, diagnosis)| diagnosis)
        .map_err(|refusal| format!("{:?}", refusal.errors))
}

/// Rules that are broken, with what the finding says.
fn broken(cables: &str, further: &str) -> Vec<(&'static str, String)> {
    let diagnosis = check(cables, further).unwrap_or_else(|errors| panic!("{further}: {errors}"));
    assert!(diagnosis.not_understood.is_empty(), "{further}: {:?}", diagnosis.not_understood);
    assert!(diagnosis.questions.is_empty(), "{further}: {:?}", diagnosis.questions);
    let told = |finding: &coldcheck::diagnosis::Diagnostic| {
        (finding.rule.rule().slug, finding.says.clone())
    };
    diagnosis.findings.iter().map(told).collect()
}

fn slugs(cables: &str, further: &str) -> Vec<&'static str> {
    broken(cables, further).into_iter().map(|(slug, _)| slug).collect()
}

#[test]
fn a_line_may_name_the_fact_before_the_unit() {
    for line in [
        "address of unit 4 = 1\nrole of unit 4 = follower",
        "role unit 4 = follower\naddr unit 4: 1",
        "unit 4 = follower\nnode id on unit 4 = 1",
    ] {
        assert!(slugs(CABLES, line).contains(&"address-duplicate"), "{line}");
    }
}

#[test]
fn all_units_go_by_every_word_for_a_unit() {
    for words in ["all units", "all inverters", "all inv", "every unit", "each machine"] {
        let told = slugs(CABLES, &format!("{words} mode = single"));
        assert!(told.contains(&"parallel-mode-not-set"), "{words}: {told:?}");
    }
}

#[test]
fn a_demand_is_understood_by_other_words_and_in_another_order() {
    for line in [
        "max link total = 3 m",
        "total link max = 3 m",
        "max link length = 3 m",
        "Longest link: 9' 10\"",
    ] {
        assert_eq!(slugs(CABLES, line), ["link-too-long"], "{line}");
    }
}

#[test]
fn other_words_for_a_demand_with_another_value_are_no_demand() {
    for line in ["bus = 48 V", "coordinator at = unit 1", "banks = A and B"] {
        let diagnosis = check(CABLES, line).expect("readable");
        assert_eq!(diagnosis.not_understood.len(), 1, "{line}: {:?}", diagnosis.not_understood);
    }
    assert!(check(CABLES, "link shape = heap").is_err());
}

#[test]
fn a_setting_without_a_unit_is_that_of_all_of_them() {
    assert_eq!(slugs(CABLES, "battery type = volts only"), ["battery-set-as-open-loop"]);
    assert_eq!(slugs(CABLES, "firmware = 2.14\nunit 3 firmware = 2.11"), ["sheets-disagree"]);
    // What each has its own of is not: nobody knows whose it is.
    let diagnosis = check(CABLES, "serial = 7").expect("readable");
    assert_eq!(diagnosis.not_understood.len(), 1, "{:?}", diagnosis.not_understood);
}

#[test]
fn a_remark_in_brackets_is_no_part_of_a_value_unless_it_is_another_value() {
    assert_eq!(slugs(CABLES, "unit 3 firmware = 2.14 (as delivered)"), [""; 0]);
    assert_eq!(slugs(CABLES, "max link total = 3 m (as ordered)"), ["link-too-long"]);
    assert_eq!(slugs(CABLES, "unit 2 charge limit = 50 A (see plate)"), [""; 0]);
    assert!(check(CABLES, "unit 3 node = 12 (0x12)").is_err());
    let sheets =
        [sheet("cables", CABLES), sheet("settings", &format!("{SETTINGS}max stub = 2 m (new)\n"))];
    let request = request(&sheets, None);
    let site = read_site(&request).expect("readable");
    let tidied = tidy(&site, &request).expect("tidy");
    assert!(tidied.contains("2 m (new)"), "{tidied}");
}

#[test]
fn a_demand_of_the_sensors_says_nothing_about_the_parts() {
    let fitted = "ct ratio on part = 3000:1\nct ratio set = 3000:1\n";
    assert_eq!(slugs(CABLES, fitted), [""; 0]);
    let diagnosis = check(CABLES, &format!("{fitted}sensor ratio = 2000:1")).expect("readable");
    assert!(diagnosis.findings.is_empty(), "{:?}", diagnosis.findings);
    // No rule compares the two yet, and that is said.
    assert!(diagnosis.looked_at_by_none.contains(&"sensor ratio"), "{diagnosis:?}");
}

#[test]
fn how_many_units_there_are_is_not_what_is_set_on_them() {
    for line in ["number of units = 4", "count = 4", "charge limit = 200 A"] {
        let diagnosis = check(CABLES, line).expect("readable");
        assert_eq!(diagnosis.not_understood.len(), 1, "{line}: {:?}", diagnosis.not_understood);
        assert!(diagnosis.findings.is_empty(), "{line}: {:?}", diagnosis.findings);
    }
}

#[test]
fn a_fact_about_packs_is_one_of_every_pack() {
    let packs = "packs fitted = 3\npacks set = 3\npack capacity = 100 Ah\n";
    assert_eq!(slugs(CABLES, &format!("{packs}capacity set = 300 Ah")), [""; 0]);
    let found = broken(CABLES, &format!("{packs}capacity set = 200 Ah"));
    assert_eq!(
        found,
        [("capacity-declared-wrong", "200 Ah is set and the packs have 300 Ah".to_owned())]
    );
    let mixed = check(CABLES, &format!("{packs}capacity set = 15 kWh")).expect("readable");
    assert!(mixed.questions[0].says.contains("in another unit"), "{:?}", mixed.questions);
}

#[test]
fn a_cable_of_two_kinds_carries_two_services() {
    for kind in ["link + BMS", "bms & link", "link/battery", "link and bms"] {
        let cables = CABLES.replace("unit 3 B,link", &format!("unit 3 B,{kind}"));
        let found = broken(&cables, "");
        assert_eq!(found[0].0, "two-services-on-one-bus", "{kind}: {found:?}");
        assert_eq!(found.len(), 1, "{kind}: {found:?}");
    }
}

#[test]
fn a_cable_of_two_kinds_is_what_its_ends_tell() {
    let cables = CABLES.replace("battery,bms", "battery,link + bms");
    let found = broken(&cables, "");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].0, "two-services-on-one-bus", "{found:?}");
    // A plug is no service.
    let plug = CABLES.replace("unit 3 B,link", "unit 3 B,link / plug");
    let diagnosis = check(&plug, "").expect("readable");
    assert!(diagnosis.questions[0].says.contains("no kind of cable"), "{:?}", diagnosis.questions);
}

#[test]
fn a_part_of_two_names_is_asked_about_and_of_one_is_used_meanwhile() {
    let both = CABLES.replace("pack 1,unit 1 battery", "pack 1,box battery");
    let found = broken(&both, "");
    assert_eq!(found[0].0, "unit-name-unclear", "{found:?}");
    let one = CABLES.replace("pack 1,unit 1 battery", "pack 1,new battery");
    let found = broken(&one, "");
    let rules: Vec<_> = found.iter().map(|(slug, _)| *slug).collect();
    assert_eq!(rules, ["bms-lead-on-follower", "unit-name-unclear"], "{found:?}");
}

#[test]
fn a_similar_digit_in_a_photographed_name_is_asked_about() {
    let cables = CABLES.replace("pack 1,unit 1 battery", "pack 1,unit 7 battery");
    let found = slugs(&cables, "list came from = photograph\nrows = 5\n");
    assert!(found.contains(&"photo-similar-digits"), "{found:?}");
    assert!(!found.contains(&"label-unknown-unit"), "{found:?}");
    assert!(slugs(&cables, "").contains(&"label-unknown-unit"));
}

#[test]
fn a_cable_in_two_lists_is_one_line_of_the_photographed_one() {
    let lost = |rows: usize, second: &str| {
        let settings = format!("{SETTINGS}list came from = photograph\nrows = {rows}\n");
        let sheets =
            [sheet("cables", CABLES), sheet("settings", &settings), sheet("second", second)];
        let (_, diagnosis) = examine_sheets(&sheets, None).expect("it can be read");
        let slugs = diagnosis.findings.iter().map(|finding| finding.rule.rule().slug);
        slugs.filter(|slug| *slug == "photo-digit-dropped").count()
    };
    let again = "cable,from,to,kind,length\nC2,unit 2 A,unit 3 B,link,7 m\n";
    assert_eq!(lost(4, again), 0);
    assert_eq!(lost(5, again), 1);
    let another = "cable,from,to,kind,length\nS2,CT,unit 1 CT,ct,\n";
    assert_eq!(lost(5, another), 0);
}

/// Units told apart by letters are units as those with numbers are, and the letter alone names one.
#[test]
fn units_may_be_told_apart_by_letters() {
    let lettered = |text: &str| {
        let letters = [("unit 1", "unit A"), ("unit 2", "unit B"), ("unit 3", "unit C")];
        letters.iter().fold(text.to_owned(), |text, (number, letter)| text.replace(number, letter))
    };
    let found = |cables: &str| {
        let sheets = [sheet("cables", cables), sheet("settings", &lettered(SETTINGS))];
        let (_, diagnosis) = examine_sheets(&sheets, None).expect("it can be read");
        let says = diagnosis.questions.iter().map(|question| question.says.clone());
        let slugs = diagnosis.findings.iter().map(|one| one.rule.rule().slug.to_owned());
        says.chain(slugs).collect::<Vec<_>>()
    };
    let own = lettered(CABLES);
    assert_eq!(found(&own), found(&own.replace("unit C", "inv C")));
    assert_eq!(found(&own), [""; 0]);
    // As `1` is unit 1.
    assert_eq!(found(&own.replace("unit ", "")), [""; 0]);
    assert_eq!(found(&own.replace("unit C", "unit D")), ["label-unknown-unit", "no"][..1]);
    // A list by itself tells its units by their letters too.
    let site = read_site(&request(&[sheet("cables", &own)], None)).expect("it can be read");
    let units: Vec<_> = site.declared.units.iter().map(|unit| unit.name.as_str()).collect();
    assert_eq!(units, ["unit A", "unit B", "unit C"]);
}

#[test]
fn a_name_that_is_explained_by_an_unknown_unit_is_asked_about() {
    let asked = |line: &str| {
        let diagnosis = check(CABLES, line).expect("readable");
        diagnosis.questions.into_iter().map(|question| question.says).collect::<Vec<_>>()
    };
    assert_eq!(asked("name left = unit 3\n"), [""; 0]);
    let says = "this explains a name as unit 9, and no sheet has a unit of that name";
    assert_eq!(asked("name left = unit 9\n"), [says]);
}
