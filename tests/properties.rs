//! What must hold for every site, tried on generated ones. Seeds of failures are kept by proptest
//! beside this file.

use coldcheck::engine::read_site;
use coldcheck::render::json;
use coldcheck_core::finding::{Finding, Unknown, Verdict};
use coldcheck_core::image::Image;
use coldcheck_core::place::Place;
use coldcheck_core::plan::Plan;
use coldcheck_core::report::Report;
use coldcheck_core::{check, limits};
use coldcheck_tests::cases::{examine_sheets, request};
use coldcheck_tests::generate::{Dice, Hand, Model};
use proptest::prelude::*;
use serde_json::Value;

/// A generated site with a fault or none, from one seed.
fn model(units: usize, seed: u64) -> Model {
    let mut dice = Dice::new(seed);
    let mut model = Model::line(units, &mut dice);
    let unit = dice.roll(units);
    let cable = dice.roll(units - 1);
    match dice.roll(8) {
        0 => model.units[unit].terminator = "on",
        1 => model.units[unit].terminator = "off",
        2 => model.units[unit].address = model.units[(unit + 1) % units].address,
        3 => model.units[unit].role = "coordinator",
        4 => model.units[unit].count += 1,
        5 => drop(model.cables.remove(cable)),
        6 => model.units[unit].bank = "B",
        _ => {}
    }
    model
}

