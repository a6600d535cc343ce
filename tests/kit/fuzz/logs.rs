//! What must hold for a log of any content.

use super::{outputs, raw};
use crate::cases::request;
use coldcheck::diagnosis::diagnose_heard;
use coldcheck::engine::{Site, plan, read_site};
use coldcheck::hearing::Hearing;
use coldcheck::log::{Reader, Said, Summary};
use coldcheck::read::ReadError;
use coldcheck::source::Sheets;
use coldcheck_core::frame::{Frame, FrameId};
use coldcheck_core::slcan::{self, Line};
use std::fmt::Write;
use std::sync::OnceLock;

/// A site that is heard, in each dialect.
fn sites() -> &'static [Site] {
    static SITES: OnceLock<Vec<Site>> = OnceLock::new();
    SITES.get_or_init(|| {
        let site = |profile: &str, dialect: &str| {
            let text = format!(
                "profile = {profile}\ndialect = {dialect}\nscope = communication\n\
                 unit 1 = coordinator, addr 1, count 3, serial 7001, fw 2.14, term on\n\
                 unit 2 = follower, addr 2, count 3, serial 7002, fw 2.14, term off\n\
                 unit 3 = follower, addr 3, count 3, serial 7003, fw 2.14, term on\n"
            );
            let cables =
                "cable,from,to,length\nC1,unit 2 A,unit 1 B,1 m\nC2,unit 1 A,unit 3 B,1 m\n";
            let files =
                [raw("settings.txt", text.as_bytes()), raw("cables.csv", cables.as_bytes())];
            read_site(&request(&files, None)).expect("a right site")
        };
        vec![site("plain", "canopen"), site("plain", "j1939"), site("two-port-line", "frame map")]
    })
}

/// Time, interface, and what was said.
type Told = (u32, String, Said);

/// What a log says, in pieces of so many bytes, and the summary; or why it is none.
fn read(log: &[u8], piece: usize) -> (Vec<Told>, Result<Summary, ReadError>) {
    let mut reader = Reader::new("bus.log", None);
    let mut said = Vec::new();
    for piece in log.chunks(piece.max(1)) {
        let take = &mut |entry: coldcheck::log::Entry<'_>| {
            said.push((entry.at.0, entry.interface.to_owned(), entry.said));
        };
        if let Err(error) = reader.push(piece, take) {
            return (said, Err(error));
        }
    }
    let take = &mut |entry: coldcheck::log::Entry<'_>| {
        said.push((entry.at.0, entry.interface.to_owned(), entry.said));
    };
    let outcome = reader.finish(take).cloned();
    (said, outcome)
}

/// A log is read the same in any pieces, invents no frame, and leads to a report or an error.
pub(super) fn log(bytes: &[u8]) {
    let (said, outcome) = read(bytes, usize::MAX);
    assert_eq!(read(bytes, 7), (said.clone(), outcome.clone()), "pieces make a difference");
    assert!(said.is_sorted_by_key(|(at, _, _)| *at), "time runs backwards");
    let lines = squeezed(bytes);
    for (_, _, said) in &said {
        if let Said::Frame(frame) | Said::Sent(frame) = said {
            assert!(is_written(frame, &lines), "{frame:?} stands nowhere");
        }
    }
    if let Ok(summary) = &outcome {
        let heard = summary.frames + summary.sent + summary.others + summary.errors;
        assert_eq!(heard, u64::try_from(said.len()).unwrap_or(u64::MAX));
        assert!(heard + summary.unfit <= summary.lines, "{summary:?}");
    }
    for site in sites() {
        let plan = plan(site).expect("a plan");
        let mut hearing = Hearing::of(&plan, Reader::new("bus.log", None));
        let heard = hearing.push(bytes).and_then(|()| hearing.finish());
        assert_eq!(heard.is_ok(), outcome.is_ok());
        match heard {
            Ok(()) => {
                let diagnosis = diagnose_heard(site, &hearing).expect("a plan");
                outputs::of_report(site, &diagnosis);
            }
            Err(error) => outputs::of_refusal(&Sheets::default(), &[error]),
        }
    }
}

/// The reader of the core, byte by byte: each frame is one that the line holds.
pub(super) fn slcan(bytes: &[u8]) {
    let mut reader = slcan::Reader::new();
    let lines = squeezed(bytes);
    let mut ends = 0;
    for byte in bytes {
        ends += usize::from(matches!(byte, b'\r' | 0x07));
        if let Some(Line::Frame(frame, _)) = reader.push(*byte) {
            let text = slcan_words(&frame);
            assert_eq!(slcan::read(text.as_bytes()), Line::Frame(frame, None));
            assert!(is_written(&frame, &lines), "{frame:?} stands nowhere");
            assert!(ends > 0, "a frame without the end of a line");
        }
    }
}

/// The lines in capitals, without spaces and points.
fn squeezed(bytes: &[u8]) -> Vec<String> {
    let lines = bytes.split(|byte| matches!(byte, b'\n' | b'\r' | 0x07));
    lines
        .map(|line| {
            let kept = line.iter().filter(|byte| !byte.is_ascii_whitespace() && **byte != b'.');
            kept.map(|byte| char::from(byte.to_ascii_uppercase())).collect()
        })
        .collect()
}

fn is_written(frame: &Frame, lines: &[String]) -> bool {
    let id = id_words(frame.id());
    let data = digits(frame);
    let length = frame.length();
    let forms = if frame.is_request() {
        [format!("{id}#R"), format!("{id}[{length}]REMOTE"), slcan_words(frame)]
    } else {
        [format!("{id}#{data}"), format!("{id}[{length}]{data}"), slcan_words(frame)]
    };
    let forms = forms.map(|form| form.to_ascii_uppercase());
    lines.iter().any(|line| forms.iter().any(|form| line.contains(form)))
}

/// The data as two digits for each byte.
fn digits(frame: &Frame) -> String {
    frame.data().iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02X}");
        text
    })
}

fn id_words(id: FrameId) -> String {
    match id {
        FrameId::Standard(bits) => format!("{bits:03X}"),
        FrameId::Extended(bits) => format!("{bits:08X}"),
    }
}

/// The frame as an adapter writes it.
fn slcan_words(frame: &Frame) -> String {
    let kind = match (frame.id(), frame.is_request()) {
        (FrameId::Standard(_), false) => 't',
        (FrameId::Extended(_), false) => 'T',
        (FrameId::Standard(_), true) => 'r',
        (FrameId::Extended(_), true) => 'R',
    };
    let data = digits(frame);
    format!("{kind}{}{}{data}", id_words(frame.id()), frame.length())
}
