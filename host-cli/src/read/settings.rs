//! Settings lists: `key = value` lines, sections in square brackets, comments.

use crate::fold::Folded;
use crate::source::{Cell, SheetId};
use crate::statement::{Setting, Statements};
use crate::vocabulary::UNIT_STEMS;
use std::ops::Range;

/// Whether a trimmed line, or the first cell of a row, is a comment. `#2` is a label or a unit, and
/// `#` alone can head the column of labels.
pub(super) fn is_comment(text: &str) -> bool {
    let is_name = text.strip_prefix('#').is_some_and(|rest| {
        let rest = rest.trim_start_matches(' ');
        rest.starts_with(|c: char| c.is_ascii_digit() || matches!(c, ',' | ';' | '\t' | '|'))
    });
    (text.starts_with(['#', ';']) && !is_name) || text.starts_with("//")
}

/// Reads every line; what is no setting is kept as not understood.
pub(super) fn read(sheet: SheetId, text: &str) -> Statements {
    read_lines(sheet, text, 0..text.len())
}

/// Reads the lines of a part of a sheet.
pub(super) fn read_lines(sheet: SheetId, text: &str, part: Range<usize>) -> Statements {
    let mut statements = Statements::default();
    let mut section = None;
    let mut start = part.start;
    for line in text.get(part).unwrap_or("").split_inclusive('\n') {
        let whole = Cell::of(sheet, text, start..start + line.len());
        start += line.len();
        if whole.is_empty() || is_comment(&whole.text) {
            continue;
        }
        let bare = whole.part(0..comment_start(&whole.text));
        // A line of dashes or the like under a title.
        if bare.text.chars().all(|c| !c.is_alphanumeric()) {
            continue;
        }
        if let Some(name) = title(&bare) {
            // The name alone says that the thing is there, even if nothing follows.
            statements.settings.push(Setting {
                key: name.part(0..0),
                value: name.part(0..0),
                kind: None,
                about: Some(name.clone()),
            });
            section = Some(name);
            continue;
        }
        match sign(&bare.text) {
            Some(at) => statements.settings.push(Setting {
                about: section.clone(),
                kind: None,
                key: bare.part(0..at),
                value: unquoted(&bare.part(at + 1..bare.text.len())),
            }),
            None => statements.not_understood.push(bare),
        }
    }
    statements
}

/// The name over a section: in square brackets, or the common name of a unit alone in its line,
/// perhaps with a colon behind it.
fn title(line: &Cell) -> Option<Cell> {
    if let Some(inside) = line.text.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
        return Some(line.part(1..1 + inside.len()));
    }
    let marks = |c: char| matches!(c, ':' | '#' | '*' | '-' | '=' | ' ');
    let bare = line.text.trim_matches(marks);
    let start = line.text.find(bare)?;
    let name = Folded::of(bare);
    let is_unit =
        |(stem, number): (&str, &str)| UNIT_STEMS.contains(&stem) && number.parse::<u16>().is_ok();
    name.pair().is_some_and(is_unit).then(|| line.part(start..start + bare.len()))
}

/// Where the sign between key and value stands: the first `=`, else the first `:`.
fn sign(text: &str) -> Option<usize> {
    let at = text.find('=').or_else(|| text.find(':'))?;
    let key_is_a_word = text.get(..at).is_some_and(|key| !Folded::of(key).is_empty());
    key_is_a_word.then_some(at)
}

/// A value without the quotes that it stands in as a whole.
fn unquoted(value: &Cell) -> Cell {
    let inside = |quote: char| {
        let inside = value.text.strip_prefix(quote)?.strip_suffix(quote)?;
        (!inside.contains(quote)).then_some(inside.len())
    };
    match inside('"').or_else(|| inside('\'')) {
        Some(length) => value.part(1..1 + length),
        None => value.clone(),
    }
}

/// Where a comment behind a setting begins. The sign needs a space before it and no digit behind
/// it, because `unit#2` and `unit #2` are names; a semicolon separates conductors and begins no
/// comment here.
pub(super) fn comment_start(text: &str) -> usize {
    let mut before = ' ';
    for (index, character) in text.char_indices() {
        let rest = text.get(index..).unwrap_or("");
        let is_sign = rest.strip_prefix('#').map_or_else(
            || rest.starts_with("//"),
            |behind| !behind.starts_with(|c: char| c.is_ascii_digit()),
        );
        if before.is_whitespace() && is_sign {
            return index;
        }
        before = character;
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn settings(text: &str) -> Vec<(Option<String>, String, String)> {
        read(SheetId(0), text)
            .settings
            .into_iter()
            .filter(|setting| !setting.key.is_empty())
            .map(|setting| {
                (setting.about.map(|cell| cell.text), setting.key.text, setting.value.text)
            })
            .collect()
    }

    #[test]
    fn comments_need_a_space_and_names_keep_their_sign() {
        let found = settings("unit#2 = follower # the old one\nsockets = either   // any\n");
        assert_eq!(found[0], (None, "unit#2".into(), "follower".into()));
        let numbered = settings("name back box = unit #3 # at the door\nunit #3 = follower\n");
        assert_eq!(numbered[0].2, "unit #3");
        assert_eq!(numbered[1].1, "unit #3");
        assert_eq!(found[1], (None, "sockets".into(), "either".into()));
    }

    #[test]
    fn quotes_around_a_whole_value_are_none_of_it() {
        let found = settings("site = \"hill\"\nroom = 'cold'\na = \"\nb = 6\"\nc = \"x\", \"y\"\n");
        let values: Vec<&str> = found.iter().map(|(_, _, value)| value.as_str()).collect();
        assert_eq!(values, ["hill", "cold", "\"", "6\"", "\"x\", \"y\""]);
    }

    #[test]
    fn a_section_holds_until_the_next() {
        let found = settings("site = x\n[U1]\nrole = coordinator\n[U2]\nrole = follower\n");
        assert_eq!(found[0].0, None);
        assert_eq!(found[1].0.as_deref(), Some("U1"));
        assert_eq!(found[2].0.as_deref(), Some("U2"));
    }

    #[test]
    fn a_unit_alone_in_its_line_heads_a_section() {
        for title in ["Unit 1", "Unit 1:", "== Unit 1 ==", "INV-1", "- unit 1 -"] {
            let found = settings(&format!("{title}\n  role: coordinator\n"));
            assert!(found[0].0.is_some(), "{title}");
        }
        assert_eq!(settings("Unit 1 and 2\nrole: coordinator\n")[0].0, None);
    }

    #[test]
    fn a_ratio_keeps_its_colon() {
        let found = settings("ct ratio set = 2000:1\nrole : follower");
        assert_eq!(found[0].2, "2000:1");
        assert_eq!(found[1], (None, "role".into(), "follower".into()));
    }

    #[test]
    fn a_line_without_a_sign_is_kept_as_not_understood() {
        let statements = read(SheetId(0), "checked by hand\nsite = x\n");
        assert_eq!(statements.not_understood[0].text, "checked by hand");
    }
}
