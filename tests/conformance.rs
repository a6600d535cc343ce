//! Every rule keeps the form of a rule: walked over the table, so that no list is kept by hand.

use coldcheck::log::Times;
use coldcheck::render::explain::{broken, sheets};
use coldcheck_core::finding::{Outcome, Verdict};
use coldcheck_core::heard::Heard;
use coldcheck_core::rule::{Check, Rule, Severity};
use coldcheck_core::rules::{RULES, RuleId};
use coldcheck_tests::cases::{all, examine_example, examine_sheets};
use coldcheck_tests::{generate, paths};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;

fn rules() -> impl Iterator<Item = (RuleId, &'static Rule)> {
    RULES.iter().map(|(id, rule)| (*id, rule))
}

#[test]
fn the_broken_example_breaks_this_rule_and_no_other() {
    for (id, rule) in rules() {
        let text = broken(&rule.text.example);
        let (_, diagnosis) = examine_example(&text)
            .unwrap_or_else(|refusal| panic!("{}: {:?}", rule.slug, refusal.errors));
        let found: BTreeSet<_> = diagnosis.findings.iter().map(|finding| finding.rule).collect();
        let wanted: BTreeSet<_> = rule.text.example.with.iter().copied().chain([id]).collect();
        assert_eq!(found, wanted, "{}:\n{text}", rule.slug);
        assert_eq!(diagnosis.questions, [], "{}", rule.slug);
        assert_eq!(diagnosis.not_understood, [], "{}", rule.slug);
    }
}

#[test]
fn the_right_example_is_right_in_every_part() {
    for (_, rule) in rules() {
        let (_, diagnosis) = examine_example(rule.text.example.site).expect("it can be read");
        assert_eq!(diagnosis.verdict, Verdict::Ok, "{}: {:?}", rule.slug, diagnosis.findings);
        let listens = matches!(rule.check, Check::Heard(_));
        assert_eq!(diagnosis.stages.contains(&"heard"), listens, "{}", rule.slug);
        if listens {
            assert_eq!(diagnosis.stages, ["sheets", "link", "heard"], "{}", rule.slug);
            let log = diagnosis.heard.expect("a log").log;
            assert_eq!((log.unfit, log.times()), (0, Times::Told), "{}", rule.slug);
        }
    }
}

#[test]
fn every_edit_of_an_example_changes_something() {
    for (_, rule) in rules() {
        let example = rule.text.example;
        let mut site = example.site.to_owned();
        for (right, wrong) in example.edits {
            assert_eq!(site.matches(right).count(), 1, "{}: {right}", rule.slug);
            site = site.replacen(right, wrong, 1);
        }
        assert_ne!(site, example.site, "{}", rule.slug);
    }
}

#[test]
fn words_are_there_and_keep_their_form() {
    for (_, rule) in rules() {
        let text = &rule.text;
        let slug = rule.slug;
        assert!(text.title.len() <= 60, "{slug}: the title is long");
        assert!(!text.title.ends_with('.'), "{slug}: the title is a fault, not a sentence");
        for words in [text.title, text.says, text.why, text.act, text.prove, text.source] {
            assert!(!words.is_empty(), "{slug} lacks words");
            assert!(!words.contains("  "), "{slug}: {words}");
            for unwanted in [" safe ", "todo"] {
                assert!(!words.to_lowercase().contains(unwanted), "{slug}: {words}");
            }
        }
        for sentence in [text.why, text.act, text.prove] {
            assert!(sentence.ends_with('.'), "{slug}: {sentence}");
        }
        assert!(!text.says.ends_with('.'), "{slug}: {}", text.says);
        for slot in text.says.split('{').skip(1).filter_map(|rest| rest.split('}').next()) {
            let known = ["places", "either", "related", "value", "wanted"].contains(&slot);
            assert!(known, "{slug}: {slot} is no slot");
        }
    }
}

#[test]
fn a_rule_stands_below_the_rules_that_spoil_it() {
    let mut above = BTreeSet::new();
    for (id, rule) in rules() {
        for spoiler in rule.after {
            assert!(above.contains(spoiler), "{} stands above {spoiler:?}", rule.slug);
            let words = spoiler.rule().text.spoils;
            assert!(!words.is_empty(), "{spoiler:?} spoils {} and says not why", rule.slug);
        }
        for doubter in rule.needs.doubted_by {
            let words = doubter.rule().text.spoils;
            assert!(!words.is_empty(), "{doubter:?} leaves {} in doubt, why?", rule.slug);
            assert!(!rule.after.contains(doubter), "{}: {doubter:?} spoils it anyway", rule.slug);
        }
        above.insert(id);
    }
}

