//! New sites: right under every profile, and open about what nobody can know yet.

use coldcheck::diagnosis::Diagnosis;
use coldcheck::engine::Site;
use coldcheck::profile::{self, Profile};
use coldcheck::read::RawSheet;
use coldcheck::site_file::{Entry, SiteFile};
use coldcheck::start::{blanks, start};
use coldcheck_core::finding::Verdict;
use coldcheck_core::plan::{Demand, Scope};
use coldcheck_tests::cases::{examine_sheets, sheet};

fn profiles() -> impl Iterator<Item = (&'static str, Profile)> {
    profile::builtin_names().into_iter().map(|name| {
        let text = profile::builtin(name).expect("built in");
        (name, profile::parse(name, text).expect("sound"))
    })
}

/// Every profile with every number of units that it has a site for.
fn sites() -> impl Iterator<Item = (&'static str, u16, SiteFile)> {
    profiles().flat_map(|(name, profile)| {
        let bits = |demand| profile.demands.get(&demand).map(|own| own.bits);
        let least = bits(Demand::UnitsMin).expect("stated by every built-in profile");
        let most = bits(Demand::UnitsMax).unwrap_or(32);
        let sites: Vec<_> = (2..=16)
            .chain([24, 32])
            .filter_map(|count| match start(&profile, name, count) {
                Ok(site) => Some((name, count, site)),
                Err(errors) => {
                    let fits = (least..=most).contains(&u32::from(count));
                    assert!(!fits, "{name} {count}: {errors:?}");
                    let says = &errors[0].says;
                    assert!(says.contains("units: ") && says.contains(name), "{says}");
                    None
                }
            })
            .collect();
        assert!(sites.len() >= 14, "{name} has few sites");
        sites
    })
}

fn forms(site: &SiteFile) -> [Vec<RawSheet>; 2] {
    [
        vec![sheet("site.toml", &site.toml())],
        vec![sheet("cables.csv", &site.cable_list()), sheet("settings.txt", &site.settings_list())],
    ]
}

fn check(sheets: &[RawSheet], what: &str) -> (Site, Diagnosis) {
    let (site, diagnosis) = examine_sheets(sheets, None)
        .unwrap_or_else(|refusal| panic!("{what}: {:?}", refusal.errors));
    assert_eq!(diagnosis.findings.len(), 0, "{what}: {:?}", diagnosis.findings);
    assert_eq!(diagnosis.questions, [], "{what}");
    assert_eq!(diagnosis.not_understood, [], "{what}");
    (site, diagnosis)
}

/// A person fills in every blank with something that its kind allows.
fn filled_in(site: &SiteFile) -> SiteFile {
    let mut site = site.clone();
    let fill = |entry: &mut Entry| {
        if entry.value.is_none() {
            entry.value = Some(
                match entry.key.as_str() {
                    "length" => "1.5 m",
                    "firmware" => "2.14",
                    "neutral-earth bond" => "main board (fixed)",
                    other => panic!("what does a person write for {other}?"),
                }
                .to_owned(),
            );
        }
    };
    site.group.iter_mut().for_each(fill);
    site.tables.iter_mut().flat_map(|table| &mut table.entries).for_each(fill);
    site
}

#[test]
fn a_new_site_is_incomplete_by_its_blanks_and_by_nothing_else() {
    for (name, count, site) in sites() {
        let keys = blanks(&site);
        for sheets in forms(&site) {
            let what = format!("{name} {count}");
            let (_, diagnosis) = check(&sheets, &what);
            let asked: Vec<_> =
                diagnosis.undeclared.iter().map(|entry| entry.datum.noun()).collect();
            assert_eq!(asked.len(), keys.len(), "{what}: {asked:?} and {keys:?}");
            assert!(asked.iter().all(|noun| keys.contains(noun)), "{what}: {asked:?}, {keys:?}");
            let verdict = if keys.is_empty() { Verdict::Ok } else { Verdict::Incomplete };
            assert_eq!(diagnosis.verdict, verdict, "{what}");
        }
    }
}

#[test]
fn a_new_site_is_ok_as_soon_as_its_blanks_are_filled_in() {
    for (name, count, site) in sites() {
        let mut images = Vec::new();
        for sheets in forms(&filled_in(&site)) {
            let what = format!("{name} {count}");
            let (site, diagnosis) = check(&sheets, &what);
            assert_eq!(diagnosis.verdict, Verdict::Ok, "{what}");
            assert_eq!(site.profile.name, name);
            assert_eq!(site.declared.units.len(), usize::from(count));
            assert!(!site.profile_assumed, "{what}");
            images.push(coldcheck::image::write(&site));
        }
        assert_eq!(images[0], images[1], "{name} {count}: the two forms differ");
    }
}

