//! What comes down the gateway's serial line, and what it must say of it: logs of a bus as SLCAN text
//! and as what the core hears.

use coldcheck::listing::listing;
use coldcheck::log::{Reader, Said, text};
use coldcheck_core::finding::{Finding, Outcome, Verdict};
use coldcheck_core::heard::{BusError, BusState, Controller, Heard, Listener};
use coldcheck_core::limits;
use coldcheck_core::place::Place;
use coldcheck_core::plan::{Milliseconds, Plan};
use coldcheck_core::report::Report;
use coldcheck_core::rules::RuleId;
use coldcheck_core::signal::{Lamp, REFUSED, lamp};

/// Reads a log as `coldcheck hear` does: frames and error frames, each with its time.
///
/// # Panics
/// If it is no log, or a line of it fits no form.
pub fn read(log: &str) -> Vec<(Milliseconds, Said)> {
    let mut said = Vec::new();
    let mut reader = Reader::new("a log of the tests", None);
    reader.push(log.as_bytes(), &mut |entry| said.push((entry.at, entry.said))).expect("a log");
    let summary = reader.finish(&mut |entry| said.push((entry.at, entry.said))).expect("a log");
    assert_eq!(summary.unfit, 0, "{:?}", summary.shown);
    said
}

/// The same as an adapter sends it.
///
/// # Panics
/// If the log holds what no adapter that listens would say.
pub fn slcan(log: &[(Milliseconds, Said)]) -> Vec<u8> {
    let line = |(at, said): &(Milliseconds, Said)| match said {
        Said::Frame(frame) => text::slcan(frame, *at),
        Said::Error(error) => {
            let mut controller = Controller::default();
            error.tell(&mut controller);
            status(&controller)
        }
        Said::Sent(_) | Said::Other | Said::Status(_) => {
            panic!("no log of the tests says {said:?}")
        }
    };
    log.iter().map(line).collect::<String>().into_bytes()
}

/// The lines by which an adapter tells the state of its controller, and what was wrong.
fn status(controller: &Controller) -> String {
    let state = match controller.worst() {
        BusState::Active => 'a',
        BusState::Warning => 'w',
        BusState::Passive => 'p',
        BusState::Off => 'b',
    };
    let kinds = [(BusError::Acknowledge, 'a'), (BusError::Bit, 'b'), (BusError::Frame, 'f')];
    let told = kinds.iter().filter(|(kind, _)| controller.count(*kind) > 0);
    let letters: String = told.map(|(_, letter)| *letter).collect();
    let errors = match letters.len() {
        0 => String::new(),
        count => format!("e{count}{letters}\r"),
    };
    let other = if controller.count(BusError::Other) > 0 { "F80\r" } else { "" };
    format!("s{state}000000\r{errors}{other}")
}

/// Hears a log as the gateway does.
pub fn hear(plan: &Plan<'_>, log: &[(Milliseconds, Said)]) -> Heard {
    let listener = Listener::of(plan);
    let mut heard = Heard::of(plan);
    for (at, said) in log {
        match said {
            Said::Frame(frame) => heard.hear(*at, frame, listener.as_ref()),
            Said::Error(error) => error.tell(heard.controller()),
            Said::Status(status) => status.tell(heard.controller()),
            Said::Sent(_) | Said::Other => heard.pass(*at),
        }
    }
    heard
}

/// What a gateway must say of an image and of what it hears, and its exit status.
pub fn expected(image: &[u8], log: &[(Milliseconds, Said)]) -> (Vec<String>, i32) {
    use coldcheck_core::image::Image;
    let image = match Image::read(image) {
        Ok(image) => image,
        Err(error) => return refused(&format!("Image({error:?})")),
    };
    match image.plan() {
        Ok(plan) => of_plan(&plan, log),
        Err(error) => refused(&format!("Plan({error:?})")),
    }
}

fn refused(why: &str) -> (Vec<String>, i32) {
    (vec![format!("refused {why}"), lamp_line(REFUSED)], 2)
}

fn of_plan(plan: &Plan<'_>, log: &[(Milliseconds, Said)]) -> (Vec<String>, i32) {
    let mut findings = [Finding::BLANK; limits::GATEWAY_FINDINGS];
    let mut places = [Place::Group; limits::GATEWAY_PLACES];
    let mut report = Report::new(&mut findings, &mut places, &mut []);
    coldcheck_core::check(plan, &mut report);
    let found = report.findings().len();
    coldcheck_core::compare(plan, &hear(plan, log), &mut report);
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
