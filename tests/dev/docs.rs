//! The rule table in README.md, made from the rules themselves.

use coldcheck_core::rules::RULES;
use coldcheck_tests::paths;
use std::fmt::Write;
use std::fs;

const BEGIN: &str = "<!-- rules: made by `cargo dev docs` -->";
const END: &str = "<!-- end of rules -->";

pub(crate) fn write() -> Result<(), String> {
    let path = paths::workspace().join("README.md");
    let text = fs::read_to_string(&path).map_err(|error| error.to_string())?;
    fs::write(&path, with_table(&text)?).map_err(|error| error.to_string())
}

pub(crate) fn check() -> Result<(), String> {
    let path = paths::workspace().join("README.md");
    let text = fs::read_to_string(&path).map_err(|error| error.to_string())?;
    if with_table(&text)? == text {
        Ok(())
    } else {
        Err("the rule table in README.md is old; run `cargo dev docs`".to_owned())
    }
}

fn with_table(text: &str) -> Result<String, String> {
    let missing = || format!("README.md lacks the marks {BEGIN} and {END}");
    let (before, rest) = text.split_once(BEGIN).ok_or_else(missing)?;
    let (_, after) = rest.split_once(END).ok_or_else(missing)?;
    let mut table = String::from("\n\n| rule | severity | fault |\n|---|---|---|\n");
    for (_, rule) in RULES {
        let severity = rule.severity.word();
        let _ = writeln!(table, "| `{}` | {severity} | {} |", rule.slug, rule.text.title);
    }
    Ok(format!("{before}{BEGIN}{table}\n{END}{after}"))
}
