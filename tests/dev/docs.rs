//! Parts of the guides that are made from the program itself: transcripts, the table of rules, and
//! that of the words of a sheet.
//!
//! ```text
//! <!-- run: check host-cli/demo/terrace-faulty/cables.csv -->            the whole output
//! <!-- run to "Not checked": hear host-cli/demo/… -->                    up to this line
//! <!-- end of run -->
//! ```

use clap::Parser;
use coldcheck::args::Cli;
use coldcheck::commands;
use coldcheck::demand_words::others;
use coldcheck::field::{About, Field};
use coldcheck::profile::demand_bits;
use coldcheck_core::plan::Demand;
use coldcheck_core::rules::RULES;
use coldcheck_tests::paths;
use std::fmt::Write;
use std::fs;
use std::path::PathBuf;

/// Every guide, in the order in which a stranger comes to it.
fn guides() -> Result<Vec<PathBuf>, String> {
    let root = paths::workspace();
    let own = fs::read_dir(root.join("host-cli/guide")).map_err(|error| error.to_string())?;
    let mut guides: Vec<PathBuf> = own
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|end| end == "md"))
        .collect();
    guides.sort();
    guides.insert(0, root.join("README.md"));
    guides.push(root.join("firmware-example/README.md"));
    Ok(guides)
}

pub(crate) fn write() -> Result<(), String> {
    for path in guides()? {
        let text = fs::read_to_string(&path).map_err(|error| error.to_string())?;
        fs::write(&path, renewed(&text)?).map_err(|error| error.to_string())?;
    }
    Ok(())
}

pub(crate) fn check() -> Result<(), String> {
    for path in guides()? {
        let text = fs::read_to_string(&path).map_err(|error| error.to_string())?;
        let told = path.display();
        if renewed(&text)? != text {
            return Err(format!("{told} is behind the program; run `cargo dev docs`"));
        }
        links(&path, &text)?;
    }
    Ok(())
}

/// Every file that a guide leads to is there.
fn links(path: &std::path::Path, text: &str) -> Result<(), String> {
    for part in text.split("](").skip(1) {
        let Some((to, _)) = part.split_once(')') else { continue };
        let file = to.split('#').next().unwrap_or(to);
        if file.is_empty() || file.contains("://") {
            continue;
        }
        if !path.parent().is_some_and(|folder| folder.join(file).exists()) {
            return Err(format!("{}: there is no {file}", path.display()));
        }
    }
    Ok(())
}

const RUN_ENDS: &str = "<!-- end of run -->";

/// The text with every part made anew.
fn renewed(text: &str) -> Result<String, String> {
    let mut made = String::new();
    let mut rest = text;
    while let Some(at) = rest.find("<!-- run") {
        let (before, from) = rest.split_at(at);
        let (mark, behind) = from.split_once("-->").ok_or("a mark that does not end")?;
        let (_, after) = behind.split_once(RUN_ENDS).ok_or("a transcript that does not end")?;
        let behind = mark.trim_start_matches("<!-- run").trim_start();
        let quoted = behind.strip_prefix("to \"").and_then(|rest| rest.split_once('"'));
        let (to, behind) = quoted.map_or((None, behind), |(to, rest)| (Some(to), rest));
        let command = behind.strip_prefix(':').ok_or("a mark without a command")?;
        let shown = transcript(command.trim(), to)?;
        write!(made, "{before}{mark}-->\n```text\n{shown}```\n{RUN_ENDS}")
            .map_err(|error| error.to_string())?;
        rest = after;
    }
    made.push_str(rest);
    let made = table("rules", made, rules)?;
    let made = table("words", made, settings_words)?;
    let made = table("lamp", made, || table_of_code("| lamp |"))?;
    table("status", made, || table_of_code("| byte |"))
}

