//! What is heard, held against packages that share nothing with this program: python-can,
//! canopen, can-j1939 and cantools.
//!
//! Ignored in a plain `cargo test`, because they need Python; `cargo dev test` runs them.

use coldcheck::log::{Entry, Form, Reader, Said, Summary, Times};
use coldcheck_core::frame::{Frame, FrameId};
use coldcheck_core::heard::{Listener, Sighting};
use coldcheck_core::plan::{Demand, DemandRecord, DemandSet, Dialect, GroupRecord, Plan};
use coldcheck_tests::listening::{lines, made};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// How many frames of each kind.
const COUNT: usize = 3000;

fn folder() -> &'static PathBuf {
    static FOLDER: OnceLock<PathBuf> = OnceLock::new();
    FOLDER.get_or_init(|| made(COUNT))
}

/// What a log says: the time as written, and what was said.
fn read(path: &Path) -> (Vec<(Option<u64>, Said)>, Summary) {
    let mut reader = Reader::new("made", None);
    let mut said = Vec::new();
    let take = &mut |entry: Entry<'_>| said.push((entry.stamp.map(|stamp| stamp.0), entry.said));
    reader.push(&fs::read(path).expect("the log is there"), take).expect("a log");
    let summary = reader.finish(take).expect("a log").clone();
    (said, summary)
}

fn number(value: &Value) -> u32 {
    u32::try_from(value.as_u64().expect("a number")).expect("a small number")
}

fn bytes(value: &Value) -> Vec<u8> {
    let digits = value.as_str().expect("digits");
    let pairs = digits.as_bytes().chunks(2).map(|pair| std::str::from_utf8(pair).expect("ASCII"));
    pairs.map(|pair| u8::from_str_radix(pair, 16).expect("digits")).collect()
}

/// The frame that a package was given. `keeps_length` is whether its form writes down how much a
/// request asks for.
fn given(entry: &Value, keeps_length: bool) -> Frame {
    let bits = number(&entry["id"]);
    let id = if entry["extended"] == true {
        FrameId::extended(bits)
    } else {
        FrameId::standard(u16::try_from(bits).expect("11 bits"))
    };
    let id = id.expect("an identifier");
    let length = u8::try_from(number(&entry["length"])).expect("a length");
    let frame = if entry["remote"] == true {
        Frame::request(id, if keeps_length { length } else { 0 })
    } else {
        Frame::new(id, &bytes(&entry["data"]))
    };
    frame.expect("a frame")
}

#[test]
#[ignore = "needs Python with python-can; cargo dev test runs it"]
fn a_log_by_python_can_is_read_as_it_was_written() {
    let (said, summary) = read(&folder().join("written.log"));
    let wanted = lines(folder(), "written.jsonl");
    assert_eq!((said.len(), summary.unfit, summary.form), (COUNT, 0, Some(Form::Candump)));
    assert_eq!(summary.times(), Times::Told);
    for ((stamp, said), entry) in said.iter().zip(&wanted) {
        assert_eq!(*stamp, entry["microseconds"].as_u64(), "{entry}");
        match (said, entry["kind"].as_str().expect("a kind")) {
            (Said::Frame(frame), "frame") | (Said::Sent(frame), "sent") => {
                assert_eq!(*frame, given(entry, false), "{entry}");
            }
            (Said::Other, "other") | (Said::Error(_), "error") => {}
            _ => panic!("{said:?} was {entry}"),
        }
    }
}

#[test]
#[ignore = "needs Python with python-can; cargo dev test runs it"]
fn lines_of_python_can_for_an_adapter_are_read_as_they_were_sent() {
    let (said, summary) = read(&folder().join("slcan.txt"));
    let wanted = lines(folder(), "slcan.jsonl");
    assert_eq!((said.len(), summary.unfit, summary.form), (COUNT, 0, Some(Form::Slcan)));
    assert_eq!(summary.times(), Times::Lacking);
    for ((_, said), entry) in said.iter().zip(&wanted) {
        assert_eq!(*said, Said::Frame(given(entry, true)), "{entry}");
    }
}

/// What a dialect says of a frame.
fn sighting(dialect: Dialect, frame: &Frame) -> Option<Sighting> {
    let stated = DemandSet::of(&[Demand::Dialect]).0.into();
    let mut demands = DemandRecord { stated, ..DemandRecord::default() };
    let place = usize::try_from(Demand::Dialect.position()).expect("a small number");
    demands.values[place] = u32::from(dialect.code()).into();
    let group = GroupRecord::default();
    let plan = Plan::empty(&demands, &group);
    Listener::of(&plan).expect("a dialect is demanded").read(frame)
}

#[test]
#[ignore = "needs Python with canopen; cargo dev test runs it"]
fn nodes_and_states_are_those_that_canopen_sees() {
    let (mut beats, mut starts, mut others) = (0, 0, 0);
    for entry in lines(folder(), "canopen.jsonl") {
        let bits = u16::try_from(number(&entry["id"])).expect("11 bits");
        let data = bytes(&entry["data"]);
        let id = FrameId::standard(bits).expect("11 bits");
        let told = sighting(Dialect::CanOpen, &Frame::new(id, &data).expect("short"));
        let node = entry["node"].as_u64();
        if let Some(told) = told {
            assert_eq!(Some(u64::from(told.address)), node, "{entry}");
            // A node and its state are told by one byte of a heartbeat.
            match entry["state"].as_u64() {
                Some(0) => assert!(told.is_start && !told.is_beat, "{entry}"),
                Some(_) => assert!(told.is_beat && !told.is_start, "{entry}"),
                None => assert!(!told.is_beat && !told.is_start, "{entry}"),
            }
            beats += u32::from(told.is_beat);
            starts += u32::from(told.is_start);
        } else {
            // Process data and requests are left alone, and a heartbeat has one byte.
            let is_left = matches!(bits & 0x780, 0x000 | 0x180 | 0x600);
            let is_odd = bits & 0x780 == 0x700 && data.len() != 1;
            assert!(node.is_none() || is_left || is_odd, "{entry}");
            others += 1;
        }
    }
    assert!(beats > 300 && starts > 100 && others > 300, "{beats} {starts} {others}");
}

#[test]
#[ignore = "needs Python with can-j1939 and cantools; cargo dev test runs it"]
fn addresses_and_names_are_those_that_can_j1939_and_cantools_write() {
    let mut claims = 0;
    for entry in lines(folder(), "j1939.jsonl") {
        assert_eq!(entry["id"], entry["id_by_cantools"], "the packages differ: {entry}");
        let id = FrameId::extended(number(&entry["id"])).expect("29 bits");
        let frame = Frame::new(id, &bytes(&entry["data"])).expect("eight bytes");
        let told = sighting(Dialect::J1939, &frame).expect("every source is a unit's");
        assert_eq!(u32::from(told.address), number(&entry["source"]), "{entry}");
        let name: u64 = entry["name"].as_str().and_then(|name| name.parse().ok()).expect("a NAME");
        let wanted = (entry["claims"] == true).then_some(name);
        assert_eq!(told.identity, wanted, "{entry}");
        claims += u32::from(wanted.is_some());
    }
    assert!(claims > 1000, "{claims}");
}
