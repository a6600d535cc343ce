//! Tidy: the same site in one file, and nothing lost on the way.

use coldcheck::engine::examine;
use coldcheck::profile;
use coldcheck::read::RawSheet;
use coldcheck::render::explain::{broken, log, sheets};
use coldcheck::start::start;
use coldcheck::tidy::{Untidy, tidy};
use coldcheck_core::plan::Scope;
use coldcheck_core::rules::RULES;
use coldcheck_tests::cases::{all, examine_sheets, request, sheet};
use coldcheck_tests::generate::{Dice, Hand, Model};
use coldcheck_tests::paths;
use coldcheck_tests::tidied::{essence, tidied_again};
use proptest::prelude::*;
use std::fs;

/// Tidies, and holds the outcome against the sheets; `None` if a question must be answered first.
fn tidied(sheets: &[RawSheet], scope: Option<Scope>, what: &str) -> Option<String> {
    let (site, diagnosis) =
        examine_sheets(sheets, scope).unwrap_or_else(|r| panic!("{what}: {:?}", r.errors));
    let text = match tidy(&site, &request(sheets, scope)) {
        Ok(text) => text,
        Err(Untidy::Questions(count)) => {
            assert_eq!(count, site.declared.question_count(), "{what}");
            assert!(count > 0, "{what}");
            return None;
        }
        Err(Untidy::NoWords(error)) => panic!("{what}: {error}"),
    };
    // The scope of the command line went into the file.
    let (tidy_site, tidy_diagnosis, twice) = tidied_again(&text);
    assert_eq!(
        coldcheck::image::write(&tidy_site),
        coldcheck::image::write(&site),
        "{what}:\n{text}"
    );
    assert_eq!(tidy_diagnosis.verdict, diagnosis.verdict, "{what}:\n{text}");
    assert_eq!(essence(&tidy_site, &tidy_diagnosis), essence(&site, &diagnosis), "{what}:\n{text}");
    assert_eq!(twice, text, "{what}: tidied twice");
    Some(text)
}

#[test]
fn every_case_is_the_same_site_after_tidying() {
    let mut refused = Vec::new();
    for case in all() {
        if tidied(&case.sheets, case.scope, &case.name).is_none() {
            refused.push(case.name.clone());
            let (_, diagnosis) = case.examine().expect("a case can be read");
            assert_ne!(diagnosis.tally.questions, 0, "{}", case.name);
        }
        // In any order of the files, and without the scope.
        let mut sheets = case.sheets.clone();
        sheets.reverse();
        tidied(&sheets, None, &case.name);
    }
    let doubtful = ["09-saw-mill", "15-relay-hut"];
    assert_eq!(refused, doubtful, "doubtful names, and a board of which the side is not told");
}

#[test]
fn every_example_of_a_rule_is_the_same_site_after_tidying() {
    for (_, rule) in RULES {
        for text in [rule.text.example.site.to_owned(), broken(&rule.text.example)] {
            // Sheets of several are one here: what is about several sheets is tried elsewhere.
            let sheets = match log(&text) {
                Some(_) => sheets(&text),
                None => vec![sheet("example.toml", &text)],
            };
            let asks = examine_sheets(&sheets, None).expect("read").0.declared.question_count() > 0;
            assert_eq!(tidied(&sheets, None, rule.slug).is_none(), asks, "{}", rule.slug);
        }
    }
}

