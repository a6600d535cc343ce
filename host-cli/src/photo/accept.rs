//! Which cells are sure. Each rule stands for something that happens in the world, and each was
//! needed: its test shows the wrong cell that gets through without it.

use super::decode::{Found, Glyph};
use super::list::Doubt;
use super::similar::{are_twins, is_decimal, may_be};
use super::words::Word;

/// A sign with a rival must be seen this well in at least one reading, and no worse than the
/// second figure in the other.
const SEEN_WELL: f32 = 0.9;
const SEEN_AT_ALL: f32 = 0.65;

/// A sign that nothing else can be taken for may be seen as poorly as this in the better reading.
const SEEN_POORLY: f32 = 0.5;

/// A decimal sign is small and its confidence low even where it is plain; what it is not taken for
/// is nothing at all in both readings.
const DECIMAL_SEEN: f32 = 0.4;

/// A cell as one reading has it.
#[derive(Clone, Debug)]
pub(super) struct Seen {
    pub(super) found: Found,
    pub(super) signs: Vec<Glyph>,
}

impl Seen {
    /// Signs of letters and digits, and their confidence.
    fn marks(&self) -> Vec<(char, f32)> {
        let marks = self.signs.iter().filter(|glyph| !is_decimal(glyph.sign));
        marks.map(|glyph| (glyph.sign, glyph.confidence)).collect()
    }
}

/// Confidence in the sign that was seen worst, each by the reading that saw it better.
pub(super) fn confidence(first: &Seen, second: &Seen) -> f32 {
    let (one, other) = (first.marks(), second.marks());
    if one.len() != other.len() {
        let low = |marks: &[(char, f32)]| marks.iter().map(|mark| mark.1).fold(1.0, f32::min);
        return low(&one).min(low(&other));
    }
    let better = one.iter().zip(&other).map(|(one, other)| one.1.max(other.1));
    better.fold(1.0, f32::min)
}

/// A word of a closed vocabulary: a unit, a socket, a kind.
pub(super) fn word(first: &Seen, second: &Seen, words: &[Word]) -> Result<(), Doubt> {
    // Two readings of the same ink, stretched and cut differently: a slip of the one is seldom
    // that of the other.
    if first.found.value != second.found.value {
        return Err(Doubt::ReadingsDiffer);
    }
    for seen in [first, second] {
        let read: Vec<char> = seen.marks().iter().map(|mark| mark.0).collect();
        let printed = &seen.found.printed;
        // Only twins may stand for each other: a word with another sign, or one more or less, may
        // be a word that the site has and the vocabulary lacks.
        if is_long_and_alone(seen) {
            continue;
        }
        let only_twins = read.len() == printed.len()
            && read.iter().zip(printed).all(|(read, own)| read == own || are_twins(*read, *own));
        if !only_twins {
            return Err(Doubt::NoSuchWord);
        }
    }
    if is_long_and_alone(first) && is_long_and_alone(second) {
        return Ok(());
    }
    let marks: Vec<_> = first.marks().into_iter().zip(second.marks()).collect();
    if first.found.printed != second.found.printed {
        return Err(Doubt::ReadingsDiffer);
    }
    for (at, ((one, sure), (other, as_sure))) in marks.iter().enumerate() {
        let own = first.found.printed[at];
        let seen = sure.max(*as_sure);
        if seen < SEEN_POORLY {
            return Err(Doubt::PoorlySeen);
        }
        let rival = has_rival(words, &first.found, at, &[*one, *other]);
        // What was read as a twin was not seen as itself: any rival is as good.
        if rival && *one != own && *other != own {
            return Err(Doubt::LooksLike);
        }
        if rival && (seen < SEEN_WELL || sure.min(*as_sure) < SEEN_AT_ALL) {
            return Err(Doubt::LooksLike);
        }
    }
    Ok(())
}

/// Whether a long word was read with hardly a slip, and every other word is far from it. One letter
/// in eight may be taken for another: no site has two kinds of cable that differ by that alone.
fn is_long_and_alone(seen: &Seen) -> bool {
    let slips = seen.found.printed.len() as f32 / 8.0;
    let next = seen.found.next.as_ref().map_or(f32::MAX, |(_, cost)| *cost);
    slips >= 1.0 && seen.found.cost <= slips && next >= seen.found.cost + 3.0
}

/// Whether another word has another sign here that what was read may be, and may be what was read
/// in all its other places too.
fn has_rival(words: &[Word], found: &Found, at: usize, read: &[char]) -> bool {
    let others = words.iter().filter(|word| word.name != found.value);
    others.flat_map(|word| &word.printed).any(|printed| {
        printed.len() == found.printed.len()
            && printed[at] != found.printed[at]
            && read.iter().any(|read| may_be(*read, printed[at]))
            && printed.iter().zip(&found.printed).all(|(other, own)| may_be(*own, *other))
    })
}

