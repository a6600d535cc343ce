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

use super::read::Reader;
use coldcheck_core::frame::FrameId;
use coldcheck_core::limits;
use coldcheck_core::plan::{FieldRecord, FrameRecord};
use toml_edit::{Item, Table, TableLike};

/// One kind of frame of a profile.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FrameKind {
    /// Where the facts lie.
    pub record: FrameRecord,
    /// Where it comes from: manual, standard, ours.
    pub from: String,
}

/// Keys of the facts, with what reads and writes each.
const FACTS: [&str; 4] = ["address", "count", "firmware", "serial"];

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
        let id = self.identifier(table, "id")?;
        let mask = self.identifier(table, "mask")?;
        if (id ^ mask) & FrameRecord::EXTENDED != 0 {
            let span = table.get("mask").and_then(Item::span);
            let expected = "three digits for both, or eight for both";
            self.wrong(span, "the mask has not as many bits as the id", expected);
        }
        let mut record = FrameRecord { id: id.into(), mask: mask.into(), ..FrameRecord::default() };
        for key in FACTS {
            let Some(item) = table.get(key) else { continue };
            let field = self.field(item)?;
            self.refuse_fixed_bits(item, key, field, &record);
            match key {
                "address" => record.address = field,
                "count" => record.count = field,
                "firmware" => record.firmware = field,
                _ => record.serial = field,
            }
        }
        if record.address.bits() == 0 {
            let expected = "address = \"id bits 0-4\" or \"byte 0\"";
            self.wrong(table.span(), "it is not said where the address lies", expected);
            return None;
        }
        let parts = record.firmware.bits();
        if !parts.is_multiple_of(8) {
            let span = table.get("firmware").and_then(Item::span);
            self.wrong(span, "a version has a byte for each part", "firmware = \"bytes 2-3\"");
        }
        if let Some(item) = table.get("role") {
            self.role(item, &mut record)?;
        }
        Some(FrameKind { record, from })
    }

    fn role(&mut self, item: &Item, record: &mut FrameRecord) -> Option<()> {
        const EXPECTED: &str = "{ at = \"byte 0 bits 0-1\", coordinator = 1, follower = 2 }";
        let Some(table) = item.as_table_like() else {
            self.wrong(item.span(), "this is no role", EXPECTED);
            return None;
        };
        self.refuse_unknown(table, &["at", "coordinator", "follower"]);
        let Some(at) = table.get("at") else {
            self.wrong(item.span(), "it is not said where the role lies", EXPECTED);
            return None;
        };
        record.role = self.field(at)?;
        self.refuse_fixed_bits(at, "role", record.role, record);
        let mut number = |table: &dyn TableLike, key: &str| {
            let number = table.get(key).and_then(Item::as_integer);
            let number = number.and_then(|number| u8::try_from(number).ok());
            if number.is_none() {
                let span = table.get(key).and_then(Item::span).or(item.span());
                self.wrong(span, &format!("the number of a {key} is missing"), EXPECTED);
            }
            number
        };
        record.coordinator = number(table, "coordinator")?;
        record.follower = number(table, "follower")?;
        if record.coordinator == record.follower {
            self.wrong(item.span(), "both roles have one number", EXPECTED);
        }
        Some(())
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
            let expected = "0x and three digits for 11 bits, such as 0x300, or eight for 29";
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

/// Whether every frame of the second kind is taken for one of the first, which comes before it.
fn hides(first: &FrameRecord, second: &FrameRecord) -> bool {
    let (fixed, also) = (first.mask.get(), second.mask.get());
    let looked_at = fixed | FrameRecord::EXTENDED;
    fixed & also == fixed && (first.id.get() ^ second.id.get()) & looked_at == 0
}

/// The field that is written so; `None` if it is no place in a frame.
fn field_of(text: &str) -> Option<FieldRecord> {
    let words: Vec<String> = text.split_whitespace().map(str::to_ascii_lowercase).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let number = |text: &str| text.parse::<u8>().ok();
    let range = |text: &str| match text.split_once('-') {
        None => Some((number(text)?, number(text)?)),
        Some((low, high)) => Some((number(low)?, number(high)?)),
    };
    let bits = |text: &str, most: u8| range(text).filter(|(low, high)| low <= high && *high < most);
    match words.as_slice() {
        ["byte", byte] => {
            let byte = number(byte).filter(|byte| *byte < 8)?;
            Some(FieldRecord { start: byte * 8, width: 8 })
        }
        ["byte", byte, "bit" | "bits", run] => {
            let byte = number(byte).filter(|byte| *byte < 8)?;
            let (low, high) = bits(run, 8)?;
            Some(FieldRecord { start: byte * 8 + low, width: high - low + 1 })
        }
        ["bytes", run] => {
            let (first, last) = range(run).filter(|(one, other)| one.max(other) < &8)?;
            let (low, count) = (first.min(last), first.abs_diff(last) + 1);
            if count > 4 {
                return None;
            }
            // The first byte that is named is the most significant one.
            let order = if first < last { FieldRecord::MOST_SIGNIFICANT_FIRST } else { 0 };
            Some(FieldRecord { start: low * 8, width: (count * 8) | order })
        }
        ["id", "bit" | "bits", run] => {
            let (low, high) = bits(run, 29)?;
            Some(FieldRecord { start: FieldRecord::FIRST_OF_ID + low, width: high - low + 1 })
        }
        _ => None,
    }
}

/// A field in words, as a profile writes it.
fn words_of(field: FieldRecord) -> String {
    let (start, bits) = (field.start, field.bits());
    let run = |low: u8, count: u8| match count {
        1 => format!("bit {low}"),
        _ => format!("bits {low}-{}", low + count - 1),
    };
    if start >= FieldRecord::FIRST_OF_ID {
        return format!("id {}", run(start - FieldRecord::FIRST_OF_ID, bits));
    }
    let byte = start / 8;
    if bits == 8 {
        format!("byte {byte}")
    } else if bits < 8 {
        format!("byte {byte} {}", run(start % 8, bits))
    } else if field.width & FieldRecord::MOST_SIGNIFICANT_FIRST == 0 {
        format!("bytes {}-{byte}", byte + bits / 8 - 1)
    } else {
        format!("bytes {byte}-{}", byte + bits / 8 - 1)
    }
}

/// An identifier or a mask as a profile writes it.
fn identifier_words(bits: u32, extended: bool) -> String {
    let number = bits & !FrameRecord::EXTENDED;
    if extended { format!("0x{number:08X}") } else { format!("0x{number:03X}") }
}

/// Each thing that is said about a kind of frame: its key and its words, as a profile writes them.
pub fn told(record: &FrameRecord) -> Vec<(&'static str, String)> {
    let extended = record.id.get() & FrameRecord::EXTENDED != 0;
    let mut told = vec![
        ("id", identifier_words(record.id.get(), extended)),
        ("mask", identifier_words(record.mask.get(), extended)),
    ];
    for (key, field) in [
        ("address", record.address),
        ("role", record.role),
        ("count", record.count),
        ("firmware", record.firmware),
        ("serial", record.serial),
    ] {
        if field.bits() == 0 {
            continue;
        }
        let at = words_of(field);
        let (coordinator, follower) = (record.coordinator, record.follower);
        told.push(match key {
            "role" => (key, format!("{at}: coordinator {coordinator}, follower {follower}")),
            _ => (key, at),
        });
    }
    told
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::{builtin, parse};

    #[test]
    fn places_in_a_frame_are_read_and_written_alike() {
        for text in [
            "byte 0",
            "byte 7 bit 7",
            "byte 1 bits 2-5",
            "bytes 2-3",
            "bytes 7-4",
            "id bits 0-4",
            "id bit 28",
        ] {
            let field = field_of(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(words_of(field), text);
        }
        for text in [
            "",
            "byte",
            "byte 8",
            "byte 0 bits 5-2",
            "bytes 0-4",
            "bytes 5-9",
            "id bits 0-29",
            "bit 3",
        ] {
            assert_eq!(field_of(text), None, "{text}");
        }
    }

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
}