/// The text with the table that stands between two marks made anew, if it has that table.
fn table(name: &str, text: String, make: fn() -> Result<String, String>) -> Result<String, String> {
    let begin = format!("<!-- {name}: made by `cargo dev docs` -->");
    let Some((before, rest)) = text.split_once(&begin) else { return Ok(text) };
    let end = format!("<!-- end of {name} -->");
    let (_, after) = rest.split_once(&end).ok_or_else(|| format!("{name}: no end"))?;
    Ok(format!("{before}{begin}\n{}{end}{after}", make()?))
}

/// A table of the documentation in the code of lamp and frame, told by how its head begins.
fn table_of_code(head: &str) -> Result<String, String> {
    let path = paths::workspace().join("core/src/signal.rs");
    let code = fs::read_to_string(&path).map_err(|error| error.to_string())?;
    let lines = code.lines().filter_map(|line| line.strip_prefix("/// "));
    let lines = lines.skip_while(|line| !line.starts_with(head));
    let rows: Vec<&str> = lines.take_while(|line| line.starts_with('|')).collect();
    if rows.is_empty() {
        return Err(format!("{}: no table {head}", path.display()));
    }
    Ok(format!("\n{}\n\n", rows.join("\n")))
}

/// Every fact that can be written down, by what it is about.
fn settings_words() -> Result<String, String> {
    let mut text = String::new();
    for (about, title) in [
        (About::Group, "The group and the site"),
        (About::Unit, "A unit"),
        (About::Cable, "A cable, beside its ends, kind and length"),
        (About::Pack, "A battery pack"),
        (About::Sensor, "A current transformer"),
        (About::Device, "Another device"),
    ] {
        write!(text, "\n## {title}\n\n| word | or | value |\n|---|---|---|\n")
            .map_err(|error| error.to_string())?;
        for field in Field::of(about) {
            let [key, others @ ..] = field.keys() else { continue };
            let value = field.expected().unwrap_or_else(|| "any words".to_owned());
            let value = value.replace('|', "\\|");
            writeln!(text, "| `{key}` | {} | {value} |", others.join(", "))
                .map_err(|error| error.to_string())?;
        }
    }
    text.push_str(
        "\n## What a profile demands, or the site\n\n| word | or | what is demanded | value |\n",
    );
    text.push_str("|---|---|---|---|\n");
    for demand in Demand::ALL {
        // No form takes it for a value.
        let value = demand_bits(demand.kind(), "\u{1}x").err().unwrap_or_default();
        let (others, meaning) = (others(*demand).join(", "), demand.meaning());
        writeln!(text, "| `{}` | {others} | {meaning} | {value} |", demand.key())
            .map_err(|error| error.to_string())?;
    }
    text.push('\n');
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

/// What the program prints: all of it, or up to the line that begins so, and the cautions.
fn transcript(command: &str, to: Option<&str>) -> Result<String, String> {
    std::env::set_current_dir(paths::workspace()).map_err(|error| error.to_string())?;
    let words = words(command);
    let cli = Cli::try_parse_from([&["coldcheck".to_owned()], words.as_slice()].concat())
        .map_err(|error| format!("{command}: {error}"))?;
    let (mut out, mut err) = (Vec::new(), Vec::new());
    commands::run(&cli, &mut out, &mut err);
    if !err.is_empty() {
        return Err(format!("{command}: {}", String::from_utf8_lossy(&err)));
    }
    let text = String::from_utf8(out).map_err(|error| error.to_string())?;
    let Some(to) = to else { return Ok(text) };
    let at = text.find(&format!("\n{to}")).ok_or_else(|| format!("{command}: no line {to}"))?;
    let (shown, rest) = text.split_at(at + 1);
    // Whoever reads half of it reads the cautions all the same.
    let cautions = rest.rsplit_once("\n\n").map_or("", |(_, cautions)| cautions);
    Ok(format!("{shown}…\n\n{cautions}"))
}

/// The words of a command line; those in quotes are one.
fn words(command: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (at, part) in command.split('"').enumerate() {
        if at % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(ToOwned::to_owned));
        }
    }
    words
}
