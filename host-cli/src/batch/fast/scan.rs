//! JSON as far as the fast way goes: objects, lists, plain texts, whole numbers, yes and no. All
//! texts are borrowed from the line. Whatever else stands there is left to the general reader,
//! which also tells what is wrong with it.

/// Something that only the general reader understands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct General;

/// A place in a line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scan<'l> {
    text: &'l str,
    at: usize,
}

impl<'l> Scan<'l> {
    pub(super) const fn new(text: &'l str) -> Self {
        Self { text, at: 0 }
    }

    pub(super) const fn at(&self) -> usize {
        self.at
    }

    /// What was passed since a place.
    pub(super) fn since(&self, start: usize) -> &'l [u8] {
        self.text.as_bytes().get(start..self.at).unwrap_or(&[])
    }

    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    pub(super) fn pass_space(&mut self) {
        while let Some(b' ' | b'\t' | b'\r' | b'\n') = self.peek() {
            self.at += 1;
        }
    }

    /// Passes a sign, and the space before it, if it stands next.
    pub(super) fn passes(&mut self, sign: u8) -> bool {
        if self.peek() != Some(sign) {
            self.pass_space();
            if self.peek() != Some(sign) {
                return false;
            }
        }
        self.at += 1;
        true
    }

    /// Passes bytes that were seen here before.
    pub(super) fn passes_again(&mut self, bytes: &[u8]) -> bool {
        let here = self.text.as_bytes().get(self.at..self.at + bytes.len());
        let same = here.is_some_and(|here| are_same(here, bytes));
        if same {
            self.at += bytes.len();
        }
        same
    }

    pub(super) fn sign(&mut self, sign: u8) -> Result<(), General> {
        if self.passes(sign) { Ok(()) } else { Err(General) }
    }

    /// Whether a list or an object stands next.
    pub(super) fn stands(&mut self, sign: u8) -> bool {
        self.pass_space();
        self.peek() == Some(sign)
    }

    /// Nothing but space is left.
    pub(super) fn end(&mut self) -> Result<(), General> {
        self.pass_space();
        if self.at == self.text.len() { Ok(()) } else { Err(General) }
    }

    /// A text without escapes.
    pub(super) fn text(&mut self) -> Result<&'l str, General> {
        self.sign(b'"')?;
        self.rest_of_text()
    }

    /// What stands behind a quote.
    fn rest_of_text(&mut self) -> Result<&'l str, General> {
        let start = self.at;
        let end = self.end_of_text()?;
        self.at = end + 1;
        self.text.get(start..end).ok_or(General)
    }

    /// The value of a fact as the general reader takes it: what stands in a text, or a number, or
    /// yes or no as they are written. Space around what stands in a text is left to it.
    pub(super) fn word(&mut self) -> Result<&'l str, General> {
        if self.peek() != Some(b'"') {
            self.pass_space();
        }
        let word = match self.peek() {
            Some(b'"') => {
                self.at += 1;
                let text = self.rest_of_text()?;
                let odd = |byte: Option<&u8>| byte.is_some_and(|b| *b <= b' ' || *b >= 0x80);
                if (odd(text.as_bytes().first()) || odd(text.as_bytes().last()))
                    && text.trim().len() != text.len()
                {
                    return Err(General);
                }
                return Ok(text);
            }
            Some(b'0'..=b'9') => self.number(),
            Some(b't') if self.passes_again(b"true") => "true",
            Some(b'f') if self.passes_again(b"false") => "false",
            Some(_) | None => return Err(General),
        };
        // A number of another form, or no JSON at all.
        match self.peek() {
            Some(b',' | b'}' | b']' | b' ' | b'\t' | b'\r' | b'\n') => Ok(word),
            Some(_) | None => Err(General),
        }
    }

    fn number(&mut self) -> &'l str {
        let start = self.at;
        while let Some(b'0'..=b'9') = self.peek() {
            self.at += 1;
        }
        let digits = self.text.get(start..self.at).unwrap_or("");
        if digits.len() > 1 && digits.starts_with('0') {
            // No number of JSON: what follows will not be a sign that may.
            self.at = start;
        }
        digits
    }

    /// Where the text that began here ends.
    fn end_of_text(&self) -> Result<usize, General> {
        let bytes = self.text.as_bytes();
        let mut at = self.at;
        while let Some(eight) = bytes.get(at..).and_then(|rest| rest.first_chunk::<8>()) {
            let stops = stops(u64::from_le_bytes(*eight));
            if stops != 0 {
                at += usize::try_from(stops.trailing_zeros() / 8).unwrap_or(0);
                return if bytes.get(at) == Some(&b'"') { Ok(at) } else { Err(General) };
            }
            at += 8;
        }
        while let Some(byte) = bytes.get(at) {
            match byte {
                b'"' => return Ok(at),
                b'\\' | 0..0x20 | 0x7F => return Err(General),
                _ => at += 1,
            }
        }
        Err(General)
    }
}

