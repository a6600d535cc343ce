//! What comes down the gateway's serial line, and what it must say of it: logs of a bus in the form
//! of `candump`, as SLCAN text and as what the core hears.

use coldcheck::listing::listing;
use coldcheck_core::finding::{Finding, Outcome, Verdict};
use coldcheck_core::frame::{Frame, FrameId};
use coldcheck_core::heard::{BusState, Heard, Listener};
use coldcheck_core::limits;
use coldcheck_core::place::Place;
use coldcheck_core::plan::{Milliseconds, Plan};
use coldcheck_core::report::Report;
use coldcheck_core::rules::RuleId;
use coldcheck_core::signal::{Lamp, REFUSED, lamp};
use coldcheck_core::slcan::Status;
use std::fmt::Write;

/// Something on the bus, or a word of the controller.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// A frame.
    Frame(Frame),
    /// States and errors.
    Status(Status),
}

/// Reads a log in the form of `candump -L`: `(seconds) channel id#data`. Times are milliseconds
/// after the first line.
///
/// # Panics
/// If a line has another form.
pub fn read(log: &str) -> Vec<(Milliseconds, Event)> {
    let mut first = None;
    let lines = log.lines().filter(|line| !line.trim().is_empty());
    lines
        .map(|line| event(line, &mut first).unwrap_or_else(|| panic!("no frame: {line}")))
        .collect()
}

fn event(line: &str, first: &mut Option<u64>) -> Option<(Milliseconds, Event)> {
    let mut words = line.split_whitespace();
    let time = words.next()?.strip_prefix('(')?.strip_suffix(')')?;
    let (seconds, fraction) = time.split_once('.')?;
    let micros: u64 = format!("{fraction:0<6}").get(..6)?.parse().ok()?;
    let micros = seconds.parse::<u64>().ok()? * 1_000_000 + micros;
    let since = micros - *first.get_or_insert(micros);
    let (id, data) = words.nth(1)?.split_once('#')?;
    let bits = u32::from_str_radix(id, 16).ok()?;
    let event = if bits & 0x2000_0000 == 0 {
        let id = match id.len() {
            3 => FrameId::standard(u16::try_from(bits).ok()?)?,
            _ => FrameId::extended(bits)?,
        };
        Event::Frame(match data.strip_prefix('R') {
            Some(length) => Frame::request(id, length.parse().unwrap_or(0))?,
            None => Frame::new(id, &bytes(data)?)?,
        })
    } else {
        Event::Status(status(bits, *bytes(data)?.first_chunk::<8>()?))
    };
    Some((Milliseconds(u32::try_from(since / 1000).ok()?), event))
}

fn bytes(digits: &str) -> Option<Vec<u8>> {
    (0..digits.len())
        .step_by(2)
        .map(|at| u8::from_str_radix(digits.get(at..at + 2)?, 16).ok())
        .collect()
}

/// What an error frame says. Classes and bytes: `linux/can/error.h`.
fn status(class: u32, data: [u8; 8]) -> Status {
    let mut bits = 0;
    let mut note = |is_so: bool, bit: u16| bits |= if is_so { bit } else { 0 };
    let [_, controller, kind, location, _, _, sent, received] = data;
    note(class & 0x20 != 0, Status::ACKNOWLEDGE);
    note(class & 0x40 != 0, Status::OFF);
    if class & 0x04 != 0 {
        note(controller & 0x03 != 0, Status::OVERRUN);
        note(controller & 0x0C != 0, Status::WARNING);
        note(controller & 0x30 != 0, Status::PASSIVE);
    }
    if class & 0x08 != 0 {
        note(kind & 0b1_1001 != 0, Status::BIT);
        note(kind & 0b110 != 0 || location == 0x08, Status::FRAME);
    }
    if class & 0x200 != 0 {
        match BusState::of(received.into(), sent.into()) {
            BusState::Active => {}
            BusState::Warning => note(true, Status::WARNING),
            BusState::Passive => note(true, Status::PASSIVE),
            BusState::Off => note(true, Status::OFF),
        }
    }
    note(class & 0x80 != 0 && class & 0x28 == 0, Status::BUS_ERROR);
    Status(bits)
}

/// The events as an adapter sends them.
pub fn slcan(events: &[(Milliseconds, Event)]) -> Vec<u8> {
    let mut text = String::new();
    for (at, event) in events {
        match event {
            Event::Frame(frame) => frame_text(&mut text, frame, *at),
            Event::Status(status) => status_text(&mut text, *status),
        }
    }
    text.into_bytes()
}

