//! The input cut into blocks of whole lines, or of whole images. A block is what one thread takes
//! at a time.

use crate::args::LineRange;
use crate::batch::MOST_BYTES;
use memchr::{memchr, memchr_iter, memrchr};
use std::io::{self, Read};

/// Bytes that are asked for at a time.
const AT_ONCE: usize = 256 * 1024;

/// What a thread is given: entries, or one that is too long to be held.
#[derive(Debug)]
pub(super) enum Block {
    /// Whole entries; the first has this number.
    Whole(u64),
    /// The entry of this number is longer than [`MOST_BYTES`].
    TooLong(u64),
    /// The input ends inside of this image.
    CutShort(u64),
}

/// Cuts an input into blocks.
pub(super) struct Blocks<R> {
    input: R,
    images: bool,
    range: LineRange,
    /// The number of the entry that comes next.
    next: u64,
    /// What was read behind the last whole entry.
    rest: Vec<u8>,
    /// Bytes of an entry that is too long and still has to be passed over; `None` is to the end of
    /// its line.
    passing: Option<Passing>,
    ended: bool,
}

#[derive(Clone, Copy, Debug)]
enum Passing {
    ToLineEnd,
    Bytes(u64),
}

impl<R: Read> Blocks<R> {
    pub(super) fn new(input: R, images: bool, range: LineRange) -> Self {
        Self { input, images, range, next: 1, rest: Vec::new(), passing: None, ended: false }
    }

    /// Fills the memory with the next block; `None` at the end of the input or of the range.
    pub(super) fn next(&mut self, block: &mut Vec<u8>) -> io::Result<Option<Block>> {
        loop {
            if self.next > self.range.last {
                return Ok(None);
            }
            let Some(found) = self.cut(block)? else { return Ok(None) };
            let first = self.next;
            let Block::Whole(count) = found else {
                self.next += 1;
                if first < self.range.first {
                    continue;
                }
                let is_long = matches!(found, Block::TooLong(_));
                return Ok(Some(if is_long {
                    Block::TooLong(first)
                } else {
                    Block::CutShort(first)
                }));
            };
            self.next += count;
            if self.next <= self.range.first {
                continue;
            }
            let before = self.range.first.saturating_sub(first);
            let wanted = self.range.last.saturating_sub(first).saturating_add(1);
            if wanted < count {
                block.truncate(self.end_of(block, wanted));
            }
            if before > 0 {
                block.drain(..self.end_of(block, before));
            }
            return Ok(Some(Block::Whole(first + before)));
        }
    }

    /// The next block whatever its numbers: how many entries it holds, or what is wrong with one.
    fn cut(&mut self, block: &mut Vec<u8>) -> io::Result<Option<Block>> {
        block.clear();
        block.append(&mut self.rest);
        loop {
            self.pass_over(block);
            let (end, count) = if self.passing.is_some() { (0, 0) } else { self.whole(block) };
            if count > 0 {
                self.rest.extend_from_slice(block.get(end..).unwrap_or(&[]));
                block.truncate(end);
                return Ok(Some(Block::Whole(count)));
            }
            if self.passing.is_none() && self.starts_too_long(block) {
                return Ok(Some(Block::TooLong(0)));
            }
            if self.ended {
                let short = self.images && (!block.is_empty() || self.passing.is_some());
                let last = !self.images && self.passing.is_none() && !block.is_empty();
                self.passing = None;
                return Ok(if short {
                    block.clear();
                    Some(Block::CutShort(0))
                } else if last {
                    Some(Block::Whole(1))
                } else {
                    None
                });
            }
            self.read_more(block)?;
        }
    }

    /// Where the last whole entry ends, and how many there are.
    fn whole(&self, block: &[u8]) -> (usize, u64) {
        if !self.images {
            let Some(last) = memrchr(b'\n', block) else { return (0, 0) };
            let lines = memchr_iter(b'\n', block).count();
            return (last + 1, u64::try_from(lines).unwrap_or(u64::MAX));
        }
        let (mut end, mut count) = (0, 0);
        let mut rest = block;
        while let Some((image, behind)) = image(rest) {
            if image.len() > MOST_BYTES {
                break;
            }
            end += LENGTH_BYTES + image.len();
            count += 1;
            rest = behind;
        }
        (end, count)
    }

    /// Whether the entry that the block starts with is too long; then it will be passed over.
    fn starts_too_long(&mut self, block: &mut Vec<u8>) -> bool {
        if self.images {
            let Some((head, _)) = block.split_first_chunk::<LENGTH_BYTES>() else { return false };
            let length = u64::from(u32::from_le_bytes(*head));
            if usize::try_from(length).is_ok_and(|length| length <= MOST_BYTES) {
                return false;
            }
            block.drain(..LENGTH_BYTES);
            self.passing = Some(Passing::Bytes(length));
        } else {
            if block.len() <= MOST_BYTES {
                return false;
            }
            self.passing = Some(Passing::ToLineEnd);
        }
        self.rest = std::mem::take(block);
        true
    }

    /// Throws away what belongs to an entry that is too long.
    fn pass_over(&mut self, block: &mut Vec<u8>) {
        match self.passing {
            None => {}
            Some(Passing::ToLineEnd) => {
                if let Some(end) = memchr(b'\n', block) {
                    block.drain(..=end);
                    self.passing = None;
                } else {
                    block.clear();
                }
            }
            Some(Passing::Bytes(left)) => {
                let here = usize::try_from(left).unwrap_or(usize::MAX).min(block.len());
                block.drain(..here);
                let left = left.saturating_sub(u64::try_from(here).unwrap_or(u64::MAX));
                self.passing = (left > 0).then_some(Passing::Bytes(left));
            }
        }
    }

