//! How a form says which one it is: as a strip of squares for the reader, and as a QR code for
//! everyone and for the words of the sockets.
//!
//! The strip holds 48 bits and their checksum in squares of two millimetres, which are still told
//! apart where a photograph has lost the fine squares of a QR code; and its reader needs no library,
//! which in the page would cost as much as everything else of the form together.

use super::choices::Choices;
use crate::print::Paper;

/// Squares of a strip.
pub const BITS: usize = 64;

/// The version of the layout. Another layout gets another number.
const VERSION: u64 = 1;
/// First word of the QR code.
const HEAD: &str = "COLDCHECK-FORM-1";

/// Which sheet of which form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetId {
    /// Size of the paper that it was laid out for.
    pub paper: Paper,
    /// How many units can be chosen.
    pub units: u8,
    /// Which sheet, from one.
    pub sheet: u8,
    /// How many sheets were printed.
    pub sheets: u8,
    /// Checksum of everything that can be chosen.
    pub choices: u32,
}

impl SheetId {
    /// The squares: whether each is black.
    pub fn bits(self) -> [bool; BITS] {
        let fields = [
            (VERSION, 4),
            (u64::from(self.paper == Paper::Letter), 1),
            (self.units.into(), 6),
            (self.sheet.into(), 6),
            (self.sheets.into(), 6),
            (self.choices.into(), 24),
        ];
        let payload = fields.into_iter().fold(0, |held, (field, wide)| held << wide | field) << 1;
        let word = payload << 16 | u64::from(checksum(payload));
        std::array::from_fn(|at| word >> (BITS - 1 - at) & 1 == 1)
    }

    /// What squares say, if their checksum is right.
    pub fn of_bits(bits: &[bool; BITS]) -> Option<Self> {
        let word = bits.iter().fold(0_u64, |held, bit| held << 1 | u64::from(*bit));
        let payload = word >> 16;
        if u64::from(checksum(payload)) != word & 0xFFFF || payload >> 44 != VERSION {
            return None;
        }
        let part = |low: u32, wide: u32| payload >> low & ((1 << wide) - 1);
        let id = Self {
            paper: if part(43, 1) == 1 { Paper::Letter } else { Paper::A4 },
            units: u8::try_from(part(37, 6)).ok()?,
            sheet: u8::try_from(part(31, 6)).ok()?,
            sheets: u8::try_from(part(25, 6)).ok()?,
            choices: u32::try_from(part(1, 24)).ok()?,
        };
        (id.units > 0 && (1..=id.sheets).contains(&id.sheet)).then_some(id)
    }

    /// What the QR code says.
    pub fn text(self, choices: &Choices) -> String {
        format!(
            "{HEAD};{};{};{};{}/{};{};{:06X}",
            choices.profile,
            self.units,
            self.paper.word(),
            self.sheet,
            self.sheets,
            choices.ports_in_words(),
            self.choices
        )
    }

    /// What a QR code says of a form; `None` if it is none of ours or does not agree with itself.
    pub fn of_text(text: &str) -> Option<(Self, Choices)> {
        let rest = text.strip_prefix(HEAD)?.strip_prefix(';')?;
        // From the right, since the name of a profile is the person's own.
        let mut parts = rest.rsplitn(3, ';');
        let checksum = u32::from_str_radix(parts.next()?, 16).ok()?;
        let sockets = Choices::ports_of(parts.next()?)?;
        let mut parts = parts.next()?.rsplitn(4, ';');
        let (sheet, sheets) = parts.next()?.split_once('/')?;
        let paper = parts.next()?;
        let paper = Paper::ALL.into_iter().find(|one| one.word() == paper)?;
        let units: u16 = parts.next()?.parse().ok()?;
        let choices = Choices::new(parts.next()?, units, sockets)?;
        let id = Self {
            paper,
            units: choices.units,
            sheet: sheet.parse().ok()?,
            sheets: sheets.parse().ok()?,
            choices: checksum,
        };
        (choices.checksum() == checksum).then_some((id, choices))
    }
}

/// CRC-16 of the six bytes of the payload (polynomial 0x1021, from 0xFFFF).
fn checksum(payload: u64) -> u16 {
    payload.to_be_bytes().iter().skip(2).fold(0xFFFF, |sum: u16, byte| {
        (0..8).fold(sum ^ u16::from(*byte) << 8, |sum, _| {
            if sum & 0x8000 == 0 { sum << 1 } else { sum << 1 ^ 0x1021 }
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::form::choices::Port;
    use coldcheck_core::plan::PortClass;

    fn form() -> (SheetId, Choices) {
        let port = |name: &str, class| Port { name: name.to_owned(), class };
        let ports = vec![port("A", PortClass::Link), port("bat;1", PortClass::Battery)];
        let choices = Choices::new("my; own", 32, ports).unwrap();
        let choices_sum = choices.checksum();
        let id =
            SheetId { paper: Paper::Letter, units: 32, sheet: 2, sheets: 3, choices: choices_sum };
        (id, choices)
    }

    #[test]
    fn squares_and_code_tell_the_same_sheet() {
        let (id, choices) = form();
        assert_eq!(SheetId::of_bits(&id.bits()), Some(id));
        let plain = Choices { profile: "my; own".to_owned(), ..choices };
        // A semicolon in the name of a socket would be another field: it is not guessed.
        assert_eq!(SheetId::of_text(&id.text(&plain)), None);
        let ports = vec![Port { name: "A".to_owned(), class: PortClass::Link }];
        let plain = Choices::new("my; own", 32, ports).unwrap();
        let id = SheetId { choices: plain.checksum(), ..id };
        assert_eq!(SheetId::of_text(&id.text(&plain)), Some((id, plain)));
    }

    #[test]
    fn one_or_two_squares_that_are_wrong_are_noticed() {
        let bits = form().0.bits();
        for one in 0..BITS {
            for other in one..BITS {
                let mut wrong = bits;
                wrong[one] ^= true;
                if other != one {
                    wrong[other] ^= true;
                }
                assert_eq!(SheetId::of_bits(&wrong), None, "{one} {other}");
            }
        }
    }
}
