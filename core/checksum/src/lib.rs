//! The checksum of an image: CRC-32 (ISO-HDLC), four bits at a time.
//!
//! A table of 64 bytes, and seven instructions for each byte on a Cortex-M3, as four bytes are
//! taken together. The usual table of a kilobyte took eight.
//!
//! A package of its own, because a level of optimisation is set for each package: half of what it
//! takes to load an image is this loop, and made for size it takes half as long again.
#![cfg_attr(not(test), no_std)]
#![forbid(unsafe_code)]
#![allow(clippy::inline_always, reason = "the loop is to be unrolled whatever it is built for")]

/// The polynomial of CRC-32, lowest bit first (CRC `RevEng` catalogue: 0x04C11DB7 reflected).
const POLYNOMIAL: u32 = 0xEDB8_8320;

/// What becomes of each of the sixteen values of four bits.
const REMAINDERS: [u32; 16] = {
    let mut remainders = [0; 16];
    let mut rest: &mut [u32] = &mut remainders;
    let mut next = 0u32;
    while let [first, tail @ ..] = rest {
        let mut remainder = next;
        let mut bits = 4u32;
        while bits > 0 {
            let carries = remainder & 1 != 0;
            remainder >>= 1;
            if carries {
                remainder ^= POLYNOMIAL;
            }
            bits = bits.saturating_sub(1);
        }
        *first = remainder;
        next = next.wrapping_add(1);
        rest = tail;
    }
    remainders
};

/// The checksum of all these bytes, one piece after the other.
///
/// ```
/// // Check value of the nine digits (CRC `RevEng` catalogue).
/// assert_eq!(coldcheck_checksum::checksum([b"12345", b"6789"]), 0xCBF4_3926);
/// ```
pub fn checksum(pieces: [&[u8]; 2]) -> u32 {
    let [one, two] = pieces;
    !take(take(u32::MAX, one), two)
}

#[inline(never)]
fn take(mut sum: u32, bytes: &[u8]) -> u32 {
    let (words, rest) = bytes.as_chunks::<4>();
    for word in words {
        sum = byte(byte(byte(byte(sum ^ u32::from_le_bytes(*word)))));
    }
    for last in rest {
        sum = byte(sum ^ u32::from(*last));
    }
    sum
}

/// Takes in eight bits.
#[inline(always)]
fn byte(sum: u32) -> u32 {
    nibble(nibble(sum))
}

#[inline(always)]
fn nibble(sum: u32) -> u32 {
    let lowest = usize::try_from(sum & 0xF).unwrap_or(0);
    sum.wrapping_shr(4) ^ REMAINDERS.get(lowest).copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_checksum_is_the_published_one() {
        // Check value of the nine digits: 0xCBF43926 (CRC RevEng catalogue).
        for cut in 0..=9 {
            let (one, two) = b"123456789".split_at(cut);
            assert_eq!(checksum([one, two]), 0xCBF4_3926, "cut at {cut}");
        }
        assert_eq!(checksum([b"", b""]), 0);
    }
}
