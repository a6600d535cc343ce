//! One reading after the other, asked for on the terminal.

use super::read_so_far;
use super::record::Record;
use crate::args::PowerupArgs;
use crate::commands::Failure;
use crate::powerup::PowerUp;
use crate::readings::Readings;
use crate::render::terminal::{Style, powerup};
use std::io::{BufRead, Write};

const HELP: &str = "\
  what was read, such as 0.4 or 0.4 V or OL; yes, or no and what was seen
  r WORDS   leave a hold for a reason (not where only a reading passes)
  s         skip a step for now, where it holds nothing back
  d         the way down, and what to do when a danger is found live
  q         stop here; everything answered so far is in the file
";

/// Asks until everything is answered, nobody answers any more, or a step cannot be passed.
pub(super) fn run(
    power_up: &PowerUp<'_>,
    args: &PowerupArgs,
    record: &mut Record<'_>,
    style: Style,
    out: &mut dyn Write,
) -> Result<Readings, Failure> {
    let mut lines = std::io::stdin().lock().lines();
    let mut ask = |out: &mut dyn Write, prompt: &str| -> Result<Option<String>, Failure> {
        write!(out, "{prompt} ")?;
        out.flush()?;
        Ok(lines.next().transpose()?.map(|line| line.trim().to_owned()))
    };
    for (what, field) in [("Initials:", &mut record.by), ("Instrument:", &mut record.instrument)] {
        while field.is_empty() {
            match ask(out, what)? {
                Some(answer) => *field = answer,
                None => return read_so_far(args),
            }
        }
    }
    let mut skipped: Vec<usize> = Vec::new();
    loop {
        let readings = read_so_far(args)?;
        let progress = power_up.progress(&readings);
        let is_left = |at: &usize| {
            !skipped.contains(at)
                && progress.states.get(*at).is_some_and(|state| state.is_takeable())
        };
        let Some(step) = (0..power_up.steps.len()).find(is_left) else {
            let says = if progress.is_done() {
                "Every step is passed. What this list cannot see is still to be looked for."
            } else if power_up.has_danger() {
                "A danger stands in the sheets: nothing behind the dead tests is asked."
            } else {
                "Nothing else can be taken now; steps that were skipped are still open."
            };
            writeln!(out, "\n{says}")?;
            return Ok(readings);
        };
        writeln!(out, "{}", powerup::one(&power_up.told(&readings), step, style).trim_end())?;
        let Some(answer) = ask(out, "  read (? for help):")? else {
            writeln!(out)?;
            return Ok(readings);
        };
        let of = power_up.steps.get(step);
        match answer.as_str() {
            "" => {}
            "?" => writeln!(out, "{HELP}")?,
            "q" => return Ok(readings),
            "d" => writeln!(out, "{}", powerup::way_down(&power_up.told(&readings), style))?,
            "s" if of.is_some_and(|step| step.hold == crate::powerup::Hold::None) => {
                skipped.push(step);
            }
            "s" => {
                writeln!(out, "  It holds back what is behind it: a reading, or r and a reason.")?;
            }
            "r" | "r:" => writeln!(out, "  r, then the reason: r no instrument for it here")?,
            answer => {
                let reason = answer.strip_prefix("r ").or_else(|| answer.strip_prefix("r:"));
                let (value, is_reason) =
                    reason.map_or((answer, false), |words| (words.trim(), true));
                match record.write(step, value, is_reason, &readings) {
                    Ok(()) => {
                        let readings = read_so_far(args)?;
                        writeln!(
                            out,
                            "{}",
                            powerup::answer(&power_up.told(&readings), step, style).trim_end()
                        )?;
                    }
                    Err(Failure::Errors(_, errors)) => {
                        for error in errors {
                            writeln!(out, "  {error}")?;
                        }
                    }
                    Err(failure) => return Err(failure),
                }
            }
        }
    }
}
