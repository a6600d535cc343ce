//! Text of a sheet on a terminal: nothing that a sheet holds may act on the terminal, and columns
//! are counted as a terminal shows them.

use std::borrow::Cow;

pub(crate) use textwrap::core::display_width as width;

/// The text with every sign that would act on a terminal replaced by one that is seen: a control
/// character by its picture, what turns the direction of writing by a replacement character.
pub fn visible(text: &str) -> Cow<'_, str> {
    if text.chars().any(acts) {
        text.chars()
            .map(|character| if acts(character) { picture(character) } else { character })
            .collect()
    } else {
        Cow::Borrowed(text)
    }
}

/// The same for markup, which can hold no code point that Unicode keeps from being a character.
pub fn in_markup(text: &str) -> Cow<'_, str> {
    let text = visible(text);
    if text.chars().any(is_no_character) {
        text.chars()
            .map(|sign| if is_no_character(sign) { char::REPLACEMENT_CHARACTER } else { sign })
            .collect()
    } else {
        text
    }
}

/// The noncharacters of the Unicode Standard, section 23.7 (from memory).
const fn is_no_character(sign: char) -> bool {
    matches!(sign, '\u{FDD0}'..='\u{FDEF}') || (sign as u32) & 0xFFFE == 0xFFFE
}

/// Whether a character is an order to a terminal and no sign: control characters, ends of lines,
/// and those of Unicode Standard Annex 9 (from memory) that turn the direction of writing.
pub(crate) fn acts(character: char) -> bool {
    character.is_control()
        || matches!(
            character,
            '\u{061C}' | '\u{200E}' | '\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2066}'..='\u{206F}'
        )
}

fn picture(character: char) -> char {
    match character {
        '\t' => ' ',
        '\0'..='\u{1F}' => char::from_u32(0x2400 + u32::from(character)).unwrap_or(' '),
        '\u{7F}' => '\u{2421}',
        _ => char::REPLACEMENT_CHARACTER,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_acts_is_seen_and_everything_else_stays() {
        assert_eq!(visible("U1\u{1b}[31m"), "U1\u{241b}[31m");
        assert_eq!(
            visible("a\u{202e}b\u{9b}c\u{7f}\tx\ny"),
            "a\u{fffd}b\u{fffd}c\u{2421} x\u{240a}y"
        );
        for plain in ["Küche – 3", "表", "e\u{301}", "می\u{200c}خواهم", "🔌"] {
            assert!(matches!(visible(plain), Cow::Borrowed(same) if same == plain), "{plain}");
        }
    }
}
