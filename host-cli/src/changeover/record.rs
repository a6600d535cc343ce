//! An oscilloscope's record as text: whatever stands above the numbers, columns by name, time in
//! any unit or none, one line after the other.

use super::sine::Sample;
use super::titles::{Titles, told_rate};
use crate::read::{ReadError, windows_1252};
use std::io::{self, BufRead};

/// Channels that are looked at.
pub const CHANNELS: usize = 2;
/// Lines among which the first line of numbers must be.
const MOST_HEADING: usize = 200;
/// Most bytes of a line.
const MOST_LINE: u64 = 64 * 1024;

/// What a person says about a record.
#[derive(Clone, Debug, Default)]
pub struct Hints {
    /// Samples a second, where the record has no times.
    pub rate: Option<f64>,
    /// Names or numbers (from 1) of the columns with volts.
    pub channels: Vec<String>,
}

/// The columns of a record.
#[derive(Clone, Debug, PartialEq)]
struct Layout {
    /// Where it is no comma, numbers may have decimal commas.
    separator: char,
    /// The column with the time and what its numbers are multiplied with; else seconds a sample.
    time: Result<(usize, f64), f64>,
    /// The columns with volts, what theirs are multiplied with, and their names.
    volts: Vec<(usize, f64, String)>,
    /// Names of the other columns.
    unread: Vec<String>,
}

/// Reads a record line by line.
#[derive(Debug)]
pub struct Record<R> {
    name: String,
    lines: Lines<R>,
    layout: Layout,
    first: Option<String>,
    count: u64,
    last: Option<f64>,
    part: Part,
}

/// Where in a record the reader is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Part {
    /// Among the numbers.
    Numbers,
    /// Behind an empty line.
    Gap,
    /// In what stands below the numbers.
    Tail,
}

/// One moment of all channels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Seconds.
    pub time: f64,
    /// Volts of each channel; the second is that of the first where there is one channel.
    pub volts: [f64; CHANNELS],
}

impl Moment {
    /// The sample of a channel.
    pub fn sample(self, channel: usize) -> Sample {
        Sample { time: self.time, volts: self.volts.get(channel).copied().unwrap_or(0.0) }
    }
}

#[derive(Debug)]
struct Lines<R> {
    reader: R,
    number: u64,
}

impl<R: BufRead> Lines<R> {
    /// The next line without its end; `None` at the end.
    fn next(&mut self, name: &str) -> Result<Option<String>, ReadError> {
        let mut bytes = Vec::new();
        let cannot = |error: io::Error| {
            ReadError::file(name, format!("it cannot be read: {error}"), "a record as text")
        };
        let mut limited = io::Read::take(&mut self.reader, MOST_LINE);
        let read = limited.read_until(b'\n', &mut bytes).map_err(cannot)?;
        if read == 0 {
            return Ok(None);
        }
        self.number += 1;
        let wrong = |says: &str| {
            let says = format!("line {}: {says}", self.number);
            Err(ReadError::file(name, says, "a record as text, a line for each moment"))
        };
        if read as u64 >= MOST_LINE {
            return wrong("it is longer than a line of numbers can be");
        }
        if bytes.contains(&0) {
            return wrong("this is not text");
        }
        // Instruments write their micro sign in the code of their time.
        let mut text = match String::from_utf8(bytes) {
            Ok(text) => text,
            Err(other) => windows_1252(other.as_bytes()),
        };
        text.truncate(text.trim_end().len());
        Ok(Some(text))
    }
}

impl<R: BufRead> Record<R> {
    /// Reads what stands above the numbers.
    ///
    /// # Errors
    /// If there are no numbers, no times and no rate, or no column as it is named.
    pub fn open(name: &str, reader: R, hints: &Hints) -> Result<Self, ReadError> {
        let mut lines = Lines { reader, number: 0 };
        let mut heading = Vec::new();
        while heading.len() < MOST_HEADING {
            let Some(line) = lines.next(name)? else { break };
            let line = line.trim_start_matches('\u{feff}').to_owned();
            if let Some(separator) = numbers(&line) {
                let layout = layout(name, &heading, &line, separator, hints)?;
                let (name, first) = (name.to_owned(), Some(line));
                let (count, last) = (0, None);
                let part = Part::Numbers;
                return Ok(Self { name, lines, layout, first, count, last, part });
            }
            heading.push(line);
        }
        let says = "no line of numbers is found in it";
        Err(ReadError::file(name, says, "a record: a line with time and volts for each moment"))
    }

    /// Names of the channels.
    pub fn channels(&self) -> Vec<String> {
        self.layout.volts.iter().map(|(_, _, name)| name.clone()).collect()
    }

