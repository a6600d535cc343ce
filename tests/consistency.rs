//! One finding says the same thing at the same place wherever it is told: terminal, JSON, SARIF,
//! drawing, report, page and gateway, walked for every rule's own broken example and every case.
//!
//! JSON is what the others are held against; its meaning is held against `design.md` elsewhere.

use coldcheck::diagnosis::Diagnosis;
use coldcheck::draw::{Parts, Width, draw};
use coldcheck::engine::Site;
use coldcheck::image;
use coldcheck::listing::listing;
use coldcheck::profile::{ASSUMED, builtin};
use coldcheck::read::RawSheet;
use coldcheck::render::explain::{broken, sheets};
use coldcheck::render::html::{self, Made};
use coldcheck::render::terminal::{Style, check};
use coldcheck::render::{json, sarif};
use coldcheck_core::rule::Check;
use coldcheck_core::rules::{RULES, RuleId};
use coldcheck_tests::cases::{self, examine_example, examine_sheets};
use coldcheck_tests::firmware::Board;
use coldcheck_tests::golden::day;
use coldcheck_tests::{images, rig, wasm};
use scraper::Html;
use serde_json::{Value, json};

/// A site under its name, with its sheets where it was made from nothing else.
struct One {
    name: String,
    sheets: Vec<RawSheet>,
    site: Site,
    diagnosis: Diagnosis,
}

fn all() -> Vec<One> {
    let mut all: Vec<One> = cases::all()
        .into_iter()
        .filter(|case| case.scope.is_none())
        .map(|case| {
            let (site, diagnosis) = case.examine().expect("a case can be read");
            One { name: case.name, sheets: case.sheets, site, diagnosis }
        })
        .collect();
    for (_, rule) in RULES {
        let text = broken(&rule.text.example);
        let (site, diagnosis) = examine_example(&text).expect("an example can be read");
        // An example with a log is no set of sheets alone.
        let files = if matches!(rule.check, Check::Heard(_)) { Vec::new() } else { sheets(&text) };
        all.push(One { name: rule.slug.to_owned(), sheets: files, site, diagnosis });
    }
    all
}

/// Where a sheet breaks a line within a name, and how that is made visible.
const BREAK: char = '\u{240a}';

/// Words with one space between them.
fn plain(text: &str) -> String {
    text.replace(BREAK, " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The words that stand in markup.
fn words(markup: &str) -> String {
    plain(&Html::parse_document(markup).root_element().text().collect::<Vec<_>>().join(" "))
}

/// Without any white space: where a narrow line breaks says nothing.
fn dense(text: &str) -> String {
    text.chars().filter(|sign| !sign.is_whitespace() && *sign != BREAK).collect()
}

fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_default()
}

#[test]
fn text_sarif_drawing_and_report_say_what_json_says() {
    let mut told = 0;
    for One { name, sheets, site, diagnosis } in all() {
        let report = json::check(&site, &diagnosis);
        let terminal = check(&site, &diagnosis, Style { colour: false, quiet: false });
        let log = sarif::check(&site, &diagnosis);
        let drawing = dense(&words(&draw(&site, &diagnosis, Width::Page, Parts::Whole).svg()));
        let profile = builtin(site.profile_named.as_deref().unwrap_or(ASSUMED)).expect("built in");
        let tables = html::all(&site, &diagnosis).expect("a plan");
        let made = Made { sheets: &sheets, profile, day: day() };
        let page = words(&html::report(&site, &diagnosis, &made, &tables, None));
        let results: Vec<&Value> = log["runs"][0]["results"]
            .as_array()
            .expect("results")
            .iter()
            .filter(|result| result["kind"] == "fail" && result["ruleId"] != "undeclared-fact")
            .collect();
        let findings = report["findings"].as_array().expect("findings");
        assert_eq!(results.len(), findings.len(), "{name}: SARIF");
        let flat = plain(&terminal);
        for (finding, result) in findings.iter().zip(results) {
            let (rule, says) = (text(finding, "rule"), text(finding, "says"));
            let head = plain(&format!("{says} [{rule}]"));
            assert!(flat.contains(&head), "{name}: the terminal lacks {head}:\n{terminal}");
            assert!(drawing.contains(&dense(says)), "{name}: the drawing lacks {says}");
            for key in ["says", "why", "do", "prove"] {
                let words = plain(text(finding, key));
                assert!(page.contains(&words), "{name}: the report lacks {words}");
                assert!(key == "says" || flat.contains(&words), "{name}: no {key}: {words}");
            }
            assert_eq!(result["ruleId"], rule, "{name}");
            let message = text(&result["message"], "text");
            assert!(message.contains(says), "{name}: SARIF says {message}");
            if let Some(origin) = finding["origins"].as_array().and_then(|all| all.first()) {
                let (line, column) = (&origin["line"], &origin["column"]);
                let place = format!("{}:{line}:{column}", text(origin, "file"));
                assert!(terminal.contains(&place), "{name}: the terminal lacks {place}");
                let region = &result["locations"][0]["physicalLocation"]["region"];
                assert_eq!(
                    (&region["startLine"], &region["startColumn"]),
                    (line, column),
                    "{name}"
                );
            }
            told += 1;
        }
    }
    assert!(told > 150, "{told} findings");
}

#[test]
#[ignore = "needs the targets, node and the emulator; cargo dev test runs it"]
fn page_and_gateway_say_what_json_says() {
    let (mut sites, mut asked, mut wanted) = (Vec::new(), Vec::new(), Vec::new());
    for One { name, sheets, site, diagnosis } in all() {
        let report = json::check(&site, &diagnosis);
        if !sheets.is_empty() {
            let sent: Vec<Value> = sheets
                .iter()
                .map(|sheet| {
                    let text = coldcheck::read::text_of(sheet).expect("text");
                    json!({ "name": sheet.name, "text": text })
                })
                .collect();
            let (site, diagnosis) = examine_sheets(&sheets, None).expect("the sheets alone");
            asked.push(json!({ "sheets": sent }));
            wanted.push((name.clone(), json::check(&site, &diagnosis)));
        }
        // What a gateway checks by itself: all but what readers, sizes and a log find.
        let image = image::write(&site);
        let Ok((plan, _)) = image::read(&image) else { continue };
        let lines = listing(&plan);
        let own = |id: &RuleId| matches!(id.rule().check, Check::Link(_) | Check::Power(_));
        for (id, rule) in RULES.iter().filter(|(id, _)| own(id)) {
            let found = report["findings"].as_array().expect("findings");
            let count = found.iter().filter(|finding| text(finding, "rule") == rule.slug).count();
            let head = format!("finding {id:?} ");
            let listed = lines.iter().filter(|line| line.starts_with(&head)).count();
            assert_eq!(listed, count, "{name}: {} on the gateway", rule.slug);
        }
        sites.push(images::Site { name, image, log: String::new() });
    }
    for (page, (name, wanted)) in wasm::check_all_sheets(&asked).iter().zip(&wanted) {
        assert_eq!(page, wanted, "{name}: the page");
    }
    let sites: Vec<_> = sites.into_iter().map(rig::without_names).collect();
    let differences = rig::differences(Board::CortexM3, "consistency", &sites);
    assert!(differences.is_empty(), "{differences:#?}");
}
