//! Signs as they are compared: case, width, script, zeros in front.

/// What stands between two runs. It is below every sign of a run, so that texts are in the order of
/// their runs.
pub(super) const GAP: u8 = b' ';

/// The sign that a person meant by one: wide letters are letters, digits of every script are
/// digits, and what nobody sees is nothing.
fn meant(character: char) -> Option<char> {
    let code = character as u32;
    let digit = |zero: u32| char::from_u32(code - zero + '0' as u32);
    match code {
        0x00AD | 0x200B..=0x200F | 0x202A..=0x202E | 0x2060 | 0xFE0F | 0xFEFF => None,
        0xFF01..=0xFF5E => char::from_u32(code - 0xFEE0),
        // Arabic, Persian, Devanagari, Bengali and Thai digits.
        0x0660..=0x0669 => digit(0x0660),
        0x06F0..=0x06F9 => digit(0x06F0),
        0x0966..=0x096F => digit(0x0966),
        0x09E6..=0x09EF => digit(0x09E6),
        0x0E50..=0x0E59 => digit(0x0E50),
        _ => Some(character),
    }
}

/// Folds plain text sign by sign, for as long as somebody takes them; whether all were taken.
pub(super) fn fold_plain(text: &str, mut take: impl FnMut(u8) -> bool) -> bool {
    let signs = text.as_bytes();
    let (mut at, mut kind, mut is_first) = (0, None, true);
    while let Some(&(mut sign)) = signs.get(at) {
        at += 1;
        let next = Kind::of(sign.into());
        if next.is_some() && next != kind {
            if !is_first && !take(GAP) {
                return false;
            }
            is_first = false;
            // Zeros in front say nothing but that one is there.
            while let Some(digit) = signs.get(at).filter(|one| sign == b'0' && one.is_ascii_digit())
            {
                sign = *digit;
                at += 1;
            }
        }
        if next.is_some() && !take(sign.to_ascii_lowercase()) {
            return false;
        }
        kind = next;
    }
    true
}

/// Folds any text.
pub(super) fn folded(text: &str) -> String {
    let mut runs: Vec<String> = Vec::new();
    let mut kind = None;
    for sign in text.chars().filter_map(meant) {
        let next = Kind::of(sign);
        if next.is_some() {
            if next != kind {
                runs.push(String::new());
            }
            if let Some(run) = runs.last_mut() {
                run.extend(sign.to_lowercase());
            }
        }
        kind = next;
    }
    let runs: Vec<&str> = runs.iter().map(|run| without_zeros(run)).collect();
    runs.join(" ")
}

/// Zeros in front say nothing but that one is there.
fn without_zeros(run: &str) -> &str {
    let bare = run.trim_start_matches('0');
    if bare.is_empty() && !run.is_empty() { "0" } else { bare }
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Letter,
    Digit,
}

impl Kind {
    pub(super) fn of(character: char) -> Option<Self> {
        match character {
            '0'..='9' => Some(Self::Digit),
            'a'..='z' | 'A'..='Z' => Some(Self::Letter),
            // Most signs are plain ones, and their answer is at hand.
            _ if character.is_ascii() => None,
            // An accent that stands apart belongs to its letter.
            '\u{300}'..='\u{36F}' => Some(Self::Letter),
            _ => character.is_alphabetic().then_some(Self::Letter),
        }
    }
}