    /// How many moments were read.
    pub const fn count(&self) -> u64 {
        self.count
    }

    /// Names of columns that nobody looks at.
    pub fn unread(&self) -> Vec<String> {
        self.layout.unread.clone()
    }

    /// The next moment; `None` at the end.
    ///
    /// # Errors
    /// If a line is no moment, or numbers go on behind text, with its number.
    pub fn moment(&mut self) -> Result<Option<Moment>, ReadError> {
        loop {
            let line = match self.first.take() {
                Some(line) => Some(line),
                None => self.lines.next(&self.name)?,
            };
            let Some(line) = line else { return Ok(None) };
            if line.trim().is_empty() {
                self.part = if self.part == Part::Tail { Part::Tail } else { Part::Gap };
                continue;
            }
            let wrong = |says: &str, expected: &str| {
                let says = format!("line {}: {says}", self.lines.number);
                ReadError::file(&self.name, says, expected)
            };
            // What stands below the numbers, behind an empty line, is not of the record.
            let has_number = cells(&line, self.layout.separator)
                .any(|cell| read(cell, self.layout.separator).is_some());
            if self.part != Part::Numbers && !has_number {
                self.part = Part::Tail;
                continue;
            }
            if self.part == Part::Tail {
                let says = "numbers stand again behind the end of the record";
                return Err(wrong(says, "one record in a file"));
            }
            let moment =
                self.read_moment(&line).map_err(|(says, expected)| wrong(&says, expected))?;
            self.part = Part::Numbers;
            self.count += 1;
            self.last = Some(moment.time);
            return Ok(Some(moment));
        }
    }

    fn read_moment(&self, line: &str) -> Result<Moment, (String, &'static str)> {
        let layout = &self.layout;
        let cells: Vec<&str> = cells(line, layout.separator).collect();
        let number = |column: usize| {
            let cell = cells.get(column).copied().unwrap_or("");
            read(cell, layout.separator)
                .ok_or_else(|| (format!("\u{201c}{cell}\u{201d} is no number"), "a number"))
        };
        #[allow(clippy::cast_precision_loss, reason = "far fewer samples than a float counts")]
        let time = match layout.time {
            Ok((column, scale)) => number(column)? * scale,
            Err(step) => self.count as f64 * step,
        };
        if self.last.is_some_and(|last| time <= last) {
            let expected =
                "times that go up; or --rate with samples a second, which goes before them";
            return Err(("the time does not go on".to_owned(), expected));
        }
        let mut volts = [0.0; CHANNELS];
        for (volts, (column, scale, _)) in volts.iter_mut().zip(&layout.volts) {
            *volts = number(*column)? * scale;
        }
        Ok(Moment { time, volts })
    }
}

fn read(cell: &str, separator: char) -> Option<f64> {
    let plain = cell.parse::<f64>().ok();
    let number =
        plain.or_else(|| if separator == ',' { None } else { cell.replace(',', ".").parse().ok() });
    number.filter(|number| number.is_finite())
}

/// The cells of a line. Spaces separate them where nothing else does.
fn cells(line: &str, separator: char) -> Box<dyn Iterator<Item = &str> + '_> {
    if separator == ' ' {
        return Box::new(line.split_whitespace());
    }
    let line = line.trim_end().strip_suffix(separator).unwrap_or(line);
    Box::new(line.split(separator).map(|cell| cell.trim().trim_matches('"')))
}

/// What separates the numbers of a line; `None` for a line that is not made of numbers.
fn numbers(line: &str) -> Option<char> {
    let is_one = |separator: &char| {
        cells(line, *separator).all(|cell| read(cell, *separator).is_some())
            && cells(line, *separator).next().is_some()
    };
    let separators = ['\t', ';', ',', ' '].into_iter();
    let mut there = separators.filter(|separator| line.trim().contains(*separator));
    // One column alone has no separator.
    there.find(is_one).or_else(|| is_one(&';').then_some(';'))
}

