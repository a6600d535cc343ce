//! An oscilloscope's record as text: whatever stands above the numbers, columns by name, time in
//! any unit or none, one line after the other.

use super::sine::Sample;
use crate::read::ReadError;
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
    ended: bool,
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
        let mut text = String::from_utf8_lossy(&bytes).into_owned();
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
                return Ok(Self { name, lines, layout, first, count, last, ended: false });
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

    /// The next moment; `None` at the end.
    ///
    /// # Errors
    /// If a line is no moment, with its number.
    pub fn moment(&mut self) -> Result<Option<Moment>, ReadError> {
        loop {
            let line = match self.first.take() {
                Some(line) => Some(line),
                None => self.lines.next(&self.name)?,
            };
            let Some(line) = line else { return Ok(None) };
            if line.trim().is_empty() {
                self.ended = true;
                continue;
            }
            // What stands below the numbers, behind an empty line, is not of the record.
            if self.ended && self.read_moment(&line).is_err() {
                return Ok(None);
            }
            let moment = self.read_moment(&line).map_err(|(says, expected)| {
                let says = format!("line {}: {says}", self.lines.number);
                ReadError::file(&self.name, says, expected)
            })?;
            self.count += 1;
            self.last = Some(moment.time);
            return Ok(Some(moment));
        }
    }

    fn read_moment(&self, line: &str) -> Result<Moment, (String, &'static str)> {
        let layout = &self.layout;
        let cells: Vec<&str> = line.split(layout.separator).collect();
        let number = |column: usize| {
            let cell = cells.get(column).copied().unwrap_or("").trim().trim_matches('"');
            read(cell, layout.separator)
                .ok_or_else(|| (format!("\u{201c}{cell}\u{201d} is no number"), "a number"))
        };
        #[allow(clippy::cast_precision_loss, reason = "far fewer samples than a float counts")]
        let time = match layout.time {
            Ok((column, scale)) => number(column)? * scale,
            Err(step) => self.count as f64 * step,
        };
        if self.last.is_some_and(|last| time <= last) {
            return Err(("the time does not go on".to_owned(), "times that go up"));
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

/// What separates the numbers of a line; `None` for a line that is not made of numbers.
fn numbers(line: &str) -> Option<char> {
    let is_one = |separator: &char| {
        let line = line.trim().trim_end_matches(*separator);
        let cell = |cell: &str| read(cell.trim().trim_matches('"'), *separator).is_some();
        line.split(*separator).all(cell)
    };
    let separators = ['\t', ';', ','].into_iter();
    let mut there = separators.filter(|separator| line.contains(*separator));
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
    let columns = first.trim_end_matches(separator).split(separator).count();
    let cells = |line: &String| -> Vec<String> {
        line.split(separator).map(|cell| cell.trim().trim_matches('"').to_owned()).collect()
    };
    let lines = heading.iter().map(cells);
    let mut wide = lines.filter(|cells| cells.len() >= columns && !cells[0].starts_with('#'));
    let (mut names, mut units) = (Vec::new(), Vec::new());
    for line in wide.by_ref() {
        // A line of units stands below that of names.
        if !names.is_empty() && line.iter().all(|cell| scale_of_unit(cell).is_some()) {
            units = line;
        } else {
            (names, units) = (line, Vec::new());
        }
    }
    let title = |column: usize| names.get(column).cloned().unwrap_or_default();
    let scale = |column: usize| {
        let unit = units.get(column).map(String::as_str).or_else(|| unit_in(names.get(column)?));
        unit.and_then(scale_of_unit).unwrap_or(1.0)
    };
    let words = |column: usize| title(column).to_lowercase();
    let is_time = |column: &usize| {
        let text = words(*column);
        let word = text.split(|c: char| !c.is_alphabetic()).next().unwrap_or("").to_owned();
        ["time", "t", "seconds", "second", "sec", "zeit", "x"].contains(&word.as_str())
    };
    let is_index = |column: &usize| {
        let text = words(*column);
        ["index", "sample", "point", "no", "n", "#"].iter().any(|word| text.starts_with(word))
    };
    let time = (0..columns).find(is_time);
    let index = (0..columns).find(is_index).filter(|_| !names.is_empty());
    let without_names = names.is_empty() && columns > 1 && hints.rate.is_none();
    let time = match (time, without_names) {
        (Some(column), _) => Ok((column, scale(column))),
        (None, true) => Ok((0, 1.0)),
        (None, false) => {
            let rate = hints.rate.or_else(|| told_rate(heading)).ok_or_else(|| {
                let says = "no column holds the time";
                ReadError::file(name, says, "a column called time, or --rate with samples a second")
            })?;
            Err(1.0 / rate)
        }
    };
    let time_column = time.ok().map(|(column, _)| column);
    let rest = (0..columns).filter(|column| Some(*column) != time_column && Some(*column) != index);
    let called = |column: usize| {
        let title = title(column);
        if title.is_empty() { format!("column {}", column + 1) } else { title }
    };
    let volts: Vec<_> = if hints.channels.is_empty() {
        rest.take(CHANNELS).map(|column| (column, scale(column), called(column))).collect()
    } else {
        let mut found = Vec::new();
        for wanted in &hints.channels {
            let by_number = wanted.parse().ok().and_then(|number: usize| number.checked_sub(1));
            let is_it = |column: &usize| {
                title(*column).eq_ignore_ascii_case(wanted)
                    || (by_number == Some(*column) && !names.contains(wanted))
            };
            let column = (0..columns).find(is_it).ok_or_else(|| {
                let says = format!("no column is called \u{201c}{wanted}\u{201d}");
                let all: Vec<_> = (0..columns).map(called).collect();
                ReadError::file(name, says, crate::phrase::one_of(&all))
            })?;
            found.push((column, scale(column), called(column)));
        }
        found
    };
    if volts.is_empty() {
        return Err(ReadError::file(name, "no column holds volts", "a column for each voltage"));
    }
    Ok(Layout { separator, time, volts })
}

/// The unit in a title: `time_ms`, `Time (us)`, `CH1 [mV]`.
fn unit_in(title: &str) -> Option<&str> {
    let bare = title.trim_end_matches([')', ']']);
    let at = bare.rfind(['(', '[', '_', ' ', '/'])?;
    bare.get(at + 1..)
}

/// What numbers in a unit of time or voltage are multiplied with.
fn scale_of_unit(text: &str) -> Option<f64> {
    let text = text.trim().trim_matches(['(', ')', '[', ']']);
    Some(match text {
        "s" | "S" | "sec" | "Second" | "second" | "seconds" | "V" | "v" | "Volt" | "volt"
        | "volts" | "" => 1.0,
        "ms" | "mS" | "mV" => 1e-3,
        "us" | "\u{b5}s" | "\u{3bc}s" | "uV" => 1e-6,
        "ns" => 1e-9,
        "kV" | "KV" => 1e3,
        _ => return None,
    })
}

/// Samples a second, where the heading tells an interval or a rate.
fn told_rate(heading: &[String]) -> Option<f64> {
    heading.iter().find_map(|line| {
        let lower = line.to_lowercase();
        let number = lower
            .split(['\t', ',', ';', ':', '=', ' '])
            .find_map(|cell| cell.trim().trim_matches('"').parse::<f64>().ok())
            .filter(|number| *number > 0.0 && number.is_finite())?;
        if lower.contains("interval") {
            Some(1.0 / number)
        } else if lower.contains("rate") || lower.contains("frequency") {
            Some(number)
        } else {
            None
        }
    })
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