#[test]
fn a_danger_depends_on_its_own_inputs_only() {
    for (_, rule) in rules().filter(|(_, rule)| rule.severity == Severity::Danger) {
        assert_eq!(rule.after, [], "{}", rule.slug);
        assert_eq!(rule.needs.doubted_by, [], "{}", rule.slug);
    }
}

#[test]
fn the_list_equals_the_folder() {
    let folder = paths::workspace().join("core/src/rules");
    let mut files = BTreeSet::new();
    for group in fs::read_dir(&folder).expect("the folder").map(|entry| entry.expect("an entry")) {
        // The right sites of the examples lie beside the groups.
        if group.path().is_dir() && group.file_name() != "examples" {
            for file in fs::read_dir(group.path()).expect("a group").flatten() {
                let stem = file.path().file_stem().expect("a name").to_string_lossy().into_owned();
                files.insert(stem.replace('_', "-"));
            }
        }
    }
    let slugs: BTreeSet<_> = rules().map(|(_, rule)| rule.slug.to_owned()).collect();
    assert_eq!(slugs, files);
}

#[test]
fn rules_are_faults_of_the_catalogue_with_its_severity() {
    let text = fs::read_to_string(paths::tests().join("facts/faults.csv")).expect("the facts");
    let catalogue: BTreeMap<&str, &str> = text
        .lines()
        .filter(|line| !line.starts_with('#'))
        .filter_map(|line| Some((line.split(',').next()?, line.split(',').nth(3)?)))
        .collect();
    for (_, rule) in rules() {
        let severity = match catalogue.get(rule.slug) {
            Some(&"damage/hazard") => "danger",
            Some(&"no start") => "no-start",
            Some(&"nuisance") => "note",
            Some(other) => other,
            // The catalogue is of what sheets show; some of it is heard besides.
            None if matches!(rule.check, Check::Heard(_)) => continue,
            None => panic!("{} is not in the catalogue", rule.slug),
        };
        assert_eq!(rule.severity.word(), severity, "{}", rule.slug);
    }
}

#[test]
fn every_rule_of_the_stages_that_ran_is_in_exactly_one_list() {
    let mut dice = generate::Dice::new(7);
    let sites = all().into_iter().map(|case| examine_sheets(&case.sheets, case.scope));
    let examples = rules().map(|(_, rule)| examine_example(&broken(&rule.text.example)));
    let generated: Vec<_> =
        (2..=16).map(|units| generate::Model::line(units, &mut dice).sheets()).collect();
    let generated = generated.iter().map(|sheets| examine_sheets(sheets, None));
    for examined in sites.chain(examples).chain(generated) {
        let (_, diagnosis) = examined.expect("it can be read");
        for (id, rule) in rules() {
            let ran = diagnosis.stages.contains(&coldcheck::diagnosis::stage(id));
            let lists = [
                diagnosis.findings.iter().any(|finding| finding.rule == id),
                diagnosis.not_checked.iter().any(|entry| entry.rule == id),
                diagnosis.met.contains(&id),
            ];
            let count = lists.into_iter().filter(|listed| *listed).count();
            assert_eq!(count, usize::from(ran), "{}: {lists:?}", rule.slug);
        }
    }
}

#[test]
fn numbers_on_the_wire_lead_back_to_their_rules() {
    for (id, rule) in rules() {
        assert_eq!(RuleId::from_number(id.number()), Some(id), "{}", rule.slug);
        assert!(id.index() < coldcheck_core::limits::RULES, "{}", rule.slug);
    }
    assert_eq!(RuleId::from_number(0), None);
}

#[test]
fn the_core_gives_an_outcome_to_the_rules_that_it_checks_and_to_no_other() {
    let site =
        examine_sheets(&sheets(RULES[0].1.text.example.site), None).expect("it can be read").0;
    let plan = coldcheck::engine::plan(&site).expect("a plan");
    let mut report = coldcheck_core::report::Report::new(&mut [], &mut [], &mut []);
    coldcheck_core::check(&plan, &mut report);
    for (id, rule) in rules() {
        let by_others = matches!(rule.check, Check::Reader | Check::Heard(_) | Check::Sized);
        assert_eq!(report.outcome(id) == Outcome::NotRun, by_others, "{}", rule.slug);
    }
    coldcheck_core::compare(&plan, &Heard::of(&plan), &mut report);
    for (id, rule) in rules() {
        let by_host = matches!(rule.check, Check::Reader | Check::Sized);
        assert_eq!(report.outcome(id) == Outcome::NotRun, by_host, "{}", rule.slug);
    }
}
