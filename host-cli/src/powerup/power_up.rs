//! The power-up of a site under the sheets of today: what command line and page ask alike.

use super::told::{Told, refusal};
use super::{Progress, Refused, Step, Today, WayDown, progress, steps, way_down};
use crate::diagnosis::Diagnosis;
use crate::engine::Site;
use crate::phrase::{counted, one_of};
use crate::read::RawSheet;
use crate::readings::{self, Moment, Readings};
use crate::site_file::SiteFile;

/// A power-up under the sheets of today.
#[derive(Debug)]
pub struct PowerUp<'d> {
    site: &'d Site,
    diagnosis: &'d Diagnosis,
    /// Its steps.
    pub steps: Vec<Step>,
    way_down: WayDown,
    /// The hash of the sheets.
    pub hash: String,
    /// The time, where there is a clock.
    pub now: Option<Moment>,
}

impl<'d> PowerUp<'d> {
    /// The power-up of a site; `shape` is what its files say in canonical form
    /// ([`crate::tidy::shape`]).
    pub fn of(
        site: &'d Site,
        diagnosis: &'d Diagnosis,
        shape: &SiteFile,
        files: &[RawSheet],
    ) -> Self {
        Self {
            site,
            diagnosis,
            steps: steps(site, shape),
            way_down: way_down(site, shape),
            hash: readings::hash(files),
            now: None,
        }
    }

    /// Whether a danger stands in the sheets: then nothing is done live.
    pub fn has_danger(&self) -> bool {
        self.diagnosis.dangers().next().is_some()
    }

    /// What readings are held against.
    pub(super) fn today(&self) -> Today<'_> {
        Today { hash: &self.hash, has_danger: self.has_danger(), now: self.now }
    }

    /// Where it stands after these readings.
    pub fn progress(&self, readings: &Readings) -> Progress {
        progress(&self.steps, &readings.list, self.today())
    }

    /// Everything that there is to tell.
    pub fn told<'t>(&'t self, readings: &'t Readings) -> Told<'t> {
        let progress = self.progress(readings);
        Told {
            site: self.site,
            diagnosis: self.diagnosis,
            steps: &self.steps,
            remarks: self.remarks(readings, &progress),
            progress,
            readings: &readings.list,
            way_down: &self.way_down,
            hash: &self.hash,
        }
    }

    /// What is to be said of a readings file: every line that does not count.
    fn remarks(&self, readings: &Readings, progress: &Progress) -> Vec<String> {
        let line = |origin| readings.sheets.position(origin).line;
        let mut remarks = Vec::new();
        let missing = &self.way_down.missing;
        if !missing.is_empty() {
            let what: Vec<&str> = missing.iter().map(|[what, _]| *what).collect();
            let lines: Vec<String> = missing.iter().map(|[_, line]| format!("`{line}`")).collect();
            remarks.push(format!(
                "the sheets say nothing of {}: there are no steps for one. Where there is one, a line \
                 in the sheets gives its steps, for instance {}",
                one_of(&what),
                one_of(&lines)
            ));
        }
        for cell in &readings.cut_off {
            let line = line(cell.origin);
            remarks.push(format!(
                "line {line} of the readings was cut off while it was written: it is left out"
            ));
        }
        for field in &readings.not_understood {
            remarks.push(format!("nobody knows the field `{}` of the readings", field.text));
        }
        for (position, why) in progress.refused.iter().filter(|(_, why)| *why != Refused::Gone) {
            let Some(reading) = readings.list.get(*position) else { continue };
            let step = reading.step.as_ref().map_or("", |step| step.text.as_str());
            let (line, says) = (line(reading.origin), refusal(&self.steps, *why));
            remarks.push(format!("line {line} of the readings does not count for {step}: {says}"));
        }
        let gone = progress.refused.iter().filter(|(_, why)| *why == Refused::Gone).count();
        let without = readings.list.iter().filter(|reading| reading.step.is_none()).count();
        for (count, says) in [
            (gone, "of the file: of steps that this site has no more"),
            (without, "of the file: of no step of a power-up"),
        ] {
            if count > 0 {
                remarks.push(format!("{} {says}", counted(count, "reading")));
            }
        }
        remarks
    }
}
