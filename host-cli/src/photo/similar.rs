//! Signs before they are compared, and signs that look alike in print.

/// Pairs that are hard to tell apart in some typeface or another even in a sharp picture: common
/// practice, no source.
const TWINS: &[(char, char)] = &[
    ('O', '0'),
    ('D', '0'),
    ('Q', '0'),
    ('O', 'D'),
    ('O', 'Q'),
    ('I', '1'),
    ('L', '1'),
    ('I', 'L'),
    ('J', 'I'),
    ('T', 'I'),
    ('J', '1'),
    ('S', '5'),
    ('B', '8'),
    ('Z', '2'),
    ('G', '6'),
    ('U', 'V'),
    ('C', 'G'),
    ('C', 'O'),
];

/// Signs that a blurred picture makes of each other, on top of the twins: digits with round
/// bowls, and those that are one stroke.
const BLURRED: &[&str] =
    &["35689BSGE&", "0689DOQCGU", "17ILTJ", "27Z", "49A", "HMNWK", "EFPRB", "VYUX"];

/// What a word costs that has one sign in place of its twin.
pub(super) const TWIN: f32 = 0.25;

/// A sign as it is compared: an upper-case letter, a digit, or a decimal sign. `None` for what
/// only separates: spaces, dashes, rulings, arrows. Signs of writing without letters count as
/// such: a reading network knows thousands of them, and sees one in every lone stroke.
pub(super) fn folded(sign: char) -> Option<char> {
    let sign = match sign {
        // Full-width forms, which the reading network knows as well.
        '\u{FF01}'..='\u{FF5E}' => char::from_u32(u32::from(sign) - 0xFEE0).unwrap_or(sign),
        '\u{3002}' | '\u{B7}' | '\u{2022}' => '.',
        '\u{3001}' | '\u{201A}' => ',',
        other => other,
    };
    match sign {
        'a'..='z' => Some(sign.to_ascii_uppercase()),
        'A'..='Z' | '0'..='9' | '.' | ',' => Some(sign),
        '\u{2E80}'.. => None,
        other if other.is_alphanumeric() => other.to_uppercase().next(),
        _ => None,
    }
}

/// Letters and digits of a word as they are compared.
pub(super) fn fold(text: &str) -> Vec<char> {
    text.chars().filter_map(folded).filter(|sign| !is_decimal(*sign)).collect()
}

pub(super) const fn is_decimal(sign: char) -> bool {
    matches!(sign, '.' | ',')
}

/// Whether a sign that stands all alone may be a ruling or a slash.
pub(super) const fn may_be_stroke(sign: char) -> bool {
    matches!(sign, '1' | 'I' | 'L' | 'J' | '7')
}

/// Whether two signs are hard to tell apart in print.
pub(super) fn are_twins(left: char, right: char) -> bool {
    TWINS.contains(&(left, right)) || TWINS.contains(&(right, left))
}

/// Whether a blurred picture makes the one of the other.
pub(super) fn may_be(read: char, meant: char) -> bool {
    read == meant
        || are_twins(read, meant)
        || BLURRED.iter().any(|group| group.contains(read) && group.contains(meant))
}

/// The digit that a letter is the twin of.
pub(super) fn digit_of(sign: char) -> Option<char> {
    if sign.is_ascii_digit() {
        return Some(sign);
    }
    ('0'..='9').find(|digit| are_twins(sign, *digit))
}

/// What it costs to take one row of signs for another: twins little, any other sign one, a sign too
/// many or too few one. A stray decimal sign is a speck.
pub(super) fn distance(read: &[char], word: &[char]) -> f32 {
    let mut before: Vec<f32> = (0..=word.len()).map(|at| at as f32).collect();
    let mut row = before.clone();
    for sign in read {
        let speck = if is_decimal(*sign) { 0.2 } else { 1.0 };
        row[0] = before[0] + speck;
        for (at, own) in word.iter().enumerate() {
            let swap = if sign == own {
                0.0
            } else if are_twins(*sign, *own) {
                TWIN
            } else {
                1.0
            };
            row[at + 1] = (before[at] + swap).min(before[at + 1] + speck).min(row[at] + 1.0);
        }
        std::mem::swap(&mut before, &mut row);
    }
    before.last().copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twins_cost_little_and_other_signs_much() {
        let far = |read: &str, word: &str| distance(&fold(read), &fold(word));
        assert!(far("INV1", "INV1") < 0.01);
        assert!((far("lNVI", "INV1") - 2.0 * TWIN).abs() < 1e-6);
        assert!((far("INV7", "INV1") - 1.0).abs() < 1e-6);
        assert!((far("INV", "INV1") - 1.0).abs() < 1e-6);
        assert!((far("PAR-1", "PAR1")).abs() < 1e-6);
    }

    #[test]
    fn full_width_signs_are_signs_and_dashes_are_none() {
        assert_eq!(fold("\u{FF35}\u{FF11} \u{2192} u-2 | B"), ['U', '1', 'U', '2', 'B']);
        assert_eq!(folded('\u{3002}'), Some('.'));
    }

    #[test]
    fn blur_makes_more_alike_than_print_does() {
        assert!(may_be('S', '8') && !are_twins('S', '8'));
        assert!(!may_be('4', '3'));
        assert_eq!(digit_of('O'), Some('0'));
        assert_eq!(digit_of('K'), None);
    }
}
