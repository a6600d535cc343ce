//! Small changes of an input, the same on every machine for one number.

use super::NEXT_SHEET;
use crate::generate::Dice;

/// Signs and words that readers treat in a way of their own.
const ODD: &[&[u8]] = &[
    b"\n",
    b"\r\n",
    b"\r",
    b",",
    b";",
    b"\t",
    b"|",
    b"\"",
    b"'",
    b"=",
    b"#",
    b"[",
    b"]",
    b"[[",
    b"{",
    b"}",
    b"->",
    b"-",
    b"?",
    b"\\",
    b"/",
    b"(",
    b")",
    b"0x",
    b"0b101",
    b"4294967296",
    b"-1",
    b"99999",
    b" m",
    b"6'3\"",
    b"unit 1",
    b"unit 33",
    b"all units ",
    b"name box = unit 1",
    b"list came from = photograph",
    b"link shape = ring",
    b"profile = two-port-ring",
    b"sheet date = 2026-03-01",
    b"last change = 2026-04-01",
    b"scope = power",
    b"column von = from",
    b"CT L1",
    b"pack 1 data",
    b"gateway",
    b"(1.0) can0 ",
    b"20000040#",
    b"701#05",
    b"##",
    b"#R",
    b"can1  701   [1]  05",
    b"T18EEFF808",
    b"F20\r",
    b"(0.000001)",
    b"terminator",
    b"\xEF\xBB\xBF",
    b"\xC2\xA0",
    b"\xE2\x80\xAE",
    b"\xE2\x80\x93",
    b"\xF0\x9F\x94\x8C",
    b"\x1b[31m",
    b"\x07",
    b"\xFC",
    b"\xFF\xFE",
    b"\0",
    b"\xC2\x9B",
    b"\xCC\x81",
    b"\xE8\xA1\xA8",
    &[NEXT_SHEET],
    b"oooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooooo",
];

/// The input with one to five changes; some take a piece of another input.
pub fn mutated(input: &[u8], other: &[u8], dice: &mut Dice, most_bytes: usize) -> Vec<u8> {
    let mut bytes = input.to_vec();
    for _ in 0..=dice.roll(5) {
        change(&mut bytes, other, dice);
    }
    bytes.truncate(most_bytes);
    bytes
}

fn change(bytes: &mut Vec<u8>, other: &[u8], dice: &mut Dice) {
    let at = dice.roll(bytes.len() + 1);
    match dice.roll(10) {
        0 => {
            if let Some(byte) = bytes.get_mut(at) {
                *byte ^= 1 << dice.roll(8);
            }
        }
        1 => {
            let end = (at + 1 + dice.roll(12)).min(bytes.len());
            bytes.drain(at.min(end)..end);
        }
        2..=4 => insert(bytes, at, ODD[dice.roll(ODD.len())]),
        // A line again, elsewhere; a line of another input; a line less.
        5 => {
            let line = line_at(bytes, at).to_vec();
            let place = start_of_line(bytes, dice.roll(bytes.len() + 1));
            insert(bytes, place, &line);
        }
        6 | 7 => {
            let line = line_at(other, dice.roll(other.len() + 1)).to_vec();
            let place = start_of_line(bytes, at);
            insert(bytes, place, &line);
        }
        8 => {
            let start = start_of_line(bytes, at);
            let end = start + line_at(bytes, at).len();
            bytes.drain(start..end);
        }
        _ => {
            if let Some(byte) = bytes.get_mut(at) {
                *byte = u8::try_from(dice.roll(256)).unwrap_or(0);
            }
        }
    }
}

fn insert(bytes: &mut Vec<u8>, at: usize, piece: &[u8]) {
    let tail = bytes.split_off(at.min(bytes.len()));
    bytes.extend(piece);
    bytes.extend(tail);
}

fn start_of_line(bytes: &[u8], at: usize) -> usize {
    let before = &bytes[..at.min(bytes.len())];
    before.iter().rposition(|byte| *byte == b'\n').map_or(0, |newline| newline + 1)
}

fn line_at(bytes: &[u8], at: usize) -> &[u8] {
    let rest = &bytes[start_of_line(bytes, at)..];
    let length = rest.iter().position(|byte| *byte == b'\n').map_or(rest.len(), |end| end + 1);
    &rest[..length]
}
