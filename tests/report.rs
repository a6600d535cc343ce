//! The report: sound HTML that holds everything the check says, and nothing from elsewhere.

use coldcheck::diagnosis::Diagnosis;
use coldcheck::engine::Site;
use coldcheck::profile::{ASSUMED, builtin};
use coldcheck::read::RawSheet;
use coldcheck::render::html::{Made, Table, of_meter, of_sizes, policy, report};
use coldcheck::render::terminal::{Style, sizes as sizes_text};
use coldcheck::render::told::{self, measuring};
use coldcheck::sizing::site::Sizes;
use coldcheck::words::CAUTIONS;
use coldcheck_core::rule::Severity;
use coldcheck_tests::cases::{self, examine_sheets};
use coldcheck_tests::drawings::{self, HOSTILE, Named};
use coldcheck_tests::golden::day;
use coldcheck_tests::{paths, program};
use scraper::{Html, Selector};
use sha2_of::sha256;
use std::fs;

/// Names with a meaning for browsers that run or fetch something.
const NOT_HERE: &[&str] =
    &["script", "link", "img", "iframe", "object", "embed", "form", "a", "base"];

fn made(named: &Named) -> (Site, Diagnosis, String) {
    let (site, diagnosis) = named.examine();
    let html = of(&site, &diagnosis, &named.sheets, &[]);
    (site, diagnosis, html)
}

fn of(site: &Site, diagnosis: &Diagnosis, sheets: &[RawSheet], tables: &[Table]) -> String {
    let profile = builtin(&site.profile.name).or_else(|| builtin(ASSUMED)).expect("built in");
    report(site, diagnosis, &Made { sheets, profile, day: day() }, tables, None)
}