/// A length. Its digits are never corrected, and none may be missing.
pub(super) fn length(first: &Seen, second: &Seen) -> Result<(), Doubt> {
    let (one, other) = (&first.found, &second.found);
    if one.value != other.value || one.unit != other.unit || one.length != other.length {
        return Err(Doubt::ReadingsDiffer);
    }
    digits(first, second)?;
    let Some((digits, is_decimal_number)) = one.length else { return Err(Doubt::NoSuchWord) };
    if is_decimal_number {
        let best = |seen: &Seen| {
            let signs = seen.signs.iter().filter(|glyph| is_decimal(glyph.sign));
            signs.map(|glyph| glyph.confidence).fold(0.0, f32::max)
        };
        if best(first).max(best(second)) < DECIMAL_SEEN {
            return Err(Doubt::PoorlySeen);
        }
    } else if digits > 1 {
        // 1.5 m is read as 15 m with full confidence when the point is a pixel wide.
        return Err(Doubt::NoDecimalSign);
    }
    Ok(())
}

/// The digits of a number, sign by sign.
fn digits(first: &Seen, second: &Seen) -> Result<(), Doubt> {
    let (one, other) = (first.marks(), second.marks());
    if one.len() != other.len() {
        return Err(Doubt::ReadingsDiffer);
    }
    // At least one reading must be of digits as they are: a letter in a number is no digit.
    let whole = |seen: &Seen| seen.found.cost < 0.01;
    if first.found.cost.max(second.found.cost) >= 1.0 || !(whole(first) || whole(second)) {
        return Err(Doubt::LooksLike);
    }
    for ((sign, sure), (_, as_sure)) in one.iter().zip(&other) {
        let is_digit = sign.is_ascii_digit();
        let seen = sure.max(*as_sure);
        if seen < SEEN_POORLY {
            return Err(Doubt::PoorlySeen);
        }
        // Every digit has rivals: no vocabulary says which numbers there are.
        if is_digit && (seen < SEEN_WELL || sure.min(*as_sure) < SEEN_AT_ALL) {
            return Err(Doubt::LooksLike);
        }
    }
    Ok(())
}

/// A label by itself; whether it follows its neighbours is told by [`in_sequence`].
pub(super) fn label(first: &Seen, second: &Seen) -> Result<(), Doubt> {
    if first.found.value != second.found.value {
        return Err(Doubt::ReadingsDiffer);
    }
    if first.found.cost.max(second.found.cost) >= 1.0 {
        return Err(Doubt::NoSuchWord);
    }
    if confidence(first, second) < SEEN_POORLY {
        return Err(Doubt::PoorlySeen);
    }
    Ok(())
}

/// Which labels follow a neighbour, counted up by one: labels are counted when a list is made, and
/// no slip of reading makes a wrong number fit between two others.
pub(super) fn in_sequence(labels: &[Option<String>]) -> Vec<Result<(), Doubt>> {
    let parts: Vec<Option<(&str, u32)>> =
        labels.iter().map(|label| label.as_deref().and_then(split)).collect();
    let follows = |before: Option<(&str, u32)>, after: Option<(&str, u32)>| match (before, after) {
        (Some((front, number)), Some((other, next))) => front == other && next == number + 1,
        _ => false,
    };
    (0..labels.len())
        .map(|at| {
            let own = parts[at];
            if own.is_some() && parts.iter().filter(|other| **other == own).count() > 1 {
                return Err(Doubt::Repeated);
            }
            let before = at.checked_sub(1).is_some_and(|before| follows(parts[before], own));
            let after = parts.get(at + 1).is_some_and(|after| follows(own, *after));
            if before || after { Ok(()) } else { Err(Doubt::OutOfSequence) }
        })
        .collect()
}

/// A label as what it begins with and its number.
fn split(label: &str) -> Option<(&str, u32)> {
    let digits = label.bytes().rev().take_while(u8::is_ascii_digit).count();
    let (front, number) = label.split_at(label.len() - digits);
    Some((front, number.parse().ok()?))
}

/// The label that would follow the one above, or come before the one below.
pub(super) fn expected_label(labels: &[Option<String>], at: usize) -> Option<String> {
    let next = |label: &str, by: i64| {
        let (front, number) = split(label)?;
        let width = label.len() - front.len();
        let number = i64::from(number) + by;
        (number >= 0).then(|| format!("{front}{number:0width$}"))
    };
    let before = at.checked_sub(1).and_then(|before| labels[before].as_deref());
    let after = labels.get(at + 1).and_then(Option::as_deref);
    before.and_then(|label| next(label, 1)).or_else(|| after.and_then(|label| next(label, -1)))
}

#[cfg(test)]
mod tests;
