//! Logs of whole buses by public packages: each has one thing wrong, which must be found, at its
//! unit and cable, and nothing else.

use coldcheck_core::finding::Finding;
use coldcheck_core::limits;
use coldcheck_core::place::Place;
use coldcheck_core::report::Report;
use coldcheck_core::rule::Check;
use coldcheck_core::rules::RULES;
use coldcheck_tests::buses::{self, Expected};
use coldcheck_tests::heard::{hear, read};
use coldcheck_tests::paths;
use coldcheck_tests::python::BUSES;
use std::collections::BTreeSet;
use std::fs;

#[test]
fn each_log_breaks_what_it_should_and_nothing_else() {
    for bus in buses::all() {
        let (plan, names) = coldcheck::image::read(&bus.site.image).expect("as it was written");
        let mut findings = [Finding::BLANK; limits::GATEWAY_FINDINGS];
        let mut places = [Place::Group; limits::GATEWAY_PLACES];
        let mut report = Report::new(&mut findings, &mut places, &mut []);
        coldcheck_core::check(&plan, &mut report);
        assert!(report.findings().is_empty(), "{}: the site is right", bus.site.name);
        coldcheck_core::compare(&plan, &hear(&plan, &read(&bus.site.log)), &mut report);
        let found: Vec<Expected> = report
            .findings()
            .iter()
            .map(|finding| {
                let unit = |place: &Place| {
                    let Place::Unit(unit) = place else { return None };
                    Some(unit.0 + 1)
                };
                let cable = |place: &Place| {
                    let Place::Cable(cable) = place else { return None };
                    names.cables.get(cable.index()).cloned()
                };
                let units = report.places(finding.places).iter().filter_map(unit).collect();
                let cables = report.related(finding.places).iter().filter_map(cable);
                let rule = finding.rule.rule().slug.to_owned();
                Expected { rule, units, cable: cables.collect::<Vec<_>>().join(" ") }
            })
            .collect();
        assert_eq!(found, bus.findings, "{}", bus.site.name);
    }
}

#[test]
fn every_rule_about_what_is_heard_is_broken_by_a_log() {
    let broken: BTreeSet<String> =
        buses::all().into_iter().flat_map(|bus| bus.findings).map(|finding| finding.rule).collect();
    let of_heard = RULES.iter().filter(|(_, rule)| matches!(rule.check, Check::Heard(_)));
    let slugs: BTreeSet<String> = of_heard.map(|(_, rule)| rule.slug.to_owned()).collect();
    assert_eq!(broken, slugs);
}

#[test]
#[ignore = "needs Python and three packages; cargo dev test runs it"]
fn the_packages_write_the_same_logs_again() {
    BUSES.set_up().expect("the packages can be had");
    let fresh = paths::scratch("buses");
    buses::write(&fresh);
    for bus in buses::all() {
        let name = format!("{}.log", bus.site.name);
        let now = fs::read_to_string(fresh.join(&name)).expect("written just now");
        assert_eq!(now, bus.site.log, "{name}");
    }
}
