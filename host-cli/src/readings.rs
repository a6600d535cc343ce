//! The readings file: what a person measured or saw, with time and initials.
//!
//! One file serves every command that takes readings. It is append-only: a line is never changed, a
//! new one is put behind the others. Each line is an object in JSON; or the file is a table whose
//! first line names the same fields:
//!
//! ```text
//! {"time":"2027-03-01T09:12","by":"RK","instrument":"meter 2","place":"unit 1 A",
//!  "quantity":"pair ohms","value":"60.4","unit":"ohm","sheets":"5f1d0c2e9ab34471"}
//! ```
//!
//! (on one line). `sheets` is the [`hash`] of the sheets that the reading was taken under; a reading
//! under other sheets is of another site. `pulled` and `note` may follow, and `step` with `basis`
//! where it is one of a power-up ([`crate::powerup`]). A last line that a crash cut off is left out,
//! and said.

mod amount;
mod line;
mod reader;
mod table;
mod time;
mod written;

pub use amount::{Amount, Quantity};
pub use time::{Moment, oldest_first};
pub use written::Written;

use crate::read::{MOST_BYTES, RawSheet, ReadError};
use crate::source::{Cell, Origin, Sheet, Sheets};
use sha2::{Digest, Sha256};

/// A reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// When it was taken.
    pub time: Moment,
    /// Initials of who took it.
    pub by: String,
    /// With what.
    pub instrument: String,
    /// Where, in the person's words.
    pub place: Cell,
    /// Of what.
    pub quantity: Quantity,
    /// What was shown, in the unit of the quantity.
    pub value: Amount,
    /// The hash of the sheets that it was taken under.
    pub sheets: String,
    /// The cable that was out, in the person's words.
    pub pulled: Option<Cell>,
    /// A remark.
    pub note: Option<String>,
    /// The step of a power-up that it belongs to.
    pub step: Option<Cell>,
    /// What that step rested on when it was taken.
    pub basis: Option<String>,
    /// The line.
    pub origin: Origin,
}

/// A readings file.
#[derive(Clone, Debug, Default)]
pub struct Readings {
    /// The file as a sheet, to show places in.
    pub sheets: Sheets,
    /// The readings, in the order of the file.
    pub list: Vec<Reading>,
    /// Names of fields that nobody knows, each once.
    pub not_understood: Vec<Cell>,
    /// Lines that were cut off while they were written.
    pub cut_off: Vec<Cell>,
}

/// What is written behind a line that was cut off, before the next reading.
pub const CUT_OFF: &str = "# the line above was cut off";

/// The sheets of a site as sixteen hexadecimal digits: the first of SHA-256 over the SHA-256 of each
/// file, in ascending order. Names and order of the files change nothing; every byte in them does.
pub fn hash(files: &[RawSheet]) -> String {
    let mut each: Vec<[u8; 32]> =
        files.iter().map(|file| Sha256::digest(&file.bytes).into()).collect();
    each.sort_unstable();
    let mut whole = Sha256::new();
    for one in &each {
        whole.update(one);
    }
    let digest: [u8; 32] = whole.finalize().into();
    let first = digest.first_chunk::<8>().copied().unwrap_or_default();
    format!("{:016x}", u64::from_be_bytes(first))
}

