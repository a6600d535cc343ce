//! Sheets as people write them: nothing vanishes, contradictions are asked about, and the order of
//! files and lines plays no part.

use coldcheck::diagnosis::Diagnosis;
use coldcheck::engine::Site;
use coldcheck_core::finding::Verdict;
use coldcheck_core::plan::Datum;
use coldcheck_tests::cases::{examine_sheets, sheet};

const CABLES: &str = "cable,from,to,kind,length\n\
    C1,unit 1 A,unit 2 B,link,2 m\n\
    C2,unit 2 A,unit 3 B,link,2 m\n\
    B1,pack 1,unit 1 battery,bms,\n\
    S1,CT,unit 1 CT,ct,\n";

const SETTINGS: &str = "unit 1 = coordinator, addr 1, count 3, term on, bank A\n\
    unit 2 = follower, addr 2, count 3, term off, bank A\n\
    unit 3 = follower, addr 3, count 3, term on, bank A\n\
    all units ac out = straight\n\
    neutral-earth bond = main board (fixed)\n";

/// Checks sheets in the order given.
fn check(texts: &[&str]) -> (Site, Diagnosis) {
    let sheets: Vec<_> = texts
        .iter()
        .enumerate()
        .map(|(number, text)| sheet(&format!("sheet {number}"), text))
        .collect();
    examine_sheets(&sheets, None)
        .unwrap_or_else(|refusal| panic!("{:?}\n{}", refusal.errors, texts.join("\n--\n")))
}

