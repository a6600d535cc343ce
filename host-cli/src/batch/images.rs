//! Plan images in place of lines: the plan is checked where it lies, and the names behind it are
//! looked up where they lie. What the readers of sheets find is in no image.

use super::report::Head;
use super::told::{self, Naming};
use super::{Answer, Room, unread};
use crate::fold::Folded;
use crate::image::{BadImage, without_padding};
use coldcheck_core::image::Image;
use coldcheck_core::place::PortId;
use coldcheck_core::plan::Plan;
use coldcheck_core::report::Report;
use coldcheck_core::rules;

/// Judges an image and writes one line about it.
pub(super) fn image(room: &mut Room, number: u64, bytes: &[u8], out: &mut Vec<u8>) -> Answer {
    let (plan, text) = match read(bytes, &mut room.names) {
        Ok(read) => read,
        Err(error) => {
            return unread(number, &error.to_string(), "an image as coldcheck wrote it", out);
        }
    };
    let mut report = Report::new(&mut room.findings, &mut room.places, &mut room.unknowns);
    rules::check(&plan, &mut report);
    let words = Words { plan: &plan, text, names: &room.names };
    let head = Head {
        number,
        site: Some(words.called(SITE, 0)).filter(|site| !site.is_empty()),
        profile: words.called(PROFILE, 0),
        profile_assumed: false,
        scope: plan.group.scope(),
        verdict: report.verdict(),
    };
    told::write(&head, &report, &words, &mut room.lists, |rule| report.outcome(rule), out);
    Answer::Verdict(report.verdict())
}

/// As [`crate::image::read`], without copying a name. Gives the plan and the bytes of the names.
fn read<'b>(bytes: &'b [u8], names: &mut NamesAt) -> Result<(Plan<'b>, &'b [u8]), BadImage> {
    // The core has no room for tables; here the same checksum costs next to nothing.
    let two = |head: &[u8], body: &[u8]| {
        let mut hasher = crc32fast::Hasher::new();
        hasher.update(head);
        hasher.update(body);
        hasher.finalize()
    };
    let image = Image::read_by(bytes, two).map_err(BadImage::Image)?;
    let image = Image { rest: without_padding(image.rest), ..image };
    let plan = image.plan().map_err(BadImage::Plan)?;
    let trailer = image.trailer_by(crc32fast::hash).map_err(BadImage::Image)?.unwrap_or(&[]);
    names.clear();
    if !trailer.is_empty() {
        names.read(trailer).ok_or(BadImage::Names)?;
    }
    Ok((plan, trailer))
}

const SITE: usize = 0;
const PROFILE: usize = 1;
const PORTS: usize = 2;
const UNITS: usize = 3;
const CABLES: usize = 4;
const PACKS: usize = 5;
const SENSORS: usize = 6;
const DEVICES: usize = 7;
const LISTS: usize = 8;

/// Where the names stand in the trailer, list by list in the order of [`crate::image::Names`]. The
/// memory is used again.
#[derive(Debug, Default)]
pub(super) struct NamesAt {
    spans: Vec<(u32, u32)>,
    /// Where each list begins among the spans.
    starts: [usize; LISTS + 1],
}

impl NamesAt {
    fn clear(&mut self) {
        self.spans.clear();
        self.starts = [0; LISTS + 1];
    }

    /// Finds the names; `None` if the trailer holds something else.
    fn read(&mut self, trailer: &[u8]) -> Option<()> {
        // Lengths below 128 are plain signs: then one look at all of it is enough.
        let whole = std::str::from_utf8(trailer).ok();
        let mut at = 0;
        for list in 0..LISTS {
            *self.starts.get_mut(list)? = self.spans.len();
            let count = if list < PORTS { 1 } else { number(trailer, &mut at)? };
            for _ in 0..count {
                let length = number(trailer, &mut at)?;
                let end = at.checked_add(length)?;
                match whole {
                    Some(text) => text.get(at..end).map(|_| ())?,
                    None => std::str::from_utf8(trailer.get(at..end)?).ok().map(|_| ())?,
                }
                self.spans.push((u32::try_from(at).ok()?, u32::try_from(end).ok()?));
                at = end;
            }
        }
        *self.starts.last_mut()? = self.spans.len();
        Some(())
    }
}

/// A number as postcard writes it: seven bits a byte, the lowest first.
fn number(bytes: &[u8], at: &mut usize) -> Option<usize> {
    let mut number = 0usize;
    for shift in (0..64).step_by(7) {
        let byte = *bytes.get(*at)?;
        *at += 1;
        number |= usize::from(byte & 0x7F).checked_shl(shift)?;
        if byte < 0x80 {
            return Some(number);
        }
    }
    None
}

/// The names behind the plan; where there are none, a thing goes without.
struct Words<'w> {
    plan: &'w Plan<'w>,
    text: &'w [u8],
    names: &'w NamesAt,
}

impl Words<'_> {
    fn called(&self, list: usize, position: usize) -> &str {
        let names = self.names;
        let span = || {
            let (start, end) = (*names.starts.get(list)?, *names.starts.get(list + 1)?);
            names.spans.get(start..end)?.get(position).copied()
        };
        let Some((start, end)) = span() else { return "" };
        let at = |at| usize::try_from(at).unwrap_or(usize::MAX);
        let bytes = self.text.get(at(start)..at(end)).unwrap_or(&[]);
        std::str::from_utf8(bytes).unwrap_or("")
    }
}

impl Naming for Words<'_> {
    fn unit(&self, position: usize) -> (&str, Option<u16>) {
        let name = self.called(UNITS, position);
        let number = self.plan.units.get(position).map(|unit| unit.number.get());
        (name, number.filter(|number| *number > 0).or_else(|| Folded::of(name).number()))
    }

    fn port(&self, port: PortId) -> &str {
        self.called(PORTS, port.index())
    }

    fn cable(&self, position: usize) -> &str {
        self.called(CABLES, position)
    }

    fn pack(&self, position: usize) -> &str {
        self.called(PACKS, position)
    }

    fn sensor(&self, position: usize) -> (&str, Option<&'static str>) {
        let leg = self.plan.sensors.get(position).and_then(|sensor| sensor.leg());
        (self.called(SENSORS, position), leg.map(|leg| leg.word()))
    }

    fn device(&self, position: usize) -> &str {
        self.called(DEVICES, position)
    }
}
