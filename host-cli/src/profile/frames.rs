//! The frame map of a profile: which frames tell what, in words and as records.
//!
//! ```toml
//! [[frame]]
//! id = "0x300"                # of the frames; eight digits for 29 bits
//! mask = "0x7E0"              # bits of it that must match
//! address = "id bits 0-4"     # where the sender's address lies
//! role = { at = "byte 0 bits 0-1", coordinator = 1, follower = 2 }
//! count = "byte 1"
//! firmware = "bytes 2-3"      # the parts of the version, a byte each, in this order
//! serial = "bytes 7-4"        # the first byte named is the most significant one
//! from = "ours, for demonstration"
//! ```

mod words;

pub use words::told;

use super::read::Reader;
use coldcheck_core::frame::FrameId;
use coldcheck_core::limits;
use coldcheck_core::plan::{FieldRecord, FrameRecord};
use toml_edit::{Item, Table};
use words::{field_of, identifier_words};

/// One kind of frame of a profile.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FrameKind {
    /// Where the facts lie.
    pub record: FrameRecord,
    /// Where it comes from: manual, standard, ours.
    pub from: String,
}

/// Keys of the facts.
const FACTS: [&str; 5] = ["address", "role", "count", "firmware", "serial"];

impl Reader {
    /// The kinds of frames that a profile lists, if it lists any.
    pub(super) fn frames(&mut self, root: &Table) -> Vec<FrameKind> {
        let Some(item) = root.get("frame") else { return Vec::new() };
        let Some(tables) = item.as_array_of_tables() else {
            self.wrong(item.span(), "this is no list of frames", "a table [[frame]] for each kind");
            return Vec::new();
        };
        if tables.len() > limits::FRAMES {
            let says = format!("there are {} kinds of frames", tables.len());
            self.wrong(tables.span(), &says, &format!("at most {}", limits::FRAMES));
        }
        let mut kinds: Vec<FrameKind> = Vec::new();
        for table in tables.iter().take(limits::FRAMES) {
            let Some(kind) = self.frame(table) else { continue };
            if let Some(first) = kinds.iter().find(|first| hides(&first.record, &kind.record)) {
                let (_, id) = &told(&first.record)[0];
                let says = format!("every frame of this kind is one of the kind with id {id} too");
                let span = table.get("id").and_then(Item::span);
                self.wrong(span, &says, "the narrower kind first, or another id or mask");
            }
            kinds.push(kind);
        }
        kinds
    }

    fn frame(&mut self, table: &Table) -> Option<FrameKind> {
        let known =
            ["id", "mask", "address", "role", "count", "firmware", "serial", "from"].as_slice();
        self.refuse_unknown(table, known);
        let from = self.text(table, "from", table.span());
        // All that is wrong with a kind is told at once, so nothing ends it before its end.
        let (id, mask) = (self.identifier(table, "id"), self.identifier(table, "mask"));
        let mut record = FrameRecord::default();
        if let (Some(id), Some(mask)) = (id, mask) {
            if (id ^ mask) & FrameRecord::EXTENDED != 0 {
                let span = table.get("mask").and_then(Item::span);
                let expected = "three digits for both, or eight for both";
                self.wrong(span, "the mask has not as many bits as the id", expected);
            }
            if id & !mask & !FrameRecord::EXTENDED != 0 {
                let free = identifier_words(id & mask, id & FrameRecord::EXTENDED != 0);
                let span = table.get("id").and_then(Item::span);
                let says = "the id has bits that the mask does not look at";
                self.wrong(span, says, &format!("id = \"{free}\", or another mask"));
            }
            (record.id, record.mask) = (id.into(), mask.into());
        }
        let mut is_whole = id.is_some() && mask.is_some();
        let mut taken: Vec<(&str, FieldRecord)> = Vec::new();
        for key in FACTS {
            let Some(item) = table.get(key) else { continue };
            let field = if key == "role" { self.role(item, &mut record) } else { self.field(item) };
            let Some(field) = field else {
                is_whole = false;
                continue;
            };
            if id.is_some() && mask.is_some() {
                self.refuse_fixed_bits(item, key, field, &record);
            }
            if let Some((other, _)) = taken.iter().find(|(_, other)| overlap(*other, field)) {
                let says = format!("the {key} lies in bits that tell the {other}");
                self.wrong(item.span(), &says, "bits of its own for each");
            }
            taken.push((key, field));
            match key {
                "address" => record.address = field,
                "role" => record.role = field,
                "count" => record.count = field,
                "firmware" => record.firmware = field,
                _ => record.serial = field,
            }
        }
        if !table.contains_key("address") {
            let expected = "address = \"id bits 0-4\" or \"byte 0\"";
            self.wrong(table.span(), "it is not said where the address lies", expected);
            return None;
        }
        let parts = record.firmware.bits();
        if !parts.is_multiple_of(8) {
            let span = table.get("firmware").and_then(Item::span);
            self.wrong(span, "a version has a byte for each part", "firmware = \"bytes 2-3\"");
        }
        is_whole.then_some(FrameKind { record, from })
    }

