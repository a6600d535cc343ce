//! Lines out of pieces of a file, none longer than can be kept.

/// The longest line that is kept whole: a frame of CAN FD on a screen takes some 300 bytes.
pub const LONGEST_LINE: usize = 1024;

/// A line without its end.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Line {
    Whole(Vec<u8>),
    /// The beginning of one that was too long.
    TooLong(Vec<u8>),
}

/// Puts lines together. A line ends with a line feed, a carriage return, or the bell by which an
/// adapter refuses; a line feed behind a carriage return belongs to the same end.
#[derive(Debug, Default)]
pub(super) struct Lines {
    begun: Vec<u8>,
    is_too_long: bool,
    /// Whether the last byte was a carriage return, so that a line feed ends nothing.
    returned: bool,
}

impl Lines {
    /// The next line that ends in these bytes, and what stands behind it; `None` if none does, and
    /// the bytes are kept.
    pub(super) fn next<'b>(&mut self, mut bytes: &'b [u8]) -> Option<(Line, &'b [u8])> {
        if !bytes.is_empty() && std::mem::take(&mut self.returned) {
            bytes = bytes.strip_prefix(b"\n").unwrap_or(bytes);
        }
        let Some(end) = bytes.iter().position(|byte| matches!(byte, b'\n' | b'\r' | 0x07)) else {
            self.keep(bytes);
            return None;
        };
        let (head, tail) = bytes.split_at(end);
        self.keep(head);
        self.returned = tail.first() == Some(&b'\r');
        let line = self.take();
        Some((line, tail.get(1..).unwrap_or(&[])))
    }

    /// The last line, if nothing ends it.
    pub(super) fn rest(&mut self) -> Option<Line> {
        let is_there = !self.begun.is_empty() || self.is_too_long;
        is_there.then(|| self.take())
    }

    fn keep(&mut self, bytes: &[u8]) {
        let room = LONGEST_LINE.saturating_sub(self.begun.len());
        self.is_too_long |= bytes.len() > room;
        self.begun.extend(bytes.iter().take(room));
    }

    fn take(&mut self) -> Line {
        let line = std::mem::take(&mut self.begun);
        if std::mem::take(&mut self.is_too_long) { Line::TooLong(line) } else { Line::Whole(line) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(pieces: &[&[u8]]) -> Vec<String> {
        let mut lines = Lines::default();
        let mut told = Vec::new();
        for piece in pieces {
            let mut rest = *piece;
            while let Some((line, behind)) = lines.next(rest) {
                rest = behind;
                told.push(line);
            }
        }
        told.extend(lines.rest());
        told.into_iter()
            .map(|line| match line {
                Line::Whole(text) => String::from_utf8(text).unwrap(),
                Line::TooLong(text) => format!("too long, {} kept", text.len()),
            })
            .collect()
    }

    #[test]
    fn lines_are_the_same_however_the_pieces_fall() {
        let text = b"one\ntwo\r\nthree\rfour\x07\n\nsix";
        let whole = lines(&[text]);
        assert_eq!(whole, ["one", "two", "three", "four", "", "", "six"]);
        for cut in 0..text.len() {
            let (head, tail) = text.split_at(cut);
            assert_eq!(lines(&[head, b"", tail]), whole, "cut at {cut}");
        }
    }

    #[test]
    fn a_line_without_end_takes_no_memory_without_end() {
        let piece = [b'x'; 700];
        let told = lines(&[&piece, &piece, &piece, b"\nshort\n"]);
        assert_eq!(told, [&format!("too long, {LONGEST_LINE} kept"), "short"]);
        let just = [b'x'; LONGEST_LINE];
        assert_eq!(lines(&[&just, b"\n"])[0].len(), LONGEST_LINE);
    }
}
