//! How wide text is at the most, whatever font the viewer has, and text cut to fit.
//!
//! The drawing asks for `DejaVu Sans`, Verdana and then any plain font; the first is the widest of
//! those that phones and desktops use, so its widths are taken for all of them.

use crate::visible::{in_markup, width as columns};

/// Advance of the signs from space to `~` in `DejaVu Sans` 2.37, in thousandths of the size; read
/// from the font's `hmtx` table, rounded up.
const PLAIN: [u16; 95] = [
    318, 401, 460, 838, 637, 951, 780, 275, 391, 391, 500, 838, 318, 361, 318, 337, 637, 637, 637,
    637, 637, 637, 637, 637, 637, 637, 337, 337, 838, 838, 838, 531, 1000, 685, 687, 699, 771, 632,
    576, 775, 752, 295, 295, 656, 558, 863, 749, 788, 604, 788, 695, 635, 611, 732, 685, 989, 686,
    611, 686, 391, 337, 391, 838, 500, 500, 613, 635, 550, 635, 616, 353, 635, 634, 278, 278, 580,
    278, 975, 634, 612, 635, 635, 412, 521, 393, 634, 592, 818, 592, 592, 525, 637, 337, 637, 838,
];
/// The same for `DejaVu Sans Bold`.
const BOLD: [u16; 95] = [
    349, 457, 521, 838, 696, 1002, 873, 307, 458, 458, 523, 838, 380, 416, 380, 366, 696, 696, 696,
    696, 696, 696, 696, 696, 696, 696, 400, 400, 838, 838, 838, 581, 1000, 774, 763, 734, 831, 684,
    684, 821, 837, 373, 373, 775, 638, 996, 837, 851, 733, 851, 771, 721, 683, 813, 774, 1104, 771,
    725, 726, 458, 366, 458, 838, 500, 500, 675, 716, 593, 716, 679, 436, 716, 712, 343, 343, 666,
    343, 1042, 712, 688, 716, 716, 494, 596, 479, 712, 652, 924, 646, 652, 583, 712, 366, 712, 838,
];

/// Size and weight of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Face {
    /// Size in pixels.
    pub size: i32,
    /// Whether it is bold.
    pub bold: bool,
}

impl Face {
    /// The smallest text there is: never below 11 pixels on a phone.
    pub const SMALL: Self = Self { size: 11, bold: false };
    /// Most text.
    pub const PLAIN: Self = Self { size: 12, bold: false };
    /// Numbers in marks.
    pub const MARK: Self = Self { size: 11, bold: true };
    /// Names of things.
    pub const NAME: Self = Self { size: 13, bold: true };
    /// Headings.
    pub const HEAD: Self = Self { size: 14, bold: true };
    /// The title.
    pub const TITLE: Self = Self { size: 18, bold: true };

    /// Height of a line.
    pub const fn line(self) -> i32 {
        self.size + 4
    }
}

/// Width of a text in pixels, rounded up.
pub fn width(text: &str, face: Face) -> i32 {
    let thousandths: i64 = text.chars().map(|sign| i64::from(advance(sign, face.bold))).sum();
    let pixels = (thousandths * i64::from(face.size) + 999) / 1000;
    i32::try_from(pixels).unwrap_or(i32::MAX)
}

/// Advance of one sign, in thousandths of the size.
fn advance(sign: char, bold: bool) -> u16 {
    let table = if bold { &BOLD } else { &PLAIN };
    let known =
        usize::try_from(u32::from(sign)).ok().and_then(|code| table.get(code.checked_sub(32)?));
    match (known, sign) {
        (Some(advance), _) => *advance,
        // Letters of Latin, Greek and Cyrillic, dashes, quotes and arrows: in these two fonts none
        // is wider.
        (None, '\u{A0}'..='\u{52F}' | '\u{2010}'..='\u{2044}' | '\u{2190}'..='\u{21FF}') => 1350,
        // Whole words in one sign.
        (None, '\u{FDF0}'..='\u{FDFF}' | '\u{12000}'..='\u{1254F}') => 12_000,
        // A sign that takes two columns fills a square in the fonts that have it; a picture more.
        (None, _) if columns(sign.encode_utf8(&mut [0; 4])) == 2 => 1400,
        (None, _) => 2200,
    }
}