/// Text as it can stand in a page: in one line, with signs instead of what acts.
fn text(html: &Html) -> String {
    let body = html.root_element().text().collect::<Vec<_>>().join(" ");
    body.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn it_is_sound_html_without_anything_that_runs_or_fetches() {
    let sites = [drawings::of_cases(), drawings::hostile(), drawings::tangled()];
    for named in sites.into_iter().flatten().chain(drawings::generated(0..8)) {
        let (_, _, html) = made(&named);
        let tree = Html::parse_document(&html);
        assert_eq!(tree.errors, Vec::<std::borrow::Cow<'_, str>>::new(), "{}", named.name);
        for node in tree.root_element().descendants() {
            let Some(element) = node.value().as_element() else { continue };
            assert!(!NOT_HERE.contains(&element.name()), "{}: <{}>", named.name, element.name());
            for (attribute, value) in element.attrs() {
                let runs =
                    attribute.starts_with("on") || ["href", "src", "action"].contains(&attribute);
                assert!(!runs, "{}: {attribute}={value}", named.name);
                let outside = value.contains("//") && attribute != "xmlns";
                assert!(!outside, "{}: {attribute}={value}", named.name);
            }
        }
        let styles = Selector::parse("style").expect("a selector");
        for style in tree.select(&styles).map(|style| style.text().collect::<String>()) {
            assert!(!style.contains("url(") && !style.contains("@import"), "{style}");
        }
    }
}

#[test]
fn every_identifier_stands_once_and_every_reference_leads_to_one() {
    for named in drawings::of_cases() {
        let (_, _, html) = made(&named);
        let tree = Html::parse_document(&html);
        let all = Selector::parse("[id]").expect("a selector");
        let mut ids: Vec<_> = tree.select(&all).filter_map(|node| node.attr("id")).collect();
        ids.sort_unstable();
        let count = ids.len();
        ids.dedup();
        assert_eq!(ids.len(), count, "{}", named.name);
        let labelled = Selector::parse("[aria-labelledby]").expect("a selector");
        for node in tree.select(&labelled) {
            for id in node.attr("aria-labelledby").unwrap_or("").split(' ') {
                assert!(ids.contains(&id), "{}: {id}", named.name);
            }
        }
    }
}

#[test]
fn it_says_everything_that_the_check_says() {
    for named in drawings::of_cases().into_iter().chain(drawings::of_rules().into_iter().step_by(5))
    {
        let (site, diagnosis, html) = made(&named);
        let text = text(&Html::parse_document(&html));
        let squeezed = |words: &str| words.split_whitespace().collect::<Vec<_>>().join(" ");
        let holds = |words: &str| {
            assert!(text.contains(&squeezed(words)), "{}: {words}", named.name);
        };
        let (word, says) = told::verdict(&diagnosis);
        holds(&format!("{word}: {says}"));
        holds(&told::profile(&site));
        holds(CAUTIONS);
        for finding in &diagnosis.findings {
            let (head, says) = told::finding(finding);
            holds(&format!("{head}: {says}"));
            let words = finding.rule.rule().text;
            for words in [words.why, words.act, words.prove] {
                holds(words);
            }
            for label in &finding.labels {
                holds(site.declared.sheets.line(label.origin));
            }
        }
        for line in told::Open::of(&diagnosis.not_checked).lines() {
            holds(&line);
        }
        for line in diagnosis.undeclared.iter().map(told::undeclared).chain(told::met(&diagnosis)) {
            holds(&line);
        }
        for question in &diagnosis.questions {
            holds(&question.says);
            holds(&question.answer);
        }
        for sheet in &named.sheets {
            holds(&sheet.name);
            holds(&sha256(&sheet.bytes));
        }
        holds(env!("CARGO_PKG_VERSION"));
    }
}

#[test]
fn dangers_left_open_stand_above_the_findings() {
    let named = drawings::of_cases().into_iter().find(|named| named.name == "11-guest-house");
    let (_, diagnosis, html) = made(&named.expect("a case"));
    let open = told::Open::of(&diagnosis.not_checked).dangers;
    assert!(open.len() > 1);
    let findings = html.find("<h2>Findings</h2>").expect("a heading");
    for line in open {
        assert!(html.find(&line).is_some_and(|at| at < findings), "{line}");
        assert_eq!(html.matches(&line).count(), 1, "{line}");
    }
}

#[test]
fn waivers_stand_with_reason_name_and_day() {
    let bytes = fs::read(paths::tests().join("waived/site.toml")).expect("the site");
    let sheets = [RawSheet { name: "site.toml".to_owned(), bytes }];
    let (site, mut diagnosis) = examine_sheets(&sheets, None).expect("it can be read");
    diagnosis.waive(&site, day());
    let html = of(&site, &diagnosis, &sheets, &[]);
    let text = text(&Html::parse_document(&html));
    assert!(!diagnosis.waived.is_empty() && !diagnosis.idle_waivers.is_empty());
    for waived in &diagnosis.waived {
        let waiver = &waived.waiver;
        for words in [&waiver.reason, &waiver.by, &format!("until {}", waiver.until)] {
            assert!(text.contains(words.as_str()), "{words}");
        }
    }
    for idle in &diagnosis.idle_waivers {
        assert!(text.contains(&told::idle_waiver(&site.declared.sheets, idle)));
    }
    assert!(text.contains(&told::held_against(&diagnosis)));
}

#[test]
fn hostile_text_is_text() {
    for (at, named) in drawings::hostile().iter().enumerate() {
        let (_, _, html) = made(named);
        for raw in ["<script", "<img", "<!--", "\u{202e}", "\u{2066}", "\u{1b}", "\u{200f}"] {
            assert!(!html.contains(raw), "{}: {raw:?}", named.name);
        }
        let tree = Html::parse_document(&html);
        let heading = Selector::parse("h1").expect("a selector");
        let said: String = tree.select(&heading).flat_map(|node| node.text()).collect();
        if HOSTILE.get(at).is_some_and(|text| text.contains("script")) {
            assert_eq!(said, HOSTILE[at]);
        }
    }
}

#[test]
fn a_table_of_another_part_is_shown_and_an_empty_one_is_not() {
    let case = &cases::all()[0];
    let (site, diagnosis) = case.examine().expect("it can be read");
    let table = |title: &str, rows: Vec<Vec<String>>| Table {
        title: title.to_owned(),
        says: vec!["How to <read> it.".to_owned()],
        head: vec!["Where".to_owned(), "Ohms".to_owned()],
        rows,
        ..Table::default()
    };
    let full = table("Meter plan", vec![vec!["socket A".to_owned(), "60".to_owned()]]);
    let html = of(&site, &diagnosis, &case.sheets, &[full, table("Nothing", Vec::new())]);
    assert!(html.contains("<h2>Meter plan</h2>") && html.contains("<td>60</td>"));
    assert!(html.contains("How to &lt;read&gt; it."));
    assert!(!html.contains("Nothing</h2>"));
}

/// The heading of a table and all that stands below it, up to the next heading.
fn under<'h>(html: &'h str, heading: &str) -> &'h str {
    let (_, rest) = html.split_once(heading).expect("the heading");
    rest.split("<h2>").next().unwrap_or(rest)
}

#[test]
fn the_meter_part_stops_where_a_danger_stands_and_ends_with_plugging_in() {
    let mut stops = 0;
    for case in cases::all() {
        let (site, diagnosis) = case.examine().expect("it can be read");
        let html =
            of(&site, &diagnosis, &case.sheets, &of_meter(&site, &diagnosis).expect("a plan"));
        let part = under(&html, "<h2>Meter plan</h2>");
        let (before, after) = part.split_once("<table>").expect("a table");
        let dangers = diagnosis.dangers().count();
        let is_first = before.trim_start().starts_with("<p class=\"stop\"><strong>STOP:</strong>");
        assert_eq!(is_first, dangers > 0, "{}", case.name);
        let first = diagnosis.findings.iter().find(|one| one.severity == Severity::Danger);
        let holds = first.is_none_or(|one| text(&Html::parse_fragment(before)).contains(&one.says));
        assert!(holds, "{}", case.name);
        stops += dangers;
        assert!(!before.contains(measuring::PLUG_IN_AGAIN), "{}", case.name);
        let last = after.split_once("</table>").map_or("", |(_, last)| last);
        assert!(last.contains(measuring::PLUG_IN_AGAIN), "{}", case.name);
        for heading in [measuring::WOULD_SHOW, measuring::PORTS] {
            assert!(under(&html, &format!("<h2>{heading}</h2>")).contains("ohm</td>"), "{heading}");
        }
    }
    assert!(stops > 1);
}