fn layout(
    name: &str,
    heading: &[String],
    first: &str,
    separator: char,
    hints: &Hints,
) -> Result<Layout, ReadError> {
    let columns = cells(first, separator).count();
    let titles = Titles::of(heading, columns, separator);
    let time_column = (0..columns).find(|column| titles.is_time(*column));
    // A column that only counts is one where no other holds the time.
    let index = (0..columns).find(|column| time_column.is_none() && titles.is_index(*column));
    let unnamed = titles.names.is_empty() && columns > 1;
    let time = match (hints.rate, time_column) {
        // A rate that is told goes before times that the instrument rounded.
        (Some(rate), _) => Err(1.0 / rate),
        (None, Some(column)) => Ok((column, titles.scale(name, column)?)),
        (None, None) if unnamed => Ok((0, 1.0)),
        (None, None) => Err(1.0
            / told_rate(heading).ok_or_else(|| {
                let says = "no column holds the time";
                ReadError::file(name, says, "a column called time, or --rate with samples a second")
            })?),
    };
    let time_column = time_column.or_else(|| unnamed.then_some(0));
    let rest = (0..columns).filter(|column| Some(*column) != time_column && Some(*column) != index);
    let chosen: Vec<usize> = if hints.channels.is_empty() {
        rest.clone().take(CHANNELS).collect()
    } else {
        let find = |wanted: &String| {
            titles.find(wanted, columns).ok_or_else(|| {
                let says = format!("no column is called \u{201c}{wanted}\u{201d}");
                let all: Vec<_> = (0..columns).map(|column| titles.called(column)).collect();
                ReadError::file(name, says, crate::phrase::one_of(&all))
            })
        };
        hints.channels.iter().map(find).collect::<Result<_, _>>()?
    };
    if chosen.is_empty() {
        return Err(ReadError::file(name, "no column holds volts", "a column for each voltage"));
    }
    let unread = rest.filter(|column| !chosen.contains(column));
    let unread = unread.map(|column| titles.called(column)).collect();
    let volts = chosen.into_iter().map(|column| {
        let scale = titles.scale(name, column)?;
        Ok((column, scale, titles.called(column)))
    });
    Ok(Layout { separator, time, volts: volts.collect::<Result<_, ReadError>>()?, unread })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(text: &str, hints: &Hints) -> Result<(Vec<String>, Vec<Moment>), String> {
        let mut record =
            Record::open("r.csv", text.as_bytes(), hints).map_err(|error| error.to_string())?;
        let mut moments = Vec::new();
        while let Some(moment) = record.moment().map_err(|error| error.to_string())? {
            moments.push(moment);
        }
        Ok((record.channels(), moments))
    }

    #[test]
    fn forms_of_records_are_one_record() {
        let wanted = [(0.0, 170.0), (0.0001, 168.5)];
        for text in [
            "time_s,volts\n0,170\n0.0001,168.5\n",
            "Model,X\nTime,CH1\n(ms),(V)\n0,170\n0.1,168.5\n",
            "Zeit [us];Kanal 1 (V)\r\n0,0;170,0\r\n100,0;168,5\r\n",
            "\u{feff}\"t (ms)\"\t\"v\"\n0\t170\n0.1\t168.5\n\nend of record\n",
            "0,170\n0.0001,168.5\n",
            "Sample Interval,0.0001,s\nindex,volts\n0,170\n1,168.5\n",
            "x,CH1,\nsecond,kV,\n0,0.17,\n1e-4,0.1685,\n",
        ] {
            let (_, moments) = all(text, &Hints::default()).unwrap_or_else(|e| panic!("{text}{e}"));
            let found: Vec<_> = moments.iter().map(|one| (one.time, one.volts[0])).collect();
            assert_eq!(found.len(), 2, "{text}");
            for ((time, volts), (own_time, own_volts)) in wanted.iter().zip(found) {
                assert!(
                    (time - own_time).abs() < 1e-12 && (volts - own_volts).abs() < 1e-9,
                    "{text}"
                );
            }
        }
    }

    #[test]
    fn channels_are_found_by_name_or_number() {
        let text = "time,A,B,C\n0,1,2,3\n1,4,5,6\n";
        let hints = |channels: &[&str]| Hints {
            channels: channels.iter().map(|one| (*one).to_owned()).collect(),
            ..Hints::default()
        };
        let (names, moments) = all(text, &hints(&["c", "2"])).expect("a record");
        assert_eq!((names.join(" ").as_str(), moments[1].volts), ("C A", [6.0, 4.0]));
        let told = all(text, &hints(&["D"])).expect_err("no such column");
        assert!(told.contains("A, B or C"), "{told}");
    }

    #[test]
    fn what_is_no_record_is_refused_with_its_line() {
        for (text, words) in [
            ("", "no line of numbers"),
            ("a record\nof nothing\n", "no line of numbers"),
            ("time,v\n0,1\n0.1,overload\n", "line 3"),
            ("time,v\n0,1\n0,2\n", "time does not go on"),
            ("time,v\n0,1\n1,nan\n", "line 3"),
            ("index,v\n0,1\n1,2\n", "--rate"),
            ("time\n0\n1\n", "no column holds volts"),
            ("time,v\n0,1\n1\u{0},2\n", "not text"),
        ] {
            let told = all(text, &Hints::default()).expect_err(text);
            assert!(told.contains(words), "{text:?}: {told}");
        }
    }
}