/// A sheet's text as one line that can be drawn: what would act is seen, and spaces are single.
pub fn plain(text: &str) -> String {
    if is_plain(text) {
        return text.to_owned();
    }
    let seen = in_markup(text);
    let words: Vec<&str> = seen.split_whitespace().collect();
    words.join(" ")
}

/// Whether a text is such a line already, as most are: words of printed signs, one space between two.
fn is_plain(text: &str) -> bool {
    let mut before = b' ';
    let mut single = |sign: u8| {
        let is_single = matches!(sign, b'!'..=b'~') || sign == b' ' && before != b' ';
        before = sign;
        is_single
    };
    text.bytes().all(&mut single) && !text.ends_with(' ')
}

/// A text cut to so many signs, for what is not drawn but told.
pub fn short(text: &str, most: usize) -> String {
    let text = plain(text);
    if text.chars().count() <= most {
        return text;
    }
    let head: String = text.chars().take(most).collect();
    format!("{head}…")
}

/// A text cut to a width, with an ellipsis if anything is lost.
pub fn fit(text: &str, face: Face, room: i32) -> String {
    let text = plain(text);
    if width(&text, face) <= room {
        return text;
    }
    let mut kept = String::new();
    let left = room - width("…", face);
    let mut used = 0;
    for sign in text.chars() {
        used += i32::from(advance(sign, face.bold)) * face.size;
        if (used + 999) / 1000 > left {
            break;
        }
        kept.push(sign);
    }
    format!("{}…", kept.trim_end())
}

/// A text in lines of a width, broken between words, and in a word that is wider than a line. What
/// needs more than `most` lines ends with an ellipsis.
pub fn wrap(text: &str, face: Face, room: i32, most: usize) -> Vec<String> {
    let text = plain(text);
    if !text.is_empty() && most > 0 && width(&text, face) <= room {
        return vec![text];
    }
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width(&longer, face) <= room {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        line = pieces(word, face, room, &mut lines, most);
        if lines.len() > most {
            break;
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            *last = fit(&format!("{last} … …"), face, room);
        }
    }
    lines
}

/// Cuts a word into lines and gives what is left for the next one.
fn pieces(word: &str, face: Face, room: i32, lines: &mut Vec<String>, most: usize) -> String {
    let mut piece = String::new();
    for sign in word.chars() {
        let longer = format!("{piece}{sign}");
        if width(&longer, face) > room && !piece.is_empty() {
            lines.push(std::mem::replace(&mut piece, sign.to_string()));
            if lines.len() > most {
                break;
            }
        } else {
            piece = longer;
        }
    }
    piece
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_cut_to_its_room() {
        for text in ["unit 1", "WWWWWWWWWWWWWWWWWWWW", "表表表表表表表表", "", "🔌🔌🔌🔌🔌🔌"]
        {
            let cut = fit(text, Face::PLAIN, 60);
            assert!(width(&cut, Face::PLAIN) <= 60, "{cut}");
        }
        assert_eq!(fit("unit 1", Face::PLAIN, 60), "unit 1");
        assert_eq!(fit("a\u{202e}b\u{1b}", Face::PLAIN, 90), "a\u{fffd}b\u{241b}");
    }

    #[test]
    fn every_line_fits_and_no_word_is_lost() {
        let text = "one two three foursomethingthatislongerthanaline five";
        let lines = wrap(text, Face::PLAIN, 70, 20);
        assert!(lines.iter().all(|line| width(line, Face::PLAIN) <= 70), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
        let cut = wrap(&text.repeat(200), Face::PLAIN, 70, 3);
        assert_eq!(cut.len(), 3);
        assert!(cut[2].ends_with('…'));
    }
}
