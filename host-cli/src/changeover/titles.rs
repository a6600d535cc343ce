//! What stands above the numbers of a record: titles, units, and sometimes the rate.

use crate::read::ReadError;

/// Titles of the columns, and the units below them.
#[derive(Clone, Debug, Default)]
pub(super) struct Titles {
    pub(super) names: Vec<String>,
    units: Vec<String>,
}

impl Titles {
    /// The last lines of the heading that have as many cells as there are columns.
    pub(super) fn of(heading: &[String], columns: usize, separator: char) -> Self {
        let mut titles = Self::default();
        for line in heading.iter().filter(|line| !line.starts_with('#')) {
            let cells: Vec<String> = if separator == ' ' {
                line.split_whitespace().map(ToOwned::to_owned).collect()
            } else {
                line.split(separator).map(|cell| cell.trim().trim_matches('"').to_owned()).collect()
            };
            if cells.len() < columns || told_rate(std::slice::from_ref(line)).is_some() {
                continue;
            }
            // A line of units stands below that of names.
            if !titles.names.is_empty() && cells.iter().all(|cell| scale_of_unit(cell).is_some()) {
                titles.units = cells;
            } else {
                titles = Self { names: cells, units: Vec::new() };
            }
        }
        titles
    }

    fn name(&self, column: usize) -> &str {
        self.names.get(column).map_or("", String::as_str)
    }

    /// What a column is called in reports.
    pub(super) fn called(&self, column: usize) -> String {
        let name = self.name(column);
        if name.is_empty() { format!("column {}", column + 1) } else { name.to_owned() }
    }

    /// The column of this name, or of this number from 1.
    pub(super) fn find(&self, wanted: &str, columns: usize) -> Option<usize> {
        let by_name = (0..columns).find(|column| self.name(*column).eq_ignore_ascii_case(wanted));
        let number = wanted.parse().ok().and_then(|number: usize| number.checked_sub(1));
        by_name.or_else(|| number.filter(|number| *number < columns))
    }

    /// The first word of a title, in small letters; a number behind it belongs to it.
    fn first_word(&self, column: usize) -> String {
        let name = self.name(column).to_lowercase();
        name.split(|c: char| !c.is_alphanumeric()).next().unwrap_or("").to_owned()
    }

    /// Whether a column holds the time.
    pub(super) fn is_time(&self, column: usize) -> bool {
        const WORDS: [&str; 7] = ["time", "t", "seconds", "second", "sec", "zeit", "x"];
        WORDS.contains(&self.first_word(column).as_str())
    }

    /// Whether a column only counts.
    pub(super) fn is_index(&self, column: usize) -> bool {
        const WORDS: [&str; 7] = ["index", "sample", "samples", "point", "points", "no", "nr"];
        WORDS.contains(&self.first_word(column).as_str()) || self.name(column) == "#"
    }

    /// What the numbers of a column are multiplied with.
    ///
    /// # Errors
    /// If a unit is written that nobody knows.
    pub(super) fn scale(&self, record: &str, column: usize) -> Result<f64, ReadError> {
        let below = self.units.get(column).map(String::as_str);
        let (unit, is_sure) = match (below, unit_in(self.name(column))) {
            (Some(unit), _) => (unit, true),
            (None, Some((unit, in_brackets))) => (unit, in_brackets),
            (None, None) => return Ok(1.0),
        };
        match scale_of_unit(unit) {
            Some(scale) => Ok(scale),
            // Behind a space or a line it may be any word.
            None if !is_sure => Ok(1.0),
            None => {
                let says = format!(
                    "the unit \u{201c}{unit}\u{201d} of {} is not known",
                    self.called(column)
                );
                Err(ReadError::file(record, says, "s, ms, us or ns; V, mV or kV"))
            }
        }
    }
}

/// The unit in a title, and whether it stands in brackets: `time_ms`, `Time (us)`, `CH1 [mV]`.
fn unit_in(title: &str) -> Option<(&str, bool)> {
    let bare = title.trim_end_matches([')', ']']);
    let in_brackets = bare.len() < title.len();
    let at = bare.rfind(if in_brackets { &['(', '['][..] } else { &['_', ' ', '/'][..] })?;
    Some((bare.get(at + 1..)?, in_brackets))
}