    /// Where the role lies; its numbers go into the record.
    fn role(&mut self, item: &Item, record: &mut FrameRecord) -> Option<FieldRecord> {
        const EXPECTED: &str = "{ at = \"byte 0 bits 0-1\", coordinator = 1, follower = 2 }";
        let Some(table) = item.as_table_like() else {
            self.wrong(item.span(), "this is no role", EXPECTED);
            return None;
        };
        self.refuse_unknown(table, &["at", "coordinator", "follower"]);
        let at = table.get("at");
        if at.is_none() {
            self.wrong(item.span(), "it is not said where the role lies", EXPECTED);
        }
        let field = at.and_then(|at| self.field(at));
        let mut number = |key: &str| {
            let span = table.get(key).and_then(Item::span).or(item.span());
            let number = table.get(key).and_then(Item::as_integer);
            let Some(number) = number.and_then(|number| u8::try_from(number).ok()) else {
                let says = match table.get(key) {
                    None => format!("the number of a {key} is missing"),
                    Some(_) => format!("the number of a {key} is none from 0 to 255"),
                };
                self.wrong(span, &says, EXPECTED);
                return None;
            };
            let bits = field.map_or(8, FieldRecord::bits);
            if bits < 8 && number >> bits != 0 {
                let says = format!("{number} has more than the {} of the role", counted_bits(bits));
                self.wrong(span, &says, &format!("0 to {}", (1u8 << bits) - 1));
            }
            Some(number)
        };
        let (coordinator, follower) = (number("coordinator"), number("follower"));
        (record.coordinator, record.follower) = (coordinator?, follower?);
        if record.coordinator == record.follower {
            self.wrong(item.span(), "both roles have one number", EXPECTED);
        }
        field
    }

    /// A fact in bits of the identifier that are the same in every frame of the kind, or in bits
    /// that its identifier does not have, could never differ.
    fn refuse_fixed_bits(
        &mut self,
        item: &Item,
        key: &str,
        field: FieldRecord,
        kind: &FrameRecord,
    ) {
        let Some(low) = field.start.checked_sub(FieldRecord::FIRST_OF_ID) else { return };
        let bits = (0..field.bits()).fold(0u32, |bits, bit| bits | (1 << (low + bit)));
        let length = if kind.id.get() & FrameRecord::EXTENDED == 0 { 11 } else { 29 };
        if bits >> length != 0 {
            let says = format!("an identifier of {length} bits has no such bits");
            self.wrong(item.span(), &says, &format!("id bits from 0 to {}", length - 1));
        } else if bits & kind.mask.get() != 0 {
            let says = format!("the mask fixes bits of the identifier that tell the {key}");
            let free = identifier_words(kind.mask.get() & !bits, length > 11);
            self.wrong(item.span(), &says, &format!("mask = \"{free}\", or other bits"));
        }
    }

    /// An identifier or a mask: three hexadecimal digits for 11 bits, eight for 29.
    fn identifier(&mut self, table: &Table, key: &str) -> Option<u32> {
        let text = self.text(table, key, table.span());
        let digits = text.strip_prefix("0x").or_else(|| text.strip_prefix("0X"));
        let bits = digits.and_then(|digits| {
            let number = u32::from_str_radix(digits, 16).ok()?;
            match digits.len() {
                1..=3 => FrameId::standard(u16::try_from(number).ok()?).map(FrameId::bits),
                8 => FrameId::extended(number).map(|id| id.bits() | FrameRecord::EXTENDED),
                _ => None,
            }
        });
        if bits.is_none() && table.get(key).is_some_and(|item| item.as_str().is_some()) {
            let span = table.get(key).and_then(Item::span);
            let expected = "0x and three digits for 11 bits, 0x7FF at the most, or eight for 29, 0x1FFFFFFF at the most";
            self.wrong(span, &format!("{text} is no identifier"), expected);
        }
        bits
    }

    fn field(&mut self, item: &Item) -> Option<FieldRecord> {
        let found = item.as_str().and_then(field_of);
        if found.is_none() {
            let expected = "byte 0, byte 0 bits 0-3, bytes 2-3, bytes 3-2 or id bits 0-4";
            self.wrong(item.span(), "this is no place in a frame", expected);
        }
        found
    }
}

fn counted_bits(bits: u8) -> String {
    crate::phrase::counted(bits.into(), "bit")
}

/// Whether two fields share bits.
const fn overlap(one: FieldRecord, two: FieldRecord) -> bool {
    one.start < two.start.saturating_add(two.bits())
        && two.start < one.start.saturating_add(one.bits())
}

