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
mod table;
mod time;
mod written;

pub use amount::{Amount, Quantity};
pub use time::{Moment, oldest_first};
pub use written::Written;

use crate::read::{MOST_BYTES, RawSheet, ReadError};
use crate::source::{Cell, Origin, Sheet, SheetId, Sheets};
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

/// The fields of a reading; those that must be there first.
const FIELDS: [&str; 12] = [
    "time",
    "by",
    "instrument",
    "place",
    "quantity",
    "value",
    "unit",
    "sheets",
    "pulled",
    "note",
    "step",
    "basis",
];
/// How many of them must be there.
const NEEDED: usize = 8;
/// The longest line, and the most lines: far more than the readings of one site.
const MOST_IN_LINE: usize = 8 * 1024;
const MOST_LINES: usize = 20_000;

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
    let mut reader = Reader { sheets: &sheets, errors: Vec::new(), found: Readings::default() };
    reader.read(&text);
    let Reader { errors, mut found, .. } = reader;
    if !errors.is_empty() {
        return Err((sheets, errors));
    }
    found.sheets = sheets;
    Ok(found)
}

struct Reader<'s> {
    sheets: &'s Sheets,
    errors: Vec<ReadError>,
    found: Readings,
}

/// The one sheet.
const SHEET: SheetId = SheetId(0);
/// So many errors are enough to show what is wrong with a file.
const MOST_ERRORS: usize = 40;