#[test]
fn the_communication_part_is_ok_at_once_where_no_part_must_be_looked_at() {
    for (name, count, site) in
        sites().filter(|(name, ..)| !["two-port-line", "in-out-line"].contains(name))
    {
        let sheets = [sheet("site.toml", &site.toml())];
        let (_, diagnosis) = examine_sheets(&sheets, Some(Scope::COMMUNICATION)).expect("read");
        assert_eq!(diagnosis.verdict, Verdict::Ok, "{name} {count}");
    }
}

#[test]
fn every_line_of_a_new_site_that_is_no_value_fits_eighty_columns() {
    for (_, _, site) in sites() {
        for text in [site.toml(), site.cable_list(), site.settings_list()] {
            for line in text.lines() {
                assert!(line.chars().count() <= 80, "{line}");
            }
        }
    }
}

#[test]
fn phases_are_spread_evenly_and_each_has_its_coordinator_and_sensor() {
    for (_, count, site) in sites().filter(|(name, ..)| *name == "three-phase-sets") {
        let text = site.toml();
        let of = |leg: &str| text.matches(&format!("phase = \"{leg}\"")).count();
        let counts = [of("L1"), of("L2"), of("L3")];
        assert_eq!(counts.iter().sum::<usize>(), usize::from(count));
        assert!(counts[0] - counts[2] <= 1, "{counts:?}");
        assert_eq!(text.matches("\"coordinator\"").count(), 3);
        assert_eq!(text.matches(&format!("count = {count}\n")).count(), usize::from(count));
        for unit in 1..=3 {
            let lead = format!("from = \"CT L{unit}\"\nto = \"unit {unit}\"");
            assert!(text.contains(&lead), "{text}");
        }
        assert!(text.contains("from = \"pack 1\"\nto = \"unit 1\""));
    }
}

