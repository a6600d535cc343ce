//! Places in a frame and what lies there, as a profile writes them.

use coldcheck_core::plan::{FieldRecord, FrameRecord};

/// The field that is written so; `None` if it is no place in a frame.
pub(super) fn field_of(text: &str) -> Option<FieldRecord> {
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
pub(super) fn identifier_words(bits: u32, extended: bool) -> String {
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
}