fn frame_text(text: &mut String, frame: &Frame, at: Milliseconds) {
    let (kind, digits) = match (frame.id(), frame.is_request()) {
        (FrameId::Standard(_), false) => ('t', 3),
        (FrameId::Standard(_), true) => ('r', 3),
        (FrameId::Extended(_), false) => ('T', 8),
        (FrameId::Extended(_), true) => ('R', 8),
    };
    let (bits, length) = (frame.id().bits(), frame.length());
    let _ = write!(text, "{kind}{bits:0digits$X}{length:X}");
    for byte in frame.data() {
        let _ = write!(text, "{byte:02X}");
    }
    let _ = write!(text, "{:04X}\r", at.0 % 60_000);
}

fn status_text(text: &mut String, status: Status) {
    let has = |bit| status.0 & bit != 0;
    let letters = [(Status::OFF, 'b'), (Status::PASSIVE, 'p'), (Status::WARNING, 'w')];
    let state = letters.iter().find(|(bit, _)| has(*bit)).map_or('a', |(_, letter)| *letter);
    let _ = write!(text, "s{state}000000\r");
    let kinds = [
        (Status::ACKNOWLEDGE, 'a'),
        (Status::BIT, 'b'),
        (Status::FRAME, 'f'),
        (Status::OVERRUN, 'o'),
    ];
    let errors: String = kinds.iter().filter(|(bit, _)| has(*bit)).map(|(_, kind)| *kind).collect();
    if !errors.is_empty() {
        let _ = write!(text, "e{}{errors}\r", errors.len());
    }
    if has(Status::BUS_ERROR) {
        text.push_str("F80\r");
    }
}

/// Hears events as the gateway does.
pub fn hear(plan: &Plan<'_>, events: &[(Milliseconds, Event)]) -> Heard {
    let listener = Listener::of(plan);
    let mut heard = Heard::of(plan);
    for (at, event) in events {
        match event {
            Event::Frame(frame) => heard.hear(*at, frame, listener.as_ref()),
            Event::Status(status) => status.tell(heard.controller()),
        }
    }
    heard
}

/// What a gateway must say of an image and of what it hears, and its exit status.
pub fn expected(image: &[u8], events: &[(Milliseconds, Event)]) -> (Vec<String>, i32) {
    use coldcheck_core::image::Image;
    let image = match Image::read(image) {
        Ok(image) => image,
        Err(error) => return refused(&format!("Image({error:?})")),
    };
    match image.plan() {
        Ok(plan) => of_plan(&plan, events),
        Err(error) => refused(&format!("Plan({error:?})")),
    }
}

fn refused(why: &str) -> (Vec<String>, i32) {
    (vec![format!("refused {why}"), lamp_line(REFUSED)], 2)
}

fn of_plan(plan: &Plan<'_>, events: &[(Milliseconds, Event)]) -> (Vec<String>, i32) {
    let mut findings = [Finding::BLANK; limits::GATEWAY_FINDINGS];
    let mut places = [Place::Group; limits::GATEWAY_PLACES];
    let mut report = Report::new(&mut findings, &mut places, &mut []);
    coldcheck_core::check(plan, &mut report);
    let found = report.findings().len();
    coldcheck_core::compare(plan, &hear(plan, events), &mut report);
    let mut lines = listing(plan);
    for rule in (0..=u8::MAX).filter_map(RuleId::from_number) {
        let is_heard = rule >= RuleId::LoneNodeNoAck;
        if is_heard && report.outcome(rule) != Outcome::NotRun {
            lines.push(format!("outcome {rule:?} {:?}", report.outcome(rule)));
        }
    }
    for finding in &report.findings()[found..] {
        lines.push(format!(
            "finding {:?} {:?} {:?} at {:?} near {:?}",
            finding.rule,
            finding.value,
            finding.wanted,
            report.places(finding.places),
            report.related(finding.places),
        ));
    }
    let verdict: Verdict = report.verdict();
    lines.push(format!("tally {:?}", report.tally()));
    lines.push(format!("verdict {verdict:?}"));
    lines.push(lamp_line(lamp(verdict)));
    (lines, verdict.exit_code().into())
}

fn lamp_line(lamp: Lamp) -> String {
    format!("lamp {lamp:?}")
}