#[test]
fn the_sizes_say_what_was_not_computed_and_that_no_code_is_chosen() {
    let case = &cases::all()[0];
    let (site, diagnosis) = case.examine().expect("it can be read");
    let sizes = Sizes::of(&site, &diagnosis).expect("a plan");
    let html = of(&site, &diagnosis, &case.sheets, &of_sizes(&site, &sizes));
    let text = text(&Html::parse_document(&html));
    // What the command says, less the layout.
    let told = sizes_text(&site, &sizes, Style { colour: false, quiet: true });
    let closing = told.rsplit("\n\n").next().expect("a last paragraph");
    let squeezed = |words: &str| words.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains(&squeezed(closing)), "{closing}");
    assert!(told.contains("No code is chosen") && text.contains("No code is chosen"));
    assert!(!sizes.sheet.uncomputed.is_empty());
    // Each missing datum stands there with how many numbers wait for it.
    for lack in sizes.sheet.uncomputed.iter().flat_map(|one| &one.lacks) {
        let waiting = sizes.sheet.uncomputed.iter().filter(|one| one.lacks.contains(lack));
        let row = format!("{} {}", lack.text(), waiting.count());
        assert!(text.contains(&row), "{row}");
    }
}

#[test]
fn a_browser_is_told_to_run_and_fetch_nothing() {
    let case = &cases::all()[0];
    let (site, diagnosis) = case.examine().expect("it can be read");
    let html = of(&site, &diagnosis, &case.sheets, &[]);
    let page = Html::parse_document(&html);
    let select = |text: &str| Selector::parse(text).expect("a selector");
    let policies: Vec<_> = page
        .select(&select("meta[http-equiv=Content-Security-Policy]"))
        .map(|meta| meta.attr("content").unwrap_or_default().to_owned())
        .collect();
    let style: String =
        page.select(&select("style")).flat_map(|one| one.text()).collect::<Vec<_>>().concat();
    let allowed = policy::hash(&style);
    assert_eq!(policies, [policy::of(&allowed)]);
    assert!(policies[0].starts_with("default-src 'none'; style-src 'sha256-"));
    // It holds for what comes after it.
    assert!(html.find("Content-Security-Policy") < html.find("<style"));
    assert_eq!(page.select(&select("[style], script, link, iframe, object, img")).count(), 0);
}

#[test]
fn the_command_ends_as_check_does_and_overwrites_nothing() {
    let folder = program::folder("report");
    let file = folder.join("report.html");
    let file = file.to_str().expect("a plain path");
    for case in cases::all().iter().take(5) {
        let arguments = ["cables.csv", "settings.txt", "--date", "2027-01-01"];
        let run = |command: &str, more: &[&str]| {
            program::run_in(&case.folder, &[&[command][..], &arguments, more].concat())
        };
        let code = run("check", &[]).status.code();
        let once = run("report", &[]);
        assert_eq!(once.status.code(), code, "{}", case.name);
        let written = run("report", &["-o", file, "--force"]);
        assert_eq!(written.status.code(), code, "{}", program::err(&written));
        assert_eq!(fs::read_to_string(file).expect("written"), program::out(&once));
        for words in ["2027-01-01", "<h2>Meter plan</h2>", "<h2>Settings to dial in</h2>"] {
            assert!(program::out(&once).contains(words), "{}: {words}", case.name);
        }
        let refused = run("report", &["-o", file]);
        assert_eq!(refused.status.code(), Some(2));
        let drawn = run("draw", &["--width", "phone"]);
        assert_eq!(drawn.status.code(), Some(0), "{}", case.name);
        assert!(program::out(&drawn).starts_with("<?xml"));
        assert_eq!(run("draw", &["-o", file]).status.code(), Some(2));
        assert_eq!(run("draw", &["--profile", "nobody"]).status.code(), Some(2));
    }
}

/// Hashes by the tool of the system, so that the program's are held against another's.
mod sha2_of {
    use std::io::Write;
    use std::process::{Command, Stdio};

    pub(super) fn sha256(bytes: &[u8]) -> String {
        let mut child = Command::new("sha256sum")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("coreutils are there");
        child.stdin.take().expect("a pipe").write_all(bytes).expect("it reads");
        let output = child.wait_with_output().expect("it ends");
        String::from_utf8_lossy(&output.stdout).split(' ').next().unwrap_or("").to_owned()
    }
}
