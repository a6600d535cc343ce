use super::*;
use coldcheck_core::frame::FrameId;

/// What a log says, or why it is none.
fn read(log: &[u8], interface: Option<&str>) -> Result<(Vec<(u32, Said)>, Summary), ReadError> {
    let mut reader = Reader::new("bus.log", interface);
    let mut heard = Vec::new();
    reader.push(log, &mut |entry| heard.push((entry.at.0, entry.said)))?;
    let summary = reader.finish(&mut |entry| heard.push((entry.at.0, entry.said)))?.clone();
    Ok((heard, summary))
}

fn beat(node: u16) -> Said {
    Said::Frame(Frame::new(FrameId::Standard(0x700 + node), &[5]).unwrap())
}

#[test]
fn each_form_is_known_by_what_it_holds() {
    let frames = vec![(0, beat(1)), (500, beat(2))];
    for (log, form) in [
        (&b"(9.0) can0 701#05\n(9.5) can0 702#05\n"[..], Form::Candump),
        (b"# made by hand\n\n(9.0) can0 701#05\r\n (9.5)  can0  702   [1]  05", Form::Candump),
        (b"t7011050000\rt70210501F4\r", Form::Slcan),
        (b"\r\x07V1013\r\nt7011051388\r\nt702105157C\r\n", Form::Slcan),
    ] {
        let (heard, summary) = read(log, None).unwrap();
        assert_eq!(heard, frames, "{}", String::from_utf8_lossy(log));
        assert_eq!((summary.form, summary.unfit), (Some(form), 0));
        assert_eq!((summary.times(), summary.seconds()), (Times::Told, Some(0.5)));
    }
}

#[test]
fn a_log_without_times_says_so() {
    for log in [&b"can0 701 [1] 05\ncan0 702 [1] 05\n"[..], b"t701105\rt702105\r"] {
        let (heard, summary) = read(log, None).unwrap();
        assert_eq!(heard, [(0, beat(1)), (0, beat(2))]);
        assert_eq!((summary.times(), summary.seconds()), (Times::Lacking, None));
    }
    // As candump -td writes it: each time is that since the line before.
    let differences = b"(000.000) can0 701#05\n(001.0) can0 701#05\n(000.1) can0 702#05\n\
                        (000.9) can0 701#05\n(000.1) can0 702#05\n(000.9) can0 701#05\n";
    assert_eq!(read(differences, None).unwrap().1.times(), Times::Unsteady);
}

#[test]
fn what_fits_no_form_is_counted_and_shown() {
    let log = b"ut off) can0 701#05\n(9.0) can0 701#05\nnoise\n\xFF\xFE\n(9.5) can0 702#05\n(9.7";
    let (heard, summary) = read(log, None).unwrap();
    assert_eq!(heard, [(0, beat(1)), (500, beat(2))]);
    assert_eq!((summary.lines, summary.unfit), (6, 4));
    let lines: Vec<_> = summary.shown.iter().map(|unfit| unfit.line).collect();
    assert_eq!(lines, [1, 3, 4]);
}

#[test]
fn what_is_no_log_is_refused_with_its_first_line() {
    let letter = b"Dear all,\nthe plant is on.\n";
    let long = vec![b'x'; 2 * LONGEST_LINE];
    let cables = b"cable,from,to\nC1,U1 A,U2 B\nC2,U2 A,U3 B\nC3,U3 A,U4 B\nC4,U4 A,U5 B\n";
    for log in [&letter[..], &long, &[0; 64], cables] {
        let error = read(log, None).unwrap_err();
        assert_eq!(error.file, "bus.log:1");
        assert!(error.says.ends_with("is no line of a log"), "{error}");
    }
    // No line at all is a log of a bus on which nothing is heard.
    for log in [&b""[..], b"\n\n", b"# nothing yet\n"] {
        assert_eq!(read(log, None).unwrap().0, []);
    }
}

#[test]
fn one_of_several_interfaces_must_be_named() {
    let log = b"(1.0) can0 701#05\n(1.1) can1 702#05\n(1.2) can0 701#05\n";
    let error = read(log, None).unwrap_err();
    assert_eq!(error.says, "the log is of several interfaces: can0, can1");
    let heard = read(log, Some("can1")).unwrap().0;
    assert_eq!(heard, [(0, beat(2))]);
    let error = read(log, Some("can7")).unwrap_err();
    assert_eq!(error.expected.as_deref(), Some("can0 or can1"));
    assert!(read(b"t7011050000\r", Some("can0")).is_err());
}

#[test]
fn the_recorders_own_frames_and_newer_ones_are_kept_apart() {
    let log = b"(1.0) can0 601#40 T\n(1.1) can0 701#05 R\n(1.2) can0 123##1AB\n\
                (1.3) can0 20000040#00\n\t\tbus-off\n(1.4) can0 123#R\n";
    let summary = read(log, None).unwrap().1;
    assert_eq!((summary.sent, summary.frames, summary.others, summary.errors), (1, 2, 1, 1));
    assert_eq!(summary.unfit, 0);
}

#[test]
fn a_log_is_the_same_however_its_pieces_fall() {
    let log = b"(9.0) can0 701#05\n(9.5) can0 702#05\r\nnoise\n(9.6) can0 20000020#00\n";
    let whole = read(log, None).unwrap();
    for cut in 0..log.len() {
        let (front, back) = log.split_at(cut);
        let mut reader = Reader::new("bus.log", None);
        let mut heard = Vec::new();
        for piece in [front, back] {
            reader.push(piece, &mut |entry| heard.push((entry.at.0, entry.said))).unwrap();
        }
        let summary = reader.finish(&mut |_| ()).unwrap().clone();
        assert_eq!((heard, summary), whole, "cut at {cut}");
    }
}