/// The parts of a report that do not say where on the sheets something stands, in an order of
/// their own.
fn essence(report: &Value) -> (String, Vec<String>, Value, Value) {
    let number = |place: &Value| {
        let mut place = place.clone();
        if let Some(unit) = place.as_object_mut()
            && unit.contains_key("number")
        {
            unit.remove("unit");
        }
        place.to_string()
    };
    let mut findings: Vec<String> = report["findings"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|finding| {
            let places = finding["places"].as_array().into_iter().flatten();
            format!("{} {:?}", finding["rule"], places.map(number).collect::<Vec<_>>())
        })
        .collect();
    findings.sort();
    let rules = |list: &Value| {
        list.as_array().into_iter().flatten().map(|entry| entry["rule"].clone()).collect()
    };
    (report["verdict"].to_string(), findings, rules(&report["not_checked"]), report["met"].clone())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn order_of_lines_and_direction_of_cables_change_no_byte_and_no_finding(
        units in 2usize..=12, seed: u64, hand_seed: u64,
    ) {
        let model = model(units, seed);
        let plain = model.sheets();
        let mixed = model.written(&mut Dice::new(hand_seed), &Hand::SHUFFLED);
        let (one, two) = (
            examine_sheets(&plain, None).expect("plain sheets can be read"),
            examine_sheets(&mixed, None).expect("mixed sheets can be read"),
        );
        prop_assert_eq!(&one.0.assembled.body, &two.0.assembled.body);
        prop_assert_eq!(
            essence(&json::check(&one.0, &one.1)),
            essence(&json::check(&two.0, &two.1))
        );
    }

    #[test]
    fn spelling_of_names_and_lengths_changes_no_byte(
        units in 2usize..=12, seed: u64, hand_seed: u64,
    ) {
        let model = model(units, seed);
        let (plain, free) = (
            model.sheets(),
            model.written(&mut Dice::new(hand_seed), &Hand::FREE),
        );
        let one = read_site(&request(&plain, None)).expect("plain sheets can be read");
        let two = read_site(&request(&free, None)).expect("free sheets can be read");
        prop_assert_eq!(two.declared.questions, []);
        prop_assert_eq!(one.assembled.body, two.assembled.body);
    }

    #[test]
    fn a_right_site_of_any_size_is_ok(units in 2usize..=32, seed: u64) {
        let sheets = Model::line(units, &mut Dice::new(seed)).sheets();
        let (_, diagnosis) = examine_sheets(&sheets, None).expect("it can be read");
        prop_assert_eq!(diagnosis.verdict, Verdict::Ok, "{:?}", diagnosis.findings);
    }

    #[test]
    fn an_image_gives_back_the_plan_and_the_names(units in 2usize..=12, seed: u64) {
        let sheets = model(units, seed).sheets();
        let site = read_site(&request(&sheets, None)).expect("it can be read");
        let image = coldcheck::image::write(&site);
        let (plan, names) = coldcheck::image::read(&image).expect("as it was written");
        prop_assert_eq!(plan, coldcheck::engine::plan(&site).expect("a plan"));
        prop_assert_eq!(names.units.len(), units);
        let mut memory = [0; limits::BODY_BYTES];
        prop_assert_eq!(
            &*plan.encode(&mut memory).expect("it fits"),
            Image::read(&image).expect("sound").body
        );
    }

    #[test]
    fn a_damaged_image_is_refused(units in 2usize..=6, seed: u64, at: prop::sample::Index, bit in 0u8..8) {
        let sheets = model(units, seed).sheets();
        let site = read_site(&request(&sheets, None)).expect("it can be read");
        let image = coldcheck::image::write(&site);
        let mut flipped = image.clone();
        flipped[at.index(image.len())] ^= 1 << bit;
        prop_assert!(coldcheck::image::read(&flipped).is_err());
        prop_assert!(coldcheck::image::read(&image[..at.index(image.len())]).is_err()
            // Cut exactly behind the plan, it is an image without names.
            || at.index(image.len()) == site.assembled.body.len() + coldcheck_core::image::HEADER_BYTES);
    }

    #[test]
    fn a_plan_of_any_bytes_is_checked_or_refused_and_a_report_keeps_its_bounds(
        units in 2usize..=12, seed: u64,
        edits in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..24),
        room in 0usize..6,
    ) {
        let sheets = model(units, seed).sheets();
        let site = read_site(&request(&sheets, None)).expect("it can be read");
        let mut body = site.assembled.body.clone();
        for (at, byte) in edits {
            let position = at.index(body.len());
            body[position] = byte;
        }
        if let Ok(plan) = Plan::from_body(&body) {
            let (mut findings, mut places, mut unknowns) =
                (vec![Finding::BLANK; room], vec![Place::Group; room * 2], vec![Unknown::BLANK; room]);
            let mut report = Report::new(&mut findings, &mut places, &mut unknowns);
            check(&plan, &mut report);
            prop_assert!(report.findings().len() <= room);
            let tally = report.tally();
            let all = tally.dangers + tally.no_starts + tally.degraded + tally.notes;
            prop_assert_eq!(usize::from(all), report.findings().len() + usize::from(tally.dropped_findings));
            for finding in report.findings() {
                prop_assert!(report.places(finding.places).len() <= room * 2);
            }
            let _ = coldcheck::listing::listing(&plan);
        }
    }

    #[test]
    fn arbitrary_bytes_are_no_plan_and_no_image(bytes in prop::collection::vec(any::<u8>(), 0..2048)) {
        let _ = Plan::from_body(&bytes);
        prop_assert!(Image::read(&bytes).is_err());
    }

    #[test]
    fn arbitrary_text_is_read_or_refused(text in "(?s).{0,400}") {
        let _ = examine_sheets(&[coldcheck_tests::cases::sheet("s", &text)], None);
    }

    #[test]
    fn a_table_with_odd_cells_is_read_or_refused(
        rows in prop::collection::vec(
            prop::collection::vec("[A-Za-z0-9 .,;\"#/–'-]{0,12}", 0..8), 0..12
        ),
    ) {
        let mut text = String::from("cable,from,to,kind,length\n");
        for row in rows {
            text.push_str(&row.join(","));
            text.push('\n');
        }
        let sheets = [
            coldcheck_tests::cases::sheet("cables", &text),
            coldcheck_tests::cases::sheet("settings", "unit 1 = coordinator, addr 1\nunit 2 = follower"),
        ];
        let _ = examine_sheets(&sheets, None);
    }
}

#[test]
fn a_full_report_keeps_its_room_for_dangers() {
    let mut model = Model::line(8, &mut Dice::new(3));
    for unit in &mut model.units {
        unit.role = "coordinator";
        unit.address = 1;
        unit.terminator = "on";
    }
    let site = read_site(&request(&model.sheets(), None)).expect("it can be read");
    let plan = coldcheck::engine::plan(&site).expect("a plan");
    let (mut findings, mut places) = ([Finding::BLANK; 4], [Place::Group; 16]);
    let mut report = Report::new(&mut findings, &mut places, &mut []);
    check(&plan, &mut report);
    let dangers = report
        .findings()
        .iter()
        .filter(|finding| finding.rule.rule().severity == coldcheck_core::rule::Severity::Danger)
        .count();
    assert_eq!(dangers, 1);
    assert_eq!(report.verdict(), Verdict::Stop);
}