/// A profile of one's own, made from a built-in one by edits.
fn own(base: &str, edits: &[(&str, &str)]) -> Profile {
    let mut text = profile::builtin(base).expect("built in").to_owned();
    for (from, to) in edits {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    profile::parse("own.toml", &text).unwrap_or_else(|(_, errors)| panic!("{errors:?}"))
}

/// A new site under a profile of one's own, its blanks filled in.
fn checked(profile: &Profile, count: u16) -> (String, Diagnosis) {
    let site = filled_in(&start(profile, "own.toml", count).expect("a site"));
    let text = site.toml().replace("profile = \"own.toml\"\n", "");
    let files = [sheet("site.toml", &text)];
    let request = coldcheck::engine::Request {
        files: &files,
        profile: Some("own.toml"),
        scope: None,
        load_profile: &|_| Ok(String::new()),
    };
    // The engine loads profiles by name; what is tested here is the site, so its parts are called.
    let (sheets, statements) = coldcheck::read::read(request.files).expect("read");
    let declared =
        coldcheck::declared::Declared::of(sheets, statements, profile).expect("understood");
    let assembled =
        coldcheck::assemble::assemble(&declared, profile, Scope::ALL).expect("assembled");
    let site = Site {
        declared,
        profile: profile.clone().into(),
        profile_named: None,
        profile_assumed: false,
        scope: Scope::ALL,
        assembled,
        is_image: false,
    };
    (text, coldcheck::diagnosis::diagnose(&site).expect("a plan"))
}

#[test]
fn demands_of_a_profile_of_ones_own_are_followed() {
    let line = "\"max units\" = { is = 16, from = \"ours, for demonstration\" }\n";
    let add = |more: &str| format!("{line}{more}\n");
    for (edit, count, wanted) in [
        (
            "\"coordinator address\" = { is = 9, from = \"ours\" }",
            3,
            "role = \"coordinator\"\naddress = 9",
        ),
        ("\"sensors\" = { is = 2, from = \"ours\" }", 2, "from = \"CT L2\""),
        ("\"arrow must point to\" = { is = \"street\", from = \"ours\" }", 2, "arrow = \"street\""),
        (
            "\"lead wiring\" = { is = \"crossover, two pairs\", from = \"ours\" }",
            2,
            "wiring = \"crossover, two pairs\"",
        ),
    ] {
        let profile = own("two-port-line", &[(line, &add(edit))]);
        let (text, diagnosis) = checked(&profile, count);
        assert!(text.contains(wanted), "{edit}:\n{text}");
        assert_eq!(diagnosis.verdict, Verdict::Ok, "{edit}: {:?}", diagnosis.findings);
    }
    let each = own(
        "two-port-line",
        &[
            (
                "\"battery link at\" = { is = \"coordinator\"",
                "\"battery link at\" = { is = \"each unit\"",
            ),
            ("\"battery banks\" = { is = \"one\"", "\"battery banks\" = { is = \"one a unit\""),
            (
                "\"unit count set on\" = { is = \"all units\"",
                "\"unit count set on\" = { is = \"coordinator\"",
            ),
        ],
    );
    let (text, diagnosis) = checked(&each, 4);
    assert!(text.contains("from = \"pack 4\"\nto = \"unit 4\""), "{text}");
    assert_eq!(text.matches("\ncount = ").count(), 1, "{text}");
    assert_eq!(diagnosis.verdict, Verdict::Ok, "{:?}", diagnosis.findings);
}

#[test]
fn like_sockets_meet_where_the_profile_says_so() {
    let alike = own("two-port-line", &[("is = \"A to B\"", "is = \"A to A\"")]);
    let (text, diagnosis) = checked(&alike, 4);
    let ends: Vec<_> = text
        .lines()
        .filter_map(|line| line.strip_prefix("from_port = ").or(line.strip_prefix("to_port = ")))
        .take(6)
        .collect();
    assert_eq!(ends, ["\"A\"", "\"A\"", "\"B\"", "\"B\"", "\"A\"", "\"A\""]);
    assert_eq!(diagnosis.verdict, Verdict::Ok);
    let ring = own("two-port-ring", &[("is = \"A to B\"", "is = \"A to A\"")]);
    assert!(start(&ring, "own.toml", 4).is_ok());
    let errors = start(&ring, "own.toml", 5).expect_err("an odd ring");
    assert_eq!(errors[0].expected.as_deref(), Some("an even number"));
}

#[test]
fn what_a_profile_cannot_give_is_refused() {
    let most = "\"max units\" = { is = 16, from = \"ours, for demonstration\" }\n";
    let range = own("two-port-line", &[("\"1-16\"", "\"1-3\""), (most, "")]);
    let errors = start(&range, "own.toml", 4).expect_err("three addresses");
    assert!(errors[0].says.contains("has 3 addresses, and 4 units need one each"), "{errors:?}");
    let line = own("two-port-line", &[]);
    let errors = start(&line, "own.toml", 17).expect_err("two reasons");
    assert_eq!(errors.len(), 2, "{errors:?}");
    let single = own(
        "two-port-line",
        &[("name = \"B\"\nclass = \"link\"", "name = \"B\"\nclass = \"service\"")],
    );
    assert!(start(&single, "own.toml", 2).is_ok());
    let errors = start(&single, "own.toml", 3).expect_err("one socket each");
    assert!(errors[0].says.contains("over one link socket each"), "{errors:?}");
}

#[test]
fn with_positions_the_link_runs_in_the_order_with_the_least_cable() {
    let folder = coldcheck_tests::program::folder("new-positions");
    // Along a wall: 1, 3, 4, 2.
    let places = "unit 1 at 0.0 m, 1.2 m\nunit 2 at 3.0 m, 1.2 m\nunit 3 at 1.0 m, 1.2 m\n\
                  unit 4 at 2.0 m, 1.2 m\n";
    std::fs::write(folder.join("places.txt"), places).expect("writable");
    let own = ["new", "--units", "4", "--positions", "places.txt"];
    let output = coldcheck_tests::program::run_in(&folder, &own);
    let text = coldcheck_tests::program::out(&output);
    assert_eq!(output.status.code(), Some(0), "{}", coldcheck_tests::program::err(&output));
    let words = text.replace("\n# ", " ");
    assert!(words.contains("the least cable, 3 m in all (no order takes less)"), "{text}");
    let (site, diagnosis) = check(&[sheet("site.toml", &text)], "positions");
    assert!(diagnosis.findings.is_empty());
    let links: Vec<&str> = text.split("[[cable]]").filter(|one| one.contains("\"link\"")).collect();
    let joins = |cable: &str, one: &str, two: &str| {
        cable.contains(&format!("from = \"{one}\"")) && cable.contains(&format!("to = \"{two}\""))
    };
    assert!(joins(links[0], "unit 1", "unit 3") && joins(links[1], "unit 3", "unit 4"), "{text}");
    assert!(joins(links[2], "unit 4", "unit 2"), "{text}");
    assert_eq!(text.matches("length = \"1 m\"").count(), 3, "{text}");
    let ends = text.split("[[unit]]").filter(|unit| unit.contains("terminator = \"on\""));
    assert_eq!(ends.count(), 2);
    assert!(site.assembled.map.units.len() == 4);
    let output = coldcheck_tests::program::run_in(
        &folder,
        &["new", "--units", "5", "--positions", "places.txt"],
    );
    assert_eq!(output.status.code(), Some(2));
    assert!(coldcheck_tests::program::err(&output).contains("no place for unit 5"));
}
