//! Comments of sheets: nothing is understood by them, but they are not lost when a site is tidied.

use super::settings::{comment_start, is_comment};
use crate::source::{Cell, SheetId};

/// Comments of a settings list or of a table. Only settings have comments behind a line.
pub(super) fn of_lines(sheet: SheetId, text: &str, behind_lines: bool) -> Vec<Cell> {
    let mut comments = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let whole = Cell::of(sheet, text, start..start + line.len());
        start += line.len();
        if is_comment(&whole.text) {
            comments.push(whole);
        } else if behind_lines {
            comments.push(whole.part(comment_start(&whole.text)..whole.text.len()));
        }
    }
    comments.retain(|comment| !comment.is_empty());
    comments
}

/// Comments of a TOML file: from a sign outside of a text to the end of its line.
pub(super) fn of_toml(sheet: SheetId, text: &str) -> Vec<Cell> {
    let mut comments = Vec::new();
    let mut at = 0;
    while let Some(rest) = text.get(at..).filter(|rest| !rest.is_empty()) {
        if let Some(quotes) = QUOTES.iter().find(|quotes| rest.starts_with(**quotes)) {
            at += length_of_text(rest, quotes);
        } else if rest.starts_with('#') {
            let length = rest.find('\n').unwrap_or(rest.len());
            comments.push(Cell::of(sheet, text, at..at + length));
            at += length;
        } else {
            at += rest.chars().next().map_or(1, char::len_utf8);
        }
    }
    comments
}

/// What begins and ends a text, the longer ones first.
const QUOTES: [&str; 4] = ["\"\"\"", "'''", "\"", "'"];

/// How long a text is, with its quotes. The file is sound TOML.
fn length_of_text(text: &str, quotes: &str) -> usize {
    let mut at = quotes.len();
    while let Some(rest) = text.get(at..).filter(|rest| !rest.is_empty()) {
        if rest.starts_with(quotes) {
            // One or two more quotes may end a text of several lines.
            let more =
                rest.len() - rest.trim_start_matches(quotes.chars().next().unwrap_or(' ')).len();
            return at + if quotes.len() == 3 { more } else { 1 };
        }
        let escaped = rest.starts_with('\\') && quotes.starts_with('"');
        let mut characters = rest.chars();
        let length = characters.next().map_or(1, char::len_utf8);
        at += length + if escaped { characters.next().map_or(0, char::len_utf8) } else { 0 };
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(comments: &[Cell]) -> Vec<&str> {
        comments.iter().map(|comment| comment.text.as_str()).collect()
    }

    #[test]
    fn a_sign_inside_a_text_is_no_comment() {
        let text = "# top\na = \"x # y\" # one\nb = '# \\' # two\nc = \"\"\"\n# no \"\"\"\"# three\n\
                    d = \"q\\\" # no\" # four";
        let found = of_toml(SheetId(0), text);
        assert_eq!(texts(&found), ["# top", "# one", "# two", "# three", "# four"]);
        toml_edit::Document::parse(text).expect("the text of this test is TOML");
    }

    #[test]
    fn settings_have_comments_behind_lines_and_tables_have_none() {
        let text = "// head\nunit#2 = follower # old\n; foot\n";
        assert_eq!(texts(&of_lines(SheetId(0), text, true)), ["// head", "# old", "; foot"]);
        assert_eq!(texts(&of_lines(SheetId(0), text, false)), ["// head", "; foot"]);
    }
}