/// What numbers in a unit of time or voltage are multiplied with.
fn scale_of_unit(text: &str) -> Option<f64> {
    let text = text.trim().trim_matches(['(', ')', '[', ']']);
    // Of these units only milli and mega differ by case, and nobody has megavolts here.
    Some(match text.to_lowercase().as_str() {
        "" | "s" | "sec" | "secs" | "second" | "seconds" | "v" | "volt" | "volts" => 1.0,
        "ms" | "msec" | "msecs" | "millisecond" | "milliseconds" | "mv" | "millivolt"
        | "millivolts" => 1e-3,
        "us" | "\u{b5}s" | "\u{3bc}s" | "usec" | "microsecond" | "microseconds" | "uv"
        | "\u{b5}v" | "\u{3bc}v" | "microvolt" | "microvolts" => 1e-6,
        "ns" | "nsec" | "nanosecond" | "nanoseconds" => 1e-9,
        "kv" | "kilovolt" | "kilovolts" => 1e3,
        _ => return None,
    })
}

/// Samples a second, where the heading tells the interval or the rate of sampling in a unit that is
/// known.
pub(super) fn told_rate(heading: &[String]) -> Option<f64> {
    heading.iter().find_map(|line| {
        let lower = line.to_lowercase();
        if !lower.contains("sampl") {
            return None;
        }
        let words = lower.split(['\t', ',', ';', ':', '=', ' ', '"', '(', ')', '[', ']']);
        let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
        let at = words.iter().position(|word| word.starts_with(|c: char| c.is_ascii_digit()))?;
        let word = words.get(at)?;
        let end = word
            .find(|c: char| c.is_alphabetic() && c != 'e' || c == '\u{b5}')
            .unwrap_or(word.len());
        let number: f64 = word.get(..end)?.parse().ok()?;
        let unit = word.get(end..).filter(|unit| !unit.is_empty()).or(words.get(at + 1).copied());
        let rate = if lower.contains("interval") || lower.contains("period") {
            let scale = unit.map_or(Some(1.0), scale_of_unit)?;
            1.0 / (number * scale)
        } else {
            let scale = match unit.map(|unit| unit.trim_end_matches("/s")) {
                None | Some("hz" | "sa" | "s" | "sps" | "samples") => 1.0,
                Some("khz" | "ksa" | "ks" | "ksps") => 1e3,
                Some("mhz" | "msa" | "msps") => 1e6,
                Some(_) => return None,
            };
            number * scale
        };
        (rate.is_finite() && rate > 0.0).then_some(rate)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rate_is_told_by_sampling_only_and_in_a_known_unit() {
        for (line, rate) in [
            ("Sample Interval,0.0001,s", Some(1e4)),
            ("Sampling rate: 10 kSa/s", Some(1e4)),
            ("Sample Period = 100us", Some(1e4)),
            ("sample rate 10000", Some(1e4)),
            ("Sampling frequency;2 MHz", Some(2e6)),
            ("Line Frequency,60", None),
            ("Sample rate: 10 bananas", None),
            ("Samples,4000 points", None),
        ] {
            let told = told_rate(&[line.to_owned()]);
            let off = told.zip(rate).map(|(told, rate)| (told / rate - 1.0).abs());
            assert!(
                told.is_some() == rate.is_some() && off.unwrap_or(0.0) < 1e-9,
                "{line}: {told:?}"
            );
        }
    }

    #[test]
    fn titles_are_taken_by_whole_words() {
        let titles = |line: &str| {
            let columns = line.split(',').count();
            Titles::of(&[line.to_owned()], columns, ',')
        };
        let all = titles("T1,N-L1 (V),Point,time (msec),no,CH1 (millivolts)");
        let columns = |is: &dyn Fn(usize) -> bool| (0..6).filter(|at| is(*at)).collect::<Vec<_>>();
        assert_eq!(columns(&|at| all.is_time(at)), [3]);
        assert_eq!(columns(&|at| all.is_index(at)), [2, 4]);
        let scale = |at| all.scale("r.csv", at).ok();
        assert_eq!([scale(1), scale(3), scale(5)], [Some(1.0), Some(1e-3), Some(1e-3)]);
        let odd = titles("time,CH1 (bananas)");
        let told = odd.scale("r.csv", 1).expect_err("no such unit").to_string();
        assert!(told.contains("bananas") && told.contains("mV"), "{told}");
    }
}