#[test]
fn every_new_site_is_the_same_site_after_tidying() {
    for name in profile::builtin_names() {
        let parsed =
            profile::parse(name, profile::builtin(name).expect("built in")).expect("sound");
        for count in [3, 4, 9, 16] {
            let site = start(&parsed, name, count).expect("a site");
            let (cables, settings) = (site.cable_list(), site.settings_list());
            let toml =
                tidied(&[sheet("site.toml", &site.toml())], None, name).expect("no question");
            let sheets = [sheet("cables", &cables), sheet("settings", &settings)];
            let other = tidied(&sheets, None, name).expect("no question");
            let facts = |text: &str| {
                let lines = text.lines().filter(|line| !line.starts_with('#'));
                lines.map(ToOwned::to_owned).collect::<Vec<_>>()
            };
            assert_eq!(facts(&toml), facts(&other), "{name}: one site, two forms");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn every_generated_site_is_the_same_site_after_tidying(
        units in 2usize..=16, seed: u64, hand_seed: u64, fault in 0usize..8, free: bool,
    ) {
        let mut dice = Dice::new(seed);
        let mut model = Model::line(units, &mut dice);
        let unit = dice.roll(units);
        match fault {
            0 => model.units[unit].terminator = "plug",
            1 => model.units[unit].terminator = "off",
            2 => model.units[unit].address = model.units[(unit + 1) % units].address,
            3 => model.units[unit].role = "coordinator",
            4 => model.cables.iter_mut().for_each(|cable| cable.label.clear()),
            5 => drop(model.cables.remove(dice.roll(units - 1))),
            6 => model.cables[0].label = model.cables[units].label.clone(),
            _ => {}
        }
        let hand = if free { Hand::FREE } else { Hand::SHUFFLED };
        let sheets = model.written(&mut Dice::new(hand_seed), &hand);
        prop_assert!(tidied(&sheets, None, "generated").is_some());
        // A tidy file does not depend on the order of lines.
        let plain = tidied(&model.written(&mut Dice::new(0), &Hand::PLAIN), None, "plain");
        if fault != 4 && !free {
            let facts = |text: Option<String>| text.map(|text| {
                text.lines().filter(|line| line.starts_with("address")).map(ToOwned::to_owned).collect::<Vec<_>>()
            });
            prop_assert_eq!(facts(plain), facts(tidied(&sheets, None, "mixed")));
        }
    }

    #[test]
    fn whatever_can_be_read_is_tidied_or_asked_about(
        rows in prop::collection::vec(row(), 0..8),
        lines in prop::collection::vec(line(), 0..8),
        odd in prop::option::weighted(0.2, "[ -~]{1,20}"),
    ) {
        let list = format!("cable,from,to,kind,length,colour,note\n{}", rows.concat());
        let settings = format!(
            "unit 1 = coordinator, addr 0x0A\nunit 2 = follower\n{}\n{}\n",
            lines.join("\n"),
            odd.unwrap_or_default(),
        );
        let sheets = [sheet("cables", &list), sheet("settings", &settings)];
        if examine(&request(&sheets, None)).is_ok() {
            tidied(&sheets, None, &format!("{list}\n{settings}"));
        }
    }
}

/// A row of a cable list as it may be, most of them sensible.
fn row() -> impl Strategy<Value = String> {
    let end = "(unit 1 A|unit 2 B|Unit-1 port b|unit 2|U2 / battery|unit 1 CT)";
    let other = "(unit 2 A|pack 1 data|BMS|rack 3|CT L1|CT|clamp l2|router lan 3|gateway|splitter box 2|hub)";
    (
        "([A-Z]{0,2}[0-9]{0,2}|Q-?)",
        end,
        other,
        prop_oneof![4 => Just(String::new()), 1 => "(link|data)"],
        "(|2 m|80 cm|6 ft|1,5 m|-)",
        "(|red|a \"\"b\"\")",
        "[ -!#-~]{0,10}",
    )
        .prop_map(|(label, from, to, kind, length, colour, note)| {
            format!("{label},{from},{to},{kind},\"{length}\",\"{colour}\",\"{note}\"\n")
        })
}

/// A line of a settings list as it may be.
fn line() -> impl Strategy<Value = String> {
    prop_oneof![
        "unit [1-3] (addr|address) = (1?[0-9]|0x[0-9a-f]{1,3})",
        "unit [1-3] (serial|model|bank|protocol) = [A-Za-z0-9 ./_-]{1,10}",
        "unit [1-3] fw = (V?[0-9]\\.[0-9]{1,3}(\\.[0-9])?|20[0-9]{2}-[A-C])",
        "unit [1-3] (term = (on|off|plug|built in)|mode = (par|alone)|phase = leg [123])",
        "unit [1-3] ac (out|in) = (straight|L->bar L2; N->bar N; PE->earth bar|L1 → bar L1)",
        "(all units|unit 2) (battery lead = 1[.,]25 m|charge limit = [1-9]0 A|count = [2-4])",
        "(ct|ct L1|clamp l2) (arrow = house|ratio on part = 100 ?/ ?5|ratio set = 2000:1)",
        "pack [1-3] (addr = [1-9]|capacity = 5\\.1 kWh|charge limit = 0\\.5 A)",
        "(gateway|router|hub 2) (term = off|addr = 0x[0-9A-F]{2})",
        "(site|list came from) = [ -~]{1,12}",
        "(max link total = (30 m|100 ft)|link shape = (line|ring)|address range = 1 to 16)",
        "(min battery voltage = 44[.]5 V|rated power = 8 kVA|bit rate = 19[.]2 kbit/s)",
        "(name box = unit 1|socket out = A|scope = comms|precharge = yes|profile = plain)",
        "(neutral-earth bond|bond) = (none|main board|unit 1 relay \\(open on supply\\))",
        "(pv = roof -> unit 1|packs set = [1-4]|# a remark [a-z]{0,5}|[a-z ]{3,12})",
    ]
}

const CABLES: &str = "cable,from,to,kind,length,note\n\
    # hung up in March\n\
    C1,left box out,unit 2 / B,link,6 ft,\"old, but good\"\n\
    ,CT L1,left box CT,,3 m,\n\
    ,CT,left box CT,,3 m,\n\
    B1,pack 1 data,left box battery,bms,,\n\
    G1,gateway,unit 2 service,service,,\n\
    T1,unit 2 A,-,terminator,,\n";
const SETTINGS: &str = "site = \"Odd\\place\" # see the drawing\n\
    checked by hand\n\
    name left box = unit 1\n\
    socket out = A\n\
    left box = coordinator, addr 0x0A, count 2, term on, serial 00-A7\n\
    unit 2 = follower, addr 11, count 2, fw V1.9.0, mode single\n\
    ct ratio on part = 100/5\n\
    gateway term = off\n\
    unit 2 ac out = L1->bar L1; N->bar N; PE->earth bar\n\
    neutral-earth bond = main board (fixed); left box relay (closed on island)\n\
    pv = roof east -> left box\n\
    max link total = 100 ft\n\
    scope = comms\n";

#[test]
fn names_explanations_notes_and_remarks_are_kept() {
    let sheets = [sheet("cables.csv", CABLES), sheet("settings.txt", SETTINGS)];
    let text = tidied(&sheets, None, "odd site").expect("no question");
    for line in [
        "site = \"Odd\\\\place\"",
        "\"name left box\" = \"unit 1\"",
        "\"socket out\" = \"A\"",
        "name = \"left box\"",
        "address = \"0xA\"",
        "serial = \"00-A7\"",
        "firmware = \"V1.9.0\"",
        "mode = \"single\"",
        "\"CT ratio on part\" = \"20:1\"",
        "unlabelled = \"in line 4\"",
        "length = \"1.829 m\"",
        "note = \"old, but good\"",
        "from = \"pack 1 data\"",
        "name = \"gateway\"\nterminator = \"off\"",
        "\"max link total\" = \"30.48 m\"",
        "scope = \"comms\"",
        "#   cables.csv:2: hung up in March",
        "#   settings.txt:1: see the drawing",
        "#   settings.txt:2: not understood: checked by hand",
    ] {
        assert!(text.contains(line), "{line}\n{text}");
    }
}

#[test]
fn units_that_only_cables_name_are_not_listed() {
    let list = "cable,from,to\nC1,unit 1 A,unit 2 B\nC2,unit 2 A,unit 3 B\n";
    let sheets = [sheet("cables", list), sheet("settings", "all units ac out = straight\n")];
    let text = tidied(&sheets, None, "no list of units").expect("no question");
    assert!(!text.contains("[[unit]]") && text.contains("\"all units ac out\" = \"straight\""));
}

#[test]
fn a_list_without_cables_stays_a_list() {
    let sheets = [
        sheet("cables", "cable,from,to\n"),
        sheet("settings", "unit 1 = coordinator\nunit 2 = follower\n"),
    ];
    assert!(tidied(&sheets, None, "no cables").expect("no question").contains("cable = []\n"));
}

#[test]
fn waivers_and_the_scope_of_the_command_line_go_into_the_file() {
    let site = fs::read_to_string(paths::tests().join("waived/site.toml")).expect("the site");
    let sheets = [sheet("site.toml", &site)];
    let text = tidied(&sheets, Some(Scope::COMMUNICATION), "waived").expect("no question");
    assert_eq!(text.matches("[[waiver]]").count(), site.matches("[[waiver]]").count());
    assert!(text.contains("scope = \"communication\"\n"), "{text}");
    assert!(text.contains("note = \"around the pillar\""), "{text}");
}

#[test]
fn a_profile_of_the_command_line_goes_into_the_file() {
    let sheets = [sheet("s", "profile = plain\nunit 1 = coordinator\nunit 2 = follower\n")];
    let mut request = request(&sheets, None);
    request.profile = Some("two-port-line");
    let (site, _) = examine(&request).expect("it can be read");
    let text = tidy(&site, &request).expect("no question");
    assert!(text.contains("profile = \"two-port-line\"\n"), "{text}");
    assert_eq!(text.matches("profile").count(), 1, "{text}");
}

#[test]
fn where_sheets_disagree_nothing_is_decided() {
    for (one, two) in [
        ("unit 1 = coordinator, addr 1\n", "unit 1 = coordinator, addr 2\n"),
        ("unit 1 = coordinator\nlink shape = line\n", "link shape = ring\n"),
        ("unit 1 = coordinator, adress 1\n", "unit 2 = follower\n"),
    ] {
        let sheets = [sheet("one", one), sheet("two", two)];
        assert_eq!(tidied(&sheets, None, one), None);
    }
}
