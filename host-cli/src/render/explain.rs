//! Rules explained: their words, and an example with the line that breaks it.

use crate::drill::words::Words;
use crate::read::RawSheet;
use crate::words::{CAUTIONS, WIDTH};
use coldcheck_core::rule::{Example, Rule};
use coldcheck_core::rules::RuleId;
use serde_json::{Value, json};
use std::fmt::Write;

/// An example site with the edit that breaks the rule.
pub fn broken(example: &Example) -> String {
    example
        .edits
        .iter()
        .fold(example.site.to_owned(), |site, (right, wrong)| site.replacen(right, wrong, 1))
}

/// The sheets of an example: one site file, or several sheets below lines `== NAME`.
pub fn sheets(example: &str) -> Vec<RawSheet> {
    let mut files = files(example);
    files.retain(|file| !is_log(file));
    files
}

/// The log of an example about what is heard: the file whose name ends in `.log`.
pub fn log(example: &str) -> Option<RawSheet> {
    files(example).into_iter().find(is_log)
}

fn is_log(file: &RawSheet) -> bool {
    file.name.strip_suffix(".log").is_some()
}

fn files(example: &str) -> Vec<RawSheet> {
    let sheet = |name: &str, text: &str| RawSheet {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    };
    let Some(rest) = example.strip_prefix("== ") else {
        return vec![sheet("example.toml", example)];
    };
    rest.split("\n== ")
        .map(|part| {
            let (name, text) = part.split_once('\n').unwrap_or((part, ""));
            sheet(name, text)
        })
        .collect()
}

/// The rules as text.
pub fn text(rules: &[RuleId]) -> String {
    let mut out = String::new();
    for id in rules {
        let rule = id.rule();
        let title = format!("{} ({})", rule.text.title, rule.severity.word());
        let _ = writeln!(out, "{}\n{title}", rule.slug);
        for (key, text) in entries(rule) {
            paragraph(&mut out, key, text);
        }
        example(&mut out, &rule.text.example);
        out.push('\n');
    }
    let _ = writeln!(out, "{}", textwrap::fill(CAUTIONS, WIDTH));
    out
}

/// A fault of the plant that no sheet shows, as text.
pub fn plant(words: &Words) -> String {
    let mut out = format!("{}\n{} (no sheet shows it: measured)\n", words.kind, words.title);
    for (key, text) in [("why:", words.why), ("do:", words.act), ("prove:", words.prove)] {
        paragraph(&mut out, key, text);
    }
    let _ = writeln!(out, "\n{}", textwrap::fill(CAUTIONS, WIDTH));
    out
}

fn entries(rule: &Rule) -> [(&'static str, &'static str); 4] {
    let text = &rule.text;
    [("why:", text.why), ("do:", text.act), ("prove:", text.prove), ("source:", text.source)]
}

fn paragraph(out: &mut String, key: &str, text: &str) {
    let options = textwrap::Options::new(WIDTH)
        .subsequent_indent("           ")
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    let _ = writeln!(out, "{}", textwrap::fill(&format!("  {key:<9}{text}"), options));
}

/// The lines of the example that differ between the broken site and the right one. The whole
/// broken site is in the JSON.
fn example(out: &mut String, example: &Example) {
    let wrong = broken(example);
    let (right, wrong): (Vec<_>, Vec<_>) =
        (example.site.lines().collect(), wrong.lines().collect());
    for (heading, elsewhere, lines, other) in
        [("breaks it:", "below", &wrong, &right), ("mends it:", "above", &right, &wrong)]
    {
        let mut differing = lines.iter().filter(|line| !other.contains(line)).peekable();
        let _ = writeln!(out, "  {heading}");
        if differing.peek().is_none() {
            let _ = writeln!(out, "    (without the lines shown {elsewhere})");
        }
        for line in differing {
            for part in textwrap::wrap(line.trim(), WIDTH - 8) {
                let _ = writeln!(out, "    {part}");
            }
        }
    }
}

/// The rules as JSON.
pub fn json(rules: &[RuleId]) -> Value {
    let rules: Vec<_> = rules
        .iter()
        .map(|id| {
            let rule = id.rule();
            json!({
                "rule": rule.slug,
                "severity": rule.severity.word(),
                "stage": crate::diagnosis::stage(*id),
                "asks": rule.asks,
                "title": rule.text.title,
                "why": rule.text.why,
                "do": rule.text.act,
                "prove": rule.text.prove,
                "source": rule.text.source,
                "example": { "right": rule.text.example.site, "wrong": broken(&rule.text.example) },
            })
        })
        .collect();
    json!({ "schema": "coldcheck.explain.v1", "rules": rules, "cautions": CAUTIONS })
}