fn refusal(texts: &[&str]) -> String {
    let sheets: Vec<_> = texts.iter().map(|text| sheet("sheet", text)).collect();
    let refusal = examine_sheets(&sheets, None).expect_err("it is refused");
    refusal.errors.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn rules(diagnosis: &Diagnosis) -> Vec<&str> {
    diagnosis.findings.iter().map(|finding| finding.rule.rule().slug).collect()
}

fn questions(diagnosis: &Diagnosis) -> Vec<&str> {
    diagnosis.questions.iter().map(|question| question.says.as_str()).collect()
}

fn with(text: &str, from: &str, to: &str) -> String {
    assert_eq!(text.matches(from).count(), 1, "{from}");
    text.replacen(from, to, 1)
}

#[test]
fn the_site_of_these_tests_is_right() {
    let (_, diagnosis) = check(&[CABLES, SETTINGS]);
    assert_eq!(diagnosis.verdict, Verdict::Ok, "{:?}", diagnosis.findings);
    assert!(diagnosis.questions.is_empty() && diagnosis.not_understood.is_empty());
}

#[test]
fn a_unit_whose_name_has_no_number_is_a_unit() {
    for line in [
        "annex = coordinator, addr 2, count 3, term on, bank B",
        "annex role = coordinator\nannex addr = 2\nannex bank = B\nannex count = 3\nannex term = on",
        "[annex]\nrole = coordinator\naddr = 2\ncount = 3\nterm = on\nbank = B",
    ] {
        let (site, diagnosis) = check(&[CABLES, &format!("{SETTINGS}{line}\n")]);
        assert_eq!(site.declared.units.len(), 4, "{line}");
        let found = rules(&diagnosis);
        for rule in ["coordinator-two", "battery-banks-separate", "address-duplicate"] {
            assert!(found.contains(&rule), "{line}: {found:?}");
        }
    }
}

#[test]
fn what_is_no_unit_does_not_become_one() {
    let odd = "Day 2: rain, wind\nstring 1 = 10 panels\nhouse number = 12\nPhone 3 = 555\n";
    let (site, diagnosis) = check(&[CABLES, &format!("{SETTINGS}{odd}")]);
    assert_eq!(site.declared.units.len(), 3);
    assert_eq!(diagnosis.not_understood.len(), 3, "{:?}", diagnosis.not_understood);
    // One is near a word that is known.
    let asked: Vec<_> = diagnosis.questions.iter().map(|question| question.says.as_str()).collect();
    assert!(matches!(asked.as_slice(), [one] if one.contains("string 1")), "{asked:?}");
}

#[test]
fn a_fact_about_somebody_unknown_is_asked_about() {
    let (_, diagnosis) = check(&[CABLES, &format!("{SETTINGS}annex addr = 7\n")]);
    assert_eq!(diagnosis.verdict, Verdict::Ask);
    assert!(questions(&diagnosis)[0].contains("who is \u{201c}annex\u{201d}"));
}

#[test]
fn an_end_that_is_left_out_is_asked_about() {
    for row in ["C3,unit 3 A,,link,4 m", "C3,unit 3 A,?,link,4 m", "C3,,unit 3 A,link,4 m"] {
        let (_, diagnosis) = check(&[&format!("{CABLES}{row}\n"), SETTINGS]);
        assert_eq!(diagnosis.verdict, Verdict::Ask, "{row}");
        // A question mark is asked about by itself as well: a photograph's reader writes it.
        assert!(questions(&diagnosis).iter().any(|asked| asked.contains("C3")), "{row}");
        assert!(!rules(&diagnosis).contains(&"unit-not-on-link"), "{row}");
    }
    let lead = with(CABLES, "B1,pack 1,unit 1 battery", "B1,pack 1,");
    assert_eq!(check(&[&lead, SETTINGS]).1.verdict, Verdict::Ask);
}

#[test]
fn a_quote_that_never_closes_is_refused_at_its_place() {
    let open =
        format!("{CABLES}S2,CT L2,unit 1 CT,ct,\"behind the door\nC3,unit 3 A,unit 1 B,link,\n");
    assert!(refusal(&[&open, SETTINGS]).contains("never closes"));
    let closed = format!("{CABLES}S2,CT L2,unit 1 CT,ct,,\"a note,\nof two lines\"\n");
    assert_eq!(check(&[&closed, SETTINGS]).1.verdict, Verdict::Ok);
}

#[test]
fn a_unit_with_nothing_but_a_name_is_there() {
    let table = "unit,role,addr,count,term,bank\nunit 4,,,,,\n";
    let section = "[unit 4]\n";
    let file = "unit = [\n  { name = \"unit 4\" },\n]\n";
    for sheet in [table, section, file] {
        let (site, diagnosis) = check(&[CABLES, SETTINGS, sheet]);
        assert_eq!(site.declared.units.len(), 4, "{sheet}");
        assert!(rules(&diagnosis).contains(&"count-not-equal-fitted"), "{sheet}");
    }
}

#[test]
fn contradicting_demands_are_asked_about_in_any_order() {
    let (line, ring) = ("link shape = line\nsite = x\n", "link shape = ring\nsite = x\n");
    let bodies: Vec<_> = [[line, ring], [ring, line]]
        .iter()
        .map(|[one, two]| {
            let (site, diagnosis) = check(&[CABLES, SETTINGS, one, two]);
            assert_eq!(rules(&diagnosis), ["sheets-disagree"]);
            assert_eq!(diagnosis.verdict, Verdict::Ask);
            site.assembled.body
        })
        .collect();
    assert_eq!(bodies[0], bodies[1]);
}

#[test]
fn of_two_limits_the_stricter_one_holds() {
    let site = "profile = two-port-line\nmax link total = 200 m\naddress range = 3-40\n";
    let (_, diagnosis) = check(&[CABLES, SETTINGS, site]);
    let low = diagnosis
        .findings
        .iter()
        .find(|finding| finding.rule.rule().slug == "address-out-of-range");
    assert!(low.expect("address 1 is below 3").says.contains("3 to 16"));
    let long = with(CABLES, "unit 3 B,link,2 m", "unit 3 B,link,120 m");
    assert!(rules(&check(&[&long, SETTINGS, site]).1).contains(&"link-too-long"));
}

#[test]
fn a_name_that_is_explained_twice_is_asked_about() {
    let lines = "name left box = unit 1\nname left box = unit 2\n";
    assert_eq!(check(&[CABLES, SETTINGS, lines]).1.verdict, Verdict::Ask);
}

#[test]
fn explanations_work_wherever_they_stand() {
    let cables = CABLES.replace("unit 1", "left box").replace("unit 2 A", "mid box lower");
    let settings = format!(
        "[unit 1]\nmodel = X\nname left box = unit 1\nname mid box = unit 2\nsocket lower = A\n{}",
        "[site things]\n"
    );
    let (site, diagnosis) = check(&[&cables, SETTINGS, &settings]);
    assert_eq!(
        diagnosis.verdict,
        Verdict::Ok,
        "{:?} {:?}",
        diagnosis.findings,
        diagnosis.questions
    );
    assert_eq!(site.declared.units.len(), 3);
}

#[test]
fn lines_about_the_site_may_stand_below_the_last_unit() {
    let below = "[unit 3]\nfirmware = 2\nprofile = two-port-line\nct ratio set = 2000:1\n";
    let (site, diagnosis) = check(&[CABLES, SETTINGS, below]);
    assert_eq!(site.profile.name, "two-port-line");
    assert!(diagnosis.not_understood.is_empty(), "{:?}", diagnosis.not_understood);
}

#[test]
fn a_second_column_of_one_meaning_is_not_taken_in_silence() {
    let twice = CABLES.replace("cable,from", "cable,ID,from").replace('\n', "\nx,");
    let twice = twice.trim_end_matches("x,").replacen("x,cable", "cable", 1);
    let (_, diagnosis) = check(&[&twice.replace("x,C", "C1x,C"), SETTINGS]);
    assert!(diagnosis.not_understood.iter().any(|cell| cell.text == "ID"));
}

#[test]
fn columns_that_nobody_knows_are_asked_about_and_the_rest_is_checked() {
    let german = CABLES.replace("from,to", "von,nach");
    let (_, diagnosis) = check(&[&german, SETTINGS]);
    assert_eq!(diagnosis.verdict, Verdict::Ask);
    assert!(questions(&diagnosis)[0].contains("von"), "{:?}", diagnosis.questions);
    let twice = with(SETTINGS, "addr 3", "addr 2");
    assert!(rules(&check(&[&german, &twice]).1).contains(&"address-duplicate"));
    let explained = format!("{SETTINGS}Column von = from\ncolumn nach = to\n");
    assert_eq!(check(&[&german, &explained]).1.verdict, Verdict::Ok);
}

#[test]
fn one_address_in_two_bases_is_one_fact() {
    assert_eq!(check(&[CABLES, SETTINGS, "unit 2 addr = 0x02\n"]).1.verdict, Verdict::Ok);
    let (_, diagnosis) = check(&[CABLES, &with(SETTINGS, "addr 3", "addr 0x2")]);
    assert_eq!(rules(&diagnosis), ["address-duplicate"]);
}

#[test]
fn a_remark_behind_a_bank_is_no_part_of_its_name() {
    for remark in ["bank A (under the stairs)", "bank A ; by the door", "bank A # old"] {
        let settings = SETTINGS.replacen("bank A", remark, 1);
        let (_, diagnosis) = check(&[CABLES, &settings]);
        assert_eq!(diagnosis.verdict, Verdict::Ok, "{remark}: {:?}", diagnosis.findings);
    }
}

#[test]
fn one_cable_on_two_sheets_is_one_cable() {
    let without_sockets = CABLES.replace(" A", "").replace(" B", "");
    let without_labels: String =
        CABLES
            .lines()
            .map(|line| {
                if line.starts_with("cable") { line.to_owned() } else { format!(",{}", &line[3..]) }
            })
            .map(|line| line + "\n")
            .collect();
    for second in [CABLES, &without_sockets] {
        let (site, diagnosis) = check(&[CABLES, second, SETTINGS]);
        assert_eq!(site.declared.cables.len(), 4);
        assert_eq!(diagnosis.verdict, Verdict::Ok, "{:?}", diagnosis.findings);
    }
    let (site, _) = check(&[&without_labels, &without_labels, SETTINGS]);
    assert_eq!(site.declared.cables.len(), 4);
}

#[test]
fn one_cable_of_two_kinds_lengths_or_ways_is_a_disagreement_in_any_order() {
    for (from, to) in [
        ("C2,unit 2 A,unit 3 B,link,2 m", "C2,unit 2 A,unit 3 B,service,2 m"),
        ("C2,unit 2 A,unit 3 B,link,2 m", "C2,unit 2 A,unit 3 B,link,9 m"),
        ("C2,unit 2 A,unit 3 B,link,2 m", "C2,unit 2 A,unit 3 A,link,2 m"),
    ] {
        let other = with(CABLES, from, to);
        let (one, two) = (check(&[CABLES, &other, SETTINGS]), check(&[&other, CABLES, SETTINGS]));
        assert_eq!(rules(&one.1), ["sheets-disagree"], "{to}");
        assert_eq!(one.0.assembled.body, two.0.assembled.body, "{to}");
    }
}

#[test]
fn unlabelled_cables_are_in_order_by_all_that_is_known_of_them() {
    let rows = [",unit 1,unit 2,link,1 m\n", ",unit 1,unit 2,link,2 m\n"];
    let list = |rows: [&str; 2]| format!("cable,from,to,kind,length\n{}{}", rows[0], rows[1]);
    let [one, two] = [list(rows), list([rows[1], rows[0]])]
        .map(|list| check(&[&list, SETTINGS]).0.assembled.body);
    assert_eq!(one, two);
}

#[test]
fn a_cable_without_a_kind_is_what_its_sockets_are_for() {
    let list = "cable,from,to\nC1,unit 1 A,unit 2 B\nC2,unit 2 A,unit 3 B\nB1,pack 1,unit 1 battery\n\
        S1,CT,unit 1 CT\nN1,unit 1 lan,router\nN2,unit 2 lan,router\n";
    let (_, diagnosis) = check(&[list, SETTINGS]);
    assert_eq!(diagnosis.verdict, Verdict::Ok, "{:?}", diagnosis.findings);
}

#[test]
fn a_cable_from_pack_to_pack_is_no_battery_link() {
    let list = format!("{CABLES}B2,pack 2 data in,pack 1 data out,bms,\n");
    assert_eq!(check(&[&list, SETTINGS]).1.verdict, Verdict::Ok);
}

#[test]
fn a_broken_rule_says_where_it_could_not_look() {
    // One sensor lead at a follower, another at a unit without a role.
    let list = format!("{CABLES}S2,CT L2,unit 2 CT,ct,\nS3,CT L3,unit 4 CT,ct,\n");
    let settings = format!("{SETTINGS}unit 4 addr = 4\nunit 4 bank = A\n");
    let (_, diagnosis) = check(&[&list, &settings]);
    assert!(rules(&diagnosis).contains(&"ct-on-follower"), "{:?}", rules(&diagnosis));
    let gaps: Vec<_> = diagnosis
        .gaps
        .iter()
        .filter(|gap| gap.rule.rule().slug == "ct-on-follower")
        .map(|gap| gap.says.as_str())
        .collect();
    assert_eq!(gaps, ["not declared: role of unit 4"]);
}

#[test]
fn a_rule_that_lacks_two_data_names_both() {
    let list = "cable,from,to,kind,length\nS1,CT L1,unit 1 CT,ct,\n\
        S2,CT L2,unit 2 CT,ct,\nC1,unit 1 A,unit 2 B,link,\n";
    let settings = "unit 1 = coordinator, addr 1\nunit 2 addr = 2\n\
        sensors at = coordinator of the phase\n";
    let (_, diagnosis) = check(&[list, settings]);
    let entry = diagnosis
        .not_checked
        .iter()
        .find(|entry| entry.rule.rule().slug == "ct-on-follower")
        .expect("it is not checked");
    assert_eq!(entry.says, "not declared: phase of unit 1; not declared: role of unit 2");
}

#[test]
fn everything_that_no_rule_looks_at_is_said() {
    let (_, diagnosis) =
        check(&[CABLES, SETTINGS, "input capacitance = 900 uF\nsensor ratio = 2000:1\n"]);
    for word in ["input capacitance", "sensor ratio"] {
        assert!(diagnosis.looked_at_by_none.contains(&word), "{word}");
    }
    let (_, diagnosis) = check(&[CABLES, SETTINGS, "unit 1 phase = L1\nrated current = 40 A\n"]);
    assert_eq!(diagnosis.looked_at_by_none, [""; 0]);
}

#[test]
fn more_than_a_site_can_hold_is_refused_soon() {
    let rows = "C1,unit 1 A,unit 2 B,link,\n".repeat(30_000);
    assert!(refusal(&[&format!("cable,from,to,kind,length\n{rows}"), SETTINGS]).contains("rows"));
    let lines = "unit 1 addr = 1\n".repeat(30_000);
    assert!(refusal(&[&lines]).contains("settings"));
}

#[test]
fn numbers_of_a_json_site_file_are_read() {
    let file = r#"{"unit": [{"name": "unit 1", "address": 7, "count": 2, "terminator": true}]}"#;
    let (site, diagnosis) =
        check(&[file, "unit 1 role = coordinator\nunit 2 = follower, addr 7\n"]);
    assert_eq!(site.declared.units.len(), 2);
    assert!(rules(&diagnosis).contains(&"address-duplicate"));
}

#[test]
fn what_one_unit_has_otherwise_is_said_by_itself() {
    for (line, rule) in [
        ("unit 3 ac out = except L1<->L2", "ac-leg-crossed"),
        ("[unit 3]\nac out = except L2 ↔ L1", "ac-leg-crossed"),
        ("unit 3 ac out = straight except PE->none", "ac-earth-missing"),
        ("unit 3 ac out = except N->bar N 2", "neutral-not-common"),
    ] {
        // The order of the lines plays no part.
        for text in [format!("{SETTINGS}{line}\n"), format!("{line}\n\n{SETTINGS}")] {
            let (_, diagnosis) =
                check(&[CABLES, &text.replace("\n\nunit 1 =", "\n[group]\nunit 1 =")]);
            assert_eq!(rules(&diagnosis), [rule], "{text}");
            let places = &diagnosis.findings[0].places;
            assert_eq!(places.len(), 1, "{text}: {places:?}");
        }
    }
    // What one unit has by itself goes before what all have.
    let own = "unit 3 ac out = L1->bar L2; L2->bar L1; N->bar N; PE->earth bar\n";
    let (_, diagnosis) = check(&[CABLES, &format!("{SETTINGS}{own}")]);
    assert_eq!(rules(&diagnosis), ["ac-leg-crossed"]);
    // It need not say more than the line for all does, and may not say less.
    let inputs = "all units ac in = L1->supply L1; L2->supply L2; N->supply N\nunit 3 ac in = ";
    let asked = |own: &str| {
        let (_, diagnosis) = check(&[CABLES, &format!("{SETTINGS}{inputs}{own}\n")]);
        (rules(&diagnosis).contains(&"sheets-disagree"), rules(&diagnosis).len())
    };
    assert_eq!(asked("L1->supply L2; L2->supply L1; N->supply N"), (false, 1));
    assert!(asked("L1->supply L2; L2->supply L1").0);
    // An exception to what is the same on all, and was not straight.
    let all = "all units ac in = L1->supply L1; L2->supply L2; N->supply N\n";
    let (_, diagnosis) =
        check(&[CABLES, &format!("{SETTINGS}{all}unit 2 ac in = except L1<->L2\n")]);
    assert_eq!(rules(&diagnosis), ["input-legs-not-as-output"]);
    let told = refusal(&[CABLES, &format!("{SETTINGS}unit 3 ac out = except L1<->L9\n")]);
    assert!(told.contains("“except L1<->L9” is not understood"), "{told}");
    let without = "all units ac in = L1->supply L1; N->supply N\n";
    let told = refusal(&[CABLES, &format!("{SETTINGS}{without}unit 3 ac in = except L1<->L2\n")]);
    assert!(told.contains("joined to something on all units"), "{told}");
}

#[test]
fn a_place_that_does_not_say_when_neutral_and_earth_are_joined_there_declares_no_bond() {
    let is_missing = |bond: &str| {
        let (_, diagnosis) = check(&[CABLES, &with(SETTINGS, "main board (fixed)", bond)]);
        diagnosis.undeclared.iter().any(|one| one.datum == Datum::Bonds)
    };
    for bond in ["yes", "no idea", "unit 1", "main board"] {
        assert!(is_missing(bond), "{bond}");
    }
    for bond in ["main board (fixed)", "none", "main board (fixed); meter box"] {
        assert!(!is_missing(bond), "{bond}");
    }
}