/// Whether two short runs of bytes are the same. A call of the library's function for that costs
/// more than what it does here.
pub(super) fn are_same(one: &[u8], other: &[u8]) -> bool {
    if one.len() != other.len() {
        return false;
    }
    let (mut a, mut b) = (one, other);
    while let (Some((first, rest_a)), Some((second, rest_b))) =
        (a.split_first_chunk::<8>(), b.split_first_chunk::<8>())
    {
        if u64::from_le_bytes(*first) != u64::from_le_bytes(*second) {
            return false;
        }
        (a, b) = (rest_a, rest_b);
    }
    match (a.first_chunk::<4>(), b.first_chunk::<4>(), a.last_chunk::<4>(), b.last_chunk::<4>()) {
        (Some(first), Some(second), Some(last), Some(end)) => first == second && last == end,
        _ => a.iter().zip(b).all(|(one, other)| one == other),
    }
}

const ONES: u64 = u64::MAX / 255;
const HIGHS: u64 = ONES << 7;

/// The high bit of the first byte that is a quote, a backslash or a control sign; bytes behind it
/// may be marked too.
const fn stops(eight: u64) -> u64 {
    zeros(eight ^ (ONES * 0x22))
        | zeros(eight ^ (ONES * 0x5C))
        | zeros(eight ^ (ONES * 0x7F))
        | (eight.wrapping_sub(ONES * 0x20) & !eight & HIGHS)
}

const fn zeros(eight: u64) -> u64 {
    eight.wrapping_sub(ONES) & !eight & HIGHS
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_ends_at_its_quote_wherever_that_is() {
        for length in 0..40 {
            let inside = "aü".repeat(length);
            let line = format!("\"{inside}\",\"next\"");
            let mut scan = Scan::new(&line);
            assert_eq!(scan.text(), Ok(inside.as_str()));
            assert!(scan.passes(b','));
            assert_eq!(scan.text(), Ok("next"));
            assert_eq!(scan.end(), Ok(()));
        }
    }

    #[test]
    fn runs_of_bytes_are_the_same_if_every_byte_is() {
        for length in 0..30 {
            let one: Vec<u8> = (0..length).collect();
            assert!(are_same(&one, &one.clone()) && !are_same(&one, &[&one[..], b"x"].concat()));
            for at in 0..one.len() {
                let mut other = one.clone();
                other[at] ^= 0x40;
                assert!(!are_same(&one, &other), "{length} {at}");
            }
        }
    }

    #[test]
    fn what_is_not_plain_is_left_to_the_general_reader() {
        for byte in (0..0x20).chain([0x5C, 0x7F]) {
            for before in 0..12 {
                let line = format!("\"{}{}n\"   ", "a".repeat(before), char::from(byte));
                assert_eq!(Scan::new(&line).text(), Err(General), "{byte} after {before}");
            }
        }
        for line in ["\" a\"", "\"a \"", "\"\u{a0}a\"", "01,", "1.5,", "-1,", "1e3,", "null,", "1"]
        {
            assert_eq!(Scan::new(line).word(), Err(General), "{line}");
        }
        for (line, word) in [("0,", "0"), (" 12 ", "12"), ("true}", "true"), ("\"-\"", "-")] {
            assert_eq!(Scan::new(line).word(), Ok(word));
        }
    }
}
