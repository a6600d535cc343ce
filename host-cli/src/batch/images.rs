//! Plan images in place of lines: the plan is checked where it lies.

use super::report::Head;
use super::told::{self, Naming};
use super::{Answer, Room, unread};
use crate::fold::Folded;
use crate::image::{self, Names};
use coldcheck_core::place::PortId;
use coldcheck_core::plan::Plan;
use coldcheck_core::report::Report;
use coldcheck_core::rules;

/// Judges an image and writes one line about it.
pub(super) fn image(room: &mut Room, number: u64, bytes: &[u8], out: &mut Vec<u8>) -> Answer {
    let (plan, names) = match image::read(bytes) {
        Ok(read) => read,
        Err(error) => {
            return unread(number, &error.to_string(), "an image as coldcheck wrote it", out);
        }
    };
    let mut report = Report::new(&mut room.findings, &mut room.places, &mut room.unknowns);
    rules::check(&plan, &mut report);
    let head = Head {
        number,
        site: Some(&names.site).filter(|site| !site.is_empty()).map(String::as_str),
        profile: &names.profile,
        profile_assumed: false,
        scope: plan.group.scope(),
        verdict: report.verdict(),
    };
    let words = Words { plan: &plan, names: &names };
    told::write(&head, &report, &words, |rule| report.outcome(rule), out);
    Answer::Verdict(report.verdict())
}

/// The names behind the plan; where there are none, a thing goes without.
struct Words<'w> {
    plan: &'w Plan<'w>,
    names: &'w Names,
}

impl Naming for Words<'_> {
    fn unit(&self, position: usize) -> (&str, Option<u16>) {
        let name = called(&self.names.units, position);
        let number = self.plan.units.get(position).map(|unit| unit.number.get());
        (name, number.filter(|number| *number > 0).or_else(|| Folded::of(name).number()))
    }

    fn port(&self, port: PortId) -> &str {
        called(&self.names.ports, port.index())
    }

    fn cable(&self, position: usize) -> &str {
        called(&self.names.cables, position)
    }

    fn pack(&self, position: usize) -> &str {
        called(&self.names.packs, position)
    }

    fn sensor(&self, position: usize) -> (&str, Option<&'static str>) {
        let leg = self.plan.sensors.get(position).and_then(|sensor| sensor.leg());
        (called(&self.names.sensors, position), leg.map(|leg| leg.word()))
    }

    fn device(&self, position: usize) -> &str {
        called(&self.names.devices, position)
    }
}

fn called(names: &[String], position: usize) -> &str {
    names.get(position).map_or("", String::as_str)
}
