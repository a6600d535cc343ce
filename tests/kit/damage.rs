//! Images that were damaged, and bytes that never were one.

use crate::generate::Dice;
use crate::heard::expected;
use coldcheck_core::image::{HEADER_BYTES, Image, header};

/// Flips every bit of an image and cuts it at every byte, names left out; says which damage is not
/// refused.
///
/// # Panics
/// If the image is damaged already.
pub fn unseen(image: &[u8]) -> Vec<String> {
    let rest = Image::read(image).expect("a sound image").rest.len();
    let image = &image[..image.len() - rest];
    let mut unseen = Vec::new();
    for length in 0..image.len() {
        if Image::read(&image[..length]).is_ok() {
            unseen.push(format!("cut after {length} bytes"));
        }
    }
    let mut flipped = image.to_vec();
    for bit in 0..image.len() * 8 {
        flipped[bit / 8] ^= 1 << (bit % 8);
        if Image::read(&flipped).is_ok() {
            unseen.push(format!("bit {bit} flipped"));
        }
        flipped[bit / 8] ^= 1 << (bit % 8);
    }
    unseen
}

/// A damaged image: cut, with some bits flipped, with bytes changed and the checksum put right, or
/// nothing but noise.
///
/// # Panics
/// If the image is empty, or longer than a header can say.
pub fn damaged(image: &[u8], dice: &mut Dice) -> Vec<u8> {
    let mut bytes = image.to_vec();
    match dice.roll(4) {
        0 => bytes.truncate(dice.roll(image.len())),
        1 => {
            for _ in 0..=dice.roll(3) {
                let at = dice.roll(bytes.len());
                bytes[at] ^= 1 << dice.roll(8);
            }
        }
        2 => {
            bytes.drain(..HEADER_BYTES.min(bytes.len()));
            for _ in 0..=dice.roll(4) {
                let at = dice.roll(bytes.len());
                bytes[at] = byte(dice);
            }
            let head = header(&bytes).expect("short");
            bytes.splice(..0, head);
        }
        _ => {
            bytes.truncate(4 + dice.roll(200));
            for byte_of in bytes.iter_mut().skip(if dice.roll(2) == 0 { 0 } else { 4 }) {
                *byte_of = byte(dice);
            }
        }
    }
    bytes
}

fn byte(dice: &mut Dice) -> u8 {
    u8::try_from(dice.roll(256)).expect("below 256")
}

/// Reads and, where it is accepted, checks and compares so many damaged images; says how many were
/// accepted. It must not panic.
///
/// # Panics
/// Never, if the core keeps its word.
pub fn endure(images: &[Vec<u8>], count: u64) -> usize {
    let mut accepted = 0;
    for number in 0..count {
        let mut dice = Dice::new(number);
        let image = &images[dice.roll(images.len())];
        let (_, status) = expected(&damaged(image, &mut dice), &[]);
        accepted += usize::from(status != 2);
    }
    accepted
}