    fn read_more(&mut self, block: &mut Vec<u8>) -> io::Result<()> {
        let filled = block.len();
        block.resize(filled + AT_ONCE, 0);
        let read = loop {
            match self.input.read(block.get_mut(filled..).unwrap_or(&mut [])) {
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                other => break other,
            }
        };
        block.truncate(filled + read.as_ref().copied().unwrap_or(0));
        self.ended = read? == 0;
        Ok(())
    }

    /// Where so many entries end.
    fn end_of(&self, block: &[u8], count: u64) -> usize {
        let count = usize::try_from(count).unwrap_or(usize::MAX);
        if !self.images {
            let nth = memchr_iter(b'\n', block).nth(count.saturating_sub(1));
            return nth.map_or(block.len(), |end| end + 1);
        }
        let mut rest = block;
        for _ in 0..count {
            let Some((_, behind)) = image(rest) else { break };
            rest = behind;
        }
        block.len() - rest.len()
    }
}

/// Bytes of the length before an image.
const LENGTH_BYTES: usize = 4;

/// The image that the bytes start with, and what follows it, if all of it is there.
pub(super) fn image(bytes: &[u8]) -> Option<(&[u8], &[u8])> {
    let (head, rest) = bytes.split_first_chunk::<LENGTH_BYTES>()?;
    rest.split_at_checked(usize::try_from(u32::from_le_bytes(*head)).ok()?)
}

/// The line that the bytes start with, and what follows it.
pub(super) fn line(bytes: &[u8]) -> Option<(&[u8], &[u8])> {
    if bytes.is_empty() {
        return None;
    }
    let end = memchr(b'\n', bytes).unwrap_or(bytes.len());
    let (line, rest) = bytes.split_at_checked(end)?;
    Some((line, rest.get(1..).unwrap_or(&[])))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An input that gives a few bytes at a time.
    struct Slow<'s>(&'s [u8], usize);

    impl Read for Slow<'_> {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            let length = self.1.min(self.0.len()).min(buffer.len());
            let (now, later) = self.0.split_at(length);
            buffer[..length].copy_from_slice(now);
            self.0 = later;
            Ok(length)
        }
    }

    fn cut(input: &[u8], at_once: usize, images: bool, range: LineRange) -> Vec<(u64, String)> {
        let mut blocks = Blocks::new(Slow(input, at_once), images, range);
        let (mut block, mut found) = (Vec::new(), Vec::new());
        while let Some(head) = blocks.next(&mut block).expect("readable") {
            match head {
                Block::Whole(mut number) => {
                    let mut rest = block.as_slice();
                    while let Some((entry, behind)) = if images { image(rest) } else { line(rest) }
                    {
                        found.push((number, String::from_utf8_lossy(entry).into_owned()));
                        (rest, number) = (behind, number + 1);
                    }
                }
                Block::TooLong(number) => found.push((number, "too long".to_owned())),
                Block::CutShort(number) => found.push((number, "cut short".to_owned())),
            }
        }
        found
    }

    fn expected(entries: &[(u64, &str)]) -> Vec<(u64, String)> {
        entries.iter().map(|(number, text)| (*number, (*text).to_owned())).collect()
    }

    #[test]
    fn lines_keep_their_numbers_however_the_input_comes() {
        let all = LineRange::ALL;
        for at_once in [1, 2, 3, 7, 1000] {
            let found = cut(b"one\n\nthree\nfour", at_once, false, all);
            assert_eq!(found, expected(&[(1, "one"), (2, ""), (3, "three"), (4, "four")]));
            assert_eq!(cut(b"one\n", at_once, false, all), expected(&[(1, "one")]));
            assert_eq!(cut(b"", at_once, false, all), []);
            let range = LineRange { first: 2, last: 3 };
            let found = cut(b"one\ntwo\nthree\nfour\n", at_once, false, range);
            assert_eq!(found, expected(&[(2, "two"), (3, "three")]));
        }
    }

    #[test]
    fn a_line_that_is_too_long_is_passed_over() {
        let long = "x".repeat(3 * MOST_BYTES);
        for at_once in [1000, MOST_BYTES, 10 * MOST_BYTES] {
            let text = format!("one\n{long}\nthree\n{long}");
            let found = cut(text.as_bytes(), at_once, false, LineRange::ALL);
            // A line that came whole is judged by its length later on.
            let short =
                |text: &str| if text.len() > MOST_BYTES { "too long" } else { text }.to_owned();
            let found: Vec<_> = found.iter().map(|(number, text)| (*number, short(text))).collect();
            let wanted = [(1, "one"), (2, "too long"), (3, "three"), (4, "too long")];
            assert_eq!(found, expected(&wanted), "{at_once}");
        }
    }

    #[test]
    fn images_stand_behind_their_lengths() {
        let mut bytes = Vec::new();
        for body in ["one", "", "three"] {
            bytes.extend(u32::try_from(body.len()).expect("short").to_le_bytes());
            bytes.extend(body.as_bytes());
        }
        for at_once in [1, 5, 1000] {
            let found = cut(&bytes, at_once, true, LineRange::ALL);
            assert_eq!(found, expected(&[(1, "one"), (2, ""), (3, "three")]));
            let found = cut(&bytes[..bytes.len() - 1], at_once, true, LineRange::ALL);
            assert_eq!(found, expected(&[(1, "one"), (2, ""), (3, "cut short")]));
            let mut long = bytes.clone();
            long.extend(u32::try_from(MOST_BYTES + 1).expect("fits").to_le_bytes());
            long.extend(vec![0; MOST_BYTES + 1]);
            long.extend(&bytes[..7]);
            let found = cut(&long, 1000 * at_once, true, LineRange { first: 3, last: 9 });
            assert_eq!(found, expected(&[(3, "three"), (4, "too long"), (5, "one")]));
        }
    }
}