impl Reader<'_> {
    fn read(&mut self, text: &str) {
        let mut head: Option<table::Head> = None;
        // A line that may have been cut off, and what is wrong with it if it was not.
        let mut torn: Option<(Cell, line::Wrong)> = None;
        let mut start = 0;
        for (number, raw) in text.split_inclusive('\n').enumerate() {
            let cell = Cell::of(SHEET, text, start..start + raw.len());
            start += raw.len();
            if self.errors.len() >= MOST_ERRORS {
                return;
            }
            if number >= MOST_LINES {
                self.wrong(
                    cell.part(0..1).origin,
                    "there are too many lines",
                    "20,000 at the most",
                );
                return;
            }
            if cell.text.len() > MOST_IN_LINE {
                let start = cell.origin.start;
                let origin = Origin { end: start, ..cell.origin };
                self.wrong(origin, "this line is too long", "8,192 bytes at the most");
                continue;
            }
            if cell.is_empty() || cell.text.starts_with('#') {
                if let Some((torn, _)) = torn.take_if(|_| cell.text == CUT_OFF) {
                    self.found.cut_off.push(torn);
                }
                continue;
            }
            if let Some((_, (origin, says, expected))) = torn.take() {
                self.wrong(origin, &says, &expected);
            }
            let fields = match (&head, cell.text.starts_with('{')) {
                (None, true) => line::fields(&cell),
                (None, false) => match table::Head::of(&cell) {
                    Ok(found) => {
                        head = self.headed(found);
                        if head.is_none() {
                            return;
                        }
                        continue;
                    }
                    Err(error) => Err(error),
                },
                (Some(head), _) => head.fields(&cell),
            };
            match fields {
                Ok(fields) => self.take(&cell, &fields),
                // Only what is written line by line can be cut off, and only at its end.
                Err(wrong) if cell.text.starts_with('{') && !cell.text.ends_with('}') => {
                    torn = Some((cell, wrong));
                }
                Err((origin, says, expected)) => self.wrong(origin, &says, &expected),
            }
        }
        match torn {
            Some((cell, _)) if !text.ends_with('\n') => self.found.cut_off.push(cell),
            Some((_, (origin, says, expected))) => self.wrong(origin, &says, &expected),
            None => {}
        }
    }

    /// A table's heading, if it names every field that must be there.
    fn headed(&mut self, head: table::Head) -> Option<table::Head> {
        let before = self.errors.len();
        for column in &head.columns {
            self.know(column);
        }
        for needed in &FIELDS[..NEEDED] {
            if !head.columns.iter().any(|column| is(column, needed)) {
                let says = format!("the heading has no column `{needed}`");
                let columns = FIELDS[..NEEDED].join(",");
                let expected = format!("lines of JSON, or a table headed {columns}");
                self.wrong(head.origin, &says, &expected);
                return None;
            }
        }
        (self.errors.len() == before).then_some(head)
    }

    fn wrong(&mut self, origin: Origin, says: &str, expected: &str) {
        self.errors.push(ReadError::at(self.sheets, origin, says, expected));
    }

    /// A field's name that nobody knows is said; one that is nearly known is an error.
    fn know(&mut self, name: &Cell) {
        if FIELDS.iter().any(|known| is(name, known)) {
            return;
        }
        if let Some(near) = crate::fold::nearest(&name.text, FIELDS.into_iter()) {
            let says = format!("nobody knows the field `{}`", name.text);
            self.wrong(name.origin, &says, near);
        } else if !self.found.not_understood.iter().any(|known| known.text == name.text) {
            self.found.not_understood.push(name.clone());
        }
    }

    /// Takes one line's fields, each a name and a value.
    fn take(&mut self, line: &Cell, fields: &[(Cell, Cell)]) {
        let before = self.errors.len();
        for (position, (name, _)) in fields.iter().enumerate() {
            self.know(name);
            if fields[..position].iter().any(|(other, _)| other.text == name.text) {
                let says = format!("the field `{}` stands here twice", name.text);
                self.wrong(name.origin, &says, "each field once");
            }
        }
        let get = |wanted: &str| {
            let found = fields.iter().find(|(name, _)| is(name, wanted));
            found.map(|(_, value)| value).filter(|value| !value.is_empty())
        };
        for needed in &FIELDS[..NEEDED] {
            let may_lack = *needed == "unit" && get("quantity").is_some_and(Quantity::has_no_unit);
            if get(needed).is_none() && !may_lack {
                let says = format!("the reading has no `{needed}`");
                self.wrong(line.origin, &says, expectation(needed));
            }
        }
        if self.errors.len() > before {
            return;
        }
        let text = |field: &str| get(field).map(|cell| cell.text.clone());
        let Some(((time, place), (quantity, value))) =
            get("time").zip(get("place")).zip(get("quantity").zip(get("value")))
        else {
            return;
        };
        let moment = Moment::read(&time.text);
        if moment.is_none() {
            self.wrong(time.origin, "this is no time", expectation("time"));
        }
        let kind = Quantity::read(&quantity.text);
        if kind.is_none() {
            let says = format!("nobody knows the quantity `{}`", quantity.text);
            self.wrong(quantity.origin, &says, &Quantity::phrase());
        }
        let sheets = text("sheets").unwrap_or_default().to_lowercase();
        if sheets.len() != 16 || !sheets.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            let at = get("sheets").map_or(line.origin, |cell| cell.origin);
            self.wrong(at, "this is no hash of sheets", expectation("sheets"));
        }
        let amount = kind.and_then(|kind| {
            let told = Amount::read(kind, &value.text, get("unit").map(|unit| unit.text.as_str()));
            told.map_err(|(says, expected)| self.wrong(value.origin, &says, &expected)).ok()
        });
        if self.errors.len() > before {
            return;
        }
        if let Some(((time, quantity), value)) = moment.zip(kind).zip(amount) {
            self.found.list.push(Reading {
                time,
                by: text("by").unwrap_or_default(),
                instrument: text("instrument").unwrap_or_default(),
                place: place.clone(),
                quantity,
                value,
                sheets,
                pulled: get("pulled").cloned(),
                note: text("note"),
                step: get("step").cloned(),
                basis: text("basis"),
                origin: line.origin,
            });
        }
    }
}

fn is(name: &Cell, field: &str) -> bool {
    name.text.eq_ignore_ascii_case(field)
}

fn expectation(field: &str) -> &'static str {
    match field {
        "time" => "a time such as 2027-03-01T09:12 or 2027-03-01T09:12:30+01:00",
        "by" => "the initials of who read it",
        "instrument" => "what it was read with",
        "place" => "a place such as `unit 1 A` or `plug C2`",
        "quantity" => "what was read, such as `pair ohms`",
        "value" => "what was shown: 60.4, OL or >2000",
        "unit" => "a unit such as ohm, kohm or V",
        _ => "the sixteen digits that `coldcheck meter` prints for these sheets",
    }
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
