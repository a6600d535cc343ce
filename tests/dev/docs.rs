//! Parts of README.md that are made from the program itself: the rule table and the examples.

use coldcheck::diagnosis::diagnose_heard;
use coldcheck::drill::ask::Ask;
use coldcheck::drill::exercise::Drill;
use coldcheck::engine::{Refusal, plan, site_of};
use coldcheck::hearing::Hearing;
use coldcheck::log::Reader;
use coldcheck::read::RawSheet;
use coldcheck::render::terminal::{Style, check as render};
use coldcheck_core::plan::Dialect;
use coldcheck_core::rules::RULES;
use coldcheck_tests::cases::{examine_sheets, request};
use coldcheck_tests::paths;
use std::fmt::Write;
use std::fs;

/// Makes a part.
type Make = fn() -> Result<String, String>;

/// The parts, by the name in their marks.
const PARTS: &[(&str, Make)] =
    &[("example", example), ("heard", heard), ("drill", drill), ("rules", rules)];

pub(crate) fn write() -> Result<(), String> {
    let path = paths::workspace().join("README.md");
    let text = fs::read_to_string(&path).map_err(|error| error.to_string())?;
    fs::write(&path, renewed(&text)?).map_err(|error| error.to_string())
}

pub(crate) fn check() -> Result<(), String> {
    let path = paths::workspace().join("README.md");
    let text = fs::read_to_string(&path).map_err(|error| error.to_string())?;
    if renewed(&text)? == text {
        Ok(())
    } else {
        Err("README.md is behind the program; run `cargo dev docs`".to_owned())
    }
}

/// The text with every part made anew.
fn renewed(text: &str) -> Result<String, String> {
    let mut text = text.to_owned();
    for (name, make) in PARTS {
        let begin = format!("<!-- {name}: made by `cargo dev docs` -->");
        let end = format!("<!-- end of {name} -->");
        let missing = || format!("README.md lacks the marks {begin} and {end}");
        let (before, rest) = text.split_once(&begin).ok_or_else(missing)?;
        let (_, after) = rest.split_once(&end).ok_or_else(missing)?;
        text = format!("{before}{begin}\n{}{end}{after}", make()?);
    }
    Ok(text)
}

fn rules() -> Result<String, String> {
    let mut table = String::from("\n| rule | severity | fault |\n|---|---|---|\n");
    for (_, rule) in RULES {
        let severity = rule.severity.word();
        writeln!(table, "| `{}` | {severity} | {} |", rule.slug, rule.text.title)
            .map_err(|error| error.to_string())?;
    }
    table.push('\n');
    Ok(table)
}

/// What the program says about the faulty demonstration site.
fn example() -> Result<String, String> {
    let sheets = demonstration("terrace-faulty");
    let (site, diagnosis) = examine_sheets(&sheets, None)
        .map_err(|refusal| format!("the demonstration site: {:?}", refusal.errors))?;
    let text = render(&site, &diagnosis, Style { colour: false, quiet: false });
    Ok(format!("```text\n{text}```\n"))
}

/// What the program says of a log of the demonstration site, down to what was not checked.
fn heard() -> Result<String, String> {
    let sheets = demonstration("terrace-right");
    let log = read("terrace-heard/bus.log");
    let refused = |refusal: Refusal| format!("the demonstration log: {:?}", refusal.errors);
    let mut site = site_of(&request(&sheets, None)).map_err(refused)?;
    site.demand_dialect(Dialect::CanOpen).map_err(|error| error.to_string())?;
    let plan = plan(&site).map_err(|error| format!("{error:?}"))?;
    let mut hearing = Hearing::of(&plan, Reader::new(&log.name, None));
    hearing.push(&log.bytes).and_then(|()| hearing.finish()).map_err(|error| error.to_string())?;
    let diagnosis = diagnose_heard(&site, &hearing).map_err(|error| format!("{error:?}"))?;
    let text = render(&site, &diagnosis, Style { colour: false, quiet: false });
    let (shown, rest) = text.split_once("\nNot checked:").ok_or("nothing was left unchecked")?;
    let (_, cautions) = rest.rsplit_once("\n\n").ok_or("no cautions")?;
    Ok(format!("```text\n{shown}…\n\n{cautions}```\n"))
}

/// The answer of a drill, down to what the trainer tells whoever asks.
fn drill() -> Result<String, String> {
    let kinds = vec!["wires-swapped".to_owned()];
    let ask = Ask { units: 3, number: 3, kinds, ..Ask::default() };
    let drill = Drill::make(&ask).map_err(|refused| refused.to_string())?;
    let noticed = drill.exercise().noticed.join(" ");
    let text = coldcheck::render::drill::answers(&drill.answered(), "Drill 3");
    let (shown, _) = text.split_once("What to tell").ok_or("nothing is told to whoever asks")?;
    Ok(format!("```text\nNoticed: {noticed}\n\n{}\n…\n```\n", shown.trim_end()))
}

fn demonstration(folder: &str) -> [RawSheet; 2] {
    ["cables.csv", "settings.txt"].map(|file| read(&format!("{folder}/{file}")))
}

fn read(path: &str) -> RawSheet {
    let name = format!("host-cli/demo/{path}");
    let bytes = fs::read(paths::workspace().join(&name)).unwrap_or_default();
    RawSheet { name, bytes }
}
