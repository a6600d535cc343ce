//! Parts of README.md that are made from the program itself: the rule table and the example.

use coldcheck::read::RawSheet;
use coldcheck::render::terminal::{Style, check as render};
use coldcheck_core::rules::RULES;
use coldcheck_tests::cases::examine_sheets;
use coldcheck_tests::paths;
use std::fmt::Write;
use std::fs;

/// Makes a part.
type Make = fn() -> Result<String, String>;

/// The parts, by the name in their marks.
const PARTS: &[(&str, Make)] = &[("example", example), ("rules", rules)];

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
    let folder = "host-cli/demo/terrace-faulty";
    let sheets = ["cables.csv", "settings.txt"].map(|file| {
        let name = format!("{folder}/{file}");
        let bytes = fs::read(paths::workspace().join(&name)).unwrap_or_default();
        RawSheet { name, bytes }
    });
    let (site, diagnosis) = examine_sheets(&sheets, None)
        .map_err(|refusal| format!("the demonstration site: {:?}", refusal.errors))?;
    let text = render(&site, &diagnosis, Style { colour: false, quiet: false });
    Ok(format!("```text\n{text}```\n"))
}
