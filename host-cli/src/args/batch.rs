//! The command line of `batch`.

use super::{OutputArgs, ScopeArg, date};
use crate::date::Date;
use clap::Args;
use std::path::PathBuf;

pub(super) const ABOUT: &str = "\
Check many sites: each line of the input is a site file in JSON, each line of the output its report \
(schema coldcheck.batch.v1), in the same order. A report names its line, the verdict, the findings \
with their places, and the rules that were not checked, by cause. A line that cannot be read gives \
the errors with their column, and the next line is read.

A line may be 256 KiB long and nested 64 deep. Memory does not grow with the input. A line may name \
a built-in profile; for a profile of your own use --profile. What a finding means: `coldcheck \
explain RULE`.";

/// Arguments of `batch`.
#[derive(Args, Debug)]
pub struct BatchArgs {
    /// File with a JSON site a line; `-` is standard input.
    #[arg(value_name = "FILE", default_value = "-")]
    pub input: PathBuf,

    /// The input holds plan images, each behind its length as four bytes, the lowest first.
    #[arg(long, conflicts_with_all = ["profile", "scope", "date"])]
    pub images: bool,

    /// Check only these lines; `A-` is from A to the end. Reports keep the numbers of the lines.
    #[arg(long, value_name = "A-B", value_parser = lines)]
    pub lines: Option<LineRange>,

    /// How many threads check; as many as the machine has cores, if it is not said.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub threads: Option<u16>,

    /// Profile by name or file, in place of those that the lines name.
    #[arg(long, value_name = "NAME|FILE")]
    pub profile: Option<String>,

    /// Parts to check, in place of what the lines say.
    #[arg(long, value_enum)]
    pub scope: Option<ScopeArg>,

    /// Hold waivers against this day instead of today.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub date: Option<Date>,

    /// Where the reports go.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// Lines from one number to another, both included, counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LineRange {
    /// The first line.
    pub first: u64,
    /// The last line.
    pub last: u64,
}

impl LineRange {
    /// Every line.
    pub const ALL: Self = Self { first: 1, last: u64::MAX };
}

fn lines(text: &str) -> Result<LineRange, String> {
    let range = text.split_once('-').and_then(|(first, last)| {
        let last = if last.is_empty() { u64::MAX } else { last.parse().ok()? };
        Some(LineRange { first: first.parse().ok()?, last })
    });
    let sound = |range: &LineRange| range.first >= 1 && range.first <= range.last;
    range
        .filter(sound)
        .ok_or_else(|| "lines are counted from 1: 5001-10000, or 5001- to the end".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_counted_from_one() {
        assert_eq!(lines("5-9"), Ok(LineRange { first: 5, last: 9 }));
        assert_eq!(lines("5-"), Ok(LineRange { first: 5, last: u64::MAX }));
        for wrong in ["", "5", "-5", "0-3", "9-5", "a-b", "1-2-3"] {
            assert!(lines(wrong).is_err(), "{wrong}");
        }
    }
}