/// Reads a readings file.
///
/// # Errors
/// Every line that cannot be read, with the field and what was expected.
///
/// ```
/// use coldcheck::read::RawSheet;
/// use coldcheck::readings::{Amount, read};
///
/// let text = "time,by,instrument,place,quantity,value,unit,sheets\n\
///     2027-03-01 09:12,RK,meter 2,unit 1 A,pair ohms,1.2,kohm,5f1d0c2e9ab34471\n";
/// let file = RawSheet { name: "readings.csv".to_owned(), bytes: text.into() };
/// let readings = read(&file).expect("it can be read");
/// assert_eq!(readings.list[0].value, Amount::Number { value: 1200.0, resolution: 100.0 });
/// ```
pub fn read(file: &RawSheet) -> Result<Readings, (Sheets, Vec<ReadError>)> {
    let whole = |says: &str, expected: &str| {
        (Sheets::default(), vec![ReadError::file(&file.name, says, expected)])
    };
    if u64::try_from(file.bytes.len()).is_ok_and(|length| length > MOST_BYTES) {
        return Err(whole("the file is too large", "the readings of one site, below 4 MiB"));
    }
    let Ok(text) = std::str::from_utf8(&file.bytes) else {
        return Err(whole("this is not text in UTF-8", "lines of JSON, or a table"));
    };
    let text = text.strip_prefix('\u{feff}').unwrap_or(text).to_owned();
    let sheets = Sheets(vec![Sheet { name: file.name.clone(), text: text.clone() }]);
    let (mut found, errors) = reader::read(&sheets, &text);
    if !errors.is_empty() {
        return Err((sheets, errors));
    }
    found.sheets = sheets;
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(text: &str) -> RawSheet {
        RawSheet { name: "readings".to_owned(), bytes: text.into() }
    }

    const GOOD: &str = r#"{"time":"2027-03-01T09:12","by":"RK","instrument":"m","place":"unit 1","quantity":"pair ohms","value":"60.4","unit":"ohm","sheets":"0123456789abcdef"}"#;

    #[test]
    fn json_and_table_give_the_same_readings() {
        let table = "time;by;instrument;place;quantity;value;unit;sheets\n\
            2027-03-01T09:12;RK;m;unit 1;pair ohms;60,4;ohm;0123456789ABCDEF\n";
        let (one, two) = (read(&file(GOOD)).unwrap(), read(&file(table)).unwrap());
        let bare = |readings: &Readings| {
            let reading = &readings.list[0];
            (
                reading.time,
                reading.value.clone(),
                reading.sheets.clone(),
                reading.place.text.clone(),
            )
        };
        assert_eq!(bare(&one), bare(&two));
    }

    #[test]
    fn every_field_that_is_wrong_is_named_with_its_place() {
        let swaps = [
            ("09:12", "25:12", "no time"),
            ("pair ohms", "pear ohms", "quantity"),
            ("60.4", "sixty", "sixty"),
            ("\"60.4\"", "-3", "below zero"),
            ("\"ohm\"", "\"volt\"", "unit"),
            ("0123456789abcdef", "0123", "hash"),
            ("\"by\":\"RK\"", "\"by\":\"\"", "no `by`"),
            ("\"by\":", "\"bye\":", "`bye`"),
            ("\"by\":\"RK\"", "\"by\":\"RK\",\"by\":\"XY\"", "twice"),
            ("\"by\":\"RK\"", "\"by\":[1]", "a text or a number"),
            ("}", "", "JSON"),
        ];
        for (old, new, says) in swaps {
            let text = format!("{GOOD}\n{}\n", GOOD.replacen(old, new, 1));
            let (sheets, errors) = read(&file(&text)).unwrap_err();
            assert!(errors[0].says.contains(says), "{new}: {}", errors[0].says);
            let position = sheets.position(errors[0].origin.unwrap());
            assert_eq!(position.line, 2, "{new}");
        }
    }

    #[test]
    fn the_hash_is_of_what_the_files_hold_and_not_of_their_names_or_order() {
        let sheet = |name: &str, text: &str| RawSheet { name: name.into(), bytes: text.into() };
        let one = [sheet("a", "1"), sheet("b", "2")];
        assert_eq!(hash(&one), hash(&[sheet("x", "2"), sheet("y", "1")]));
        assert_ne!(hash(&one), hash(&[sheet("a", "1"), sheet("b", "3")]));
        assert_ne!(hash(&one), hash(&[sheet("a", "12")]));
        // SHA-256 over the SHA-256 of "1" and that of "2", worked out by sha256sum.
        assert_eq!(hash(&one), "4295f72eeb1e3507");
    }

    #[test]
    fn a_field_that_nobody_knows_is_told_and_the_line_still_read() {
        let text = GOOD.replacen("\"by\"", "\"weather\":\"rain\",\"by\"", 1);
        let readings = read(&file(&text)).unwrap();
        assert_eq!((readings.list.len(), readings.not_understood[0].text.as_str()), (1, "weather"));
    }
}
