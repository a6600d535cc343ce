//! Line by line: which form a file has, which fields a line, and what each means.

use super::{Amount, CUT_OFF, Moment, Quantity, Reading, Readings, line, table};
use crate::read::ReadError;
use crate::source::{Cell, Origin, SheetId, Sheets};

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

/// The readings in a text, and what is wrong with it.
pub(super) fn read(sheets: &Sheets, text: &str) -> (Readings, Vec<ReadError>) {
    let mut reader = Reader { sheets, errors: Vec::new(), found: Readings::default() };
    reader.read(text);
    (reader.found, reader.errors)
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