/// Whether every frame of the second kind is taken for one of the first, which comes before it.
fn hides(first: &FrameRecord, second: &FrameRecord) -> bool {
    let (fixed, also) = (first.mask.get(), second.mask.get());
    let looked_at = fixed | FrameRecord::EXTENDED;
    fixed & also == fixed && (first.id.get() ^ second.id.get()) & looked_at == 0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::{builtin, parse};

    fn with_frame(frame: &str) -> Result<Vec<FrameKind>, Vec<String>> {
        let plain = builtin("plain").expect("built in");
        let dialect = "\"dialect\" = { is = \"frame map\", from = \"ours\" }";
        let text = format!("{plain}\n{dialect}\n[[frame]]\n{frame}\n");
        parse("mine.toml", &text)
            .map(|profile| profile.frames)
            .map_err(|(_, errors)| errors.into_iter().map(|error| error.says).collect())
    }

    #[test]
    fn a_kind_of_frame_is_read_whole() {
        let frames = with_frame(
            "id = \"0x18FF5000\"\nmask = \"0x1FFFFF00\"\naddress = \"id bits 0-7\"\n\
             role = { at = \"byte 0 bit 0\", coordinator = 1, follower = 0 }\n\
             serial = \"bytes 7-4\"\nfrom = \"ours\"",
        )
        .expect("sound");
        let told: Vec<_> = told(&frames[0].record).into_iter().map(|(_, words)| words).collect();
        assert_eq!(
            told,
            [
                "0x18FF5000",
                "0x1FFFFF00",
                "id bits 0-7",
                "byte 0 bit 0: coordinator 1, follower 0",
                "bytes 7-4"
            ]
        );
    }

    #[test]
    fn what_does_not_fit_is_refused() {
        let right = "id = \"0x300\"\nmask = \"0x7E0\"\naddress = \"byte 0\"\nfrom = \"ours\"";
        assert!(with_frame(right).is_ok());
        // The narrower kind first, and no bit of the address is fixed.
        let narrow = right.replace("0x300", "0x305").replace("0x7E0", "0x7FF");
        let wide = right.replace("byte 0", "id bits 0-4");
        assert!(with_frame(&format!("{narrow}\n[[frame]]\n{wide}")).is_ok());
        for (from, to, says) in [
            ("0x300", "0x800", "0x800 is no identifier"),
            ("0x300", "300", "300 is no identifier"),
            ("byte 0", "byte 9", "this is no place in a frame"),
            ("address = \"byte 0\"\n", "", "it is not said where the address lies"),
            ("from", "source", "source is not known here"),
            ("from = \"ours\"", "from = \"ours\"\nrole = 3", "this is no role"),
            (
                "from = \"ours\"",
                "from = \"ours\"\nrole = { at = \"byte 1\", coordinator = 1, follower = 1 }",
                "both roles have one number",
            ),
            (
                "from = \"ours\"",
                "from = \"ours\"\nfirmware = \"byte 1 bits 0-3\"",
                "a version has a byte for each part",
            ),
            (
                "byte 0",
                "id bits 4-7",
                "the mask fixes bits of the identifier that tell the address",
            ),
            ("byte 0", "id bits 4-11", "an identifier of 11 bits has no such bits"),
            ("0x300", "0x301", "the id has bits that the mask does not look at"),
            (
                "from = \"ours\"",
                "from = \"ours\"\ncount = \"bytes 1-2\"\nfirmware = \"bytes 2-3\"",
                "the firmware lies in bits that tell the count",
            ),
            (
                "from = \"ours\"",
                "from = \"ours\"\nrole = { at = \"byte 1 bit 0\", coordinator = 2, follower = 0 }",
                "2 has more than the 1 bit of the role",
            ),
            ("0x7E0", "0x1FFFFFFF", "the mask has not as many bits as the id"),
            (
                "from = \"ours\"",
                "from = \"ours\"\n[[frame]]\nid = \"0x310\"\nmask = \"0x7F0\"\n\
                 address = \"byte 0\"\nfrom = \"ours\"",
                "every frame of this kind is one of the kind with id 0x300 too",
            ),
        ] {
            let errors = with_frame(&right.replace(from, to)).expect_err(says);
            assert!(errors.iter().any(|error| error == says), "{errors:?}");
        }
    }

    #[test]
    fn all_that_is_wrong_with_a_kind_is_told_at_once() {
        let errors = with_frame(
            "id = \"0x3Z0\"\nmask = \"0x7E0\"\naddress = \"byte 9\"\n\
             role = { at = \"byte 8\", coordinator = 1, follower = 1 }\ncount = \"byte\"\nfrom = \"ours\"",
        )
        .expect_err("much is wrong");
        assert_eq!(
            errors,
            [
                "0x3Z0 is no identifier",
                "this is no place in a frame",
                "both roles have one number",
                "this is no place in a frame",
                "this is no place in a frame",
            ]
        );
    }
}
