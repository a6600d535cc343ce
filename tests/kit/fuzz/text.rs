//! What must hold for every text that a terminal shows.

use coldcheck::words::WIDTH;
use textwrap::core::display_width;

/// No line is too wide, and no sign of a sheet can act on the terminal.
///
/// # Panics
/// If a line is, or a sign can.
pub(super) fn is_fit_for_a_terminal(text: &str) {
    for line in text.split('\n') {
        let acts = line.chars().find(|character| acts_on_a_terminal(*character));
        assert!(acts.is_none(), "{acts:?} reaches the terminal: {line:?}");
        assert!(display_width(line) <= WIDTH, "{} columns: {line:?}", display_width(line));
    }
}

/// Control characters, and those that turn the direction of writing (Unicode
/// Standard Annex 9, section 2; from memory).
fn acts_on_a_terminal(character: char) -> bool {
    character.is_control()
        || matches!(
            character,
            '\u{061C}' | '\u{200E}' | '\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2066}'..='\u{206F}'
        )
}

/// The text without the signs that colour it.
pub(super) fn without_colour(text: &str) -> String {
    let mut parts = text.split("\u{1b}[");
    let mut plain = parts.next().unwrap_or("").to_owned();
    for part in parts {
        plain.push_str(part.split_once('m').map_or(part, |(_, rest)| rest));
    }
    plain
}
