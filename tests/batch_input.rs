//! `coldcheck batch` as a program: input of every bad kind, order, ranges, files, exit codes.

use coldcheck_tests::lines;
use coldcheck_tests::program::{err, folder, out, program};
use serde_json::Value;
use std::fs;
use std::io::{Read, Write};
use std::process::{Command, Output, Stdio};

const SITE: &str = r#"{"unit":[{"name":"unit 1","bank":"A"},{"name":"unit 2","bank":"B"}]}"#;

fn batch(arguments: &[&str], input: &[u8]) -> Output {
    let mut child = Command::new(program())
        .arg("batch")
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program can be started");
    let mut pipe = child.stdin.take().expect("a pipe");
    let input = input.to_vec();
    // It may end before it has read everything.
    let writer = std::thread::spawn(move || {
        let _ = pipe.write_all(&input);
    });
    let output = child.wait_with_output().expect("it ends");
    writer.join().expect("the writer does not panic");
    output
}

fn reports(output: &Output) -> Vec<Value> {
    out(output).lines().map(|line| serde_json::from_str(line).expect("JSON")).collect()
}

#[test]
fn a_bad_line_says_what_is_wrong_and_the_next_one_is_read() {
    let deep = format!("{{\"a\":{}", "[".repeat(100_000));
    let huge = format!("{{\"site\":\"{}\"}}", "x".repeat(400_000));
    let bad: Vec<(&[u8], &str)> = vec![
        (br#"{"unit":[{"name":"unit 1""#, "errors"),
        (b"unit 1 = coordinator", "this is no JSON object"),
        (b"[1, 2]", "this is no JSON object"),
        (deep.as_bytes(), "nested deeper than 64"),
        (huge.as_bytes(), "longer than 256 KiB"),
        (b"\x00\x01\x02\xff\xfe", "this is no JSON object"),
        (b"{\"site\":\"a\x00b\",\"unit\":[{\"name\":\"unit 1\"}]}", "this is not a text file"),
        (b"", "the line is empty"),
        (b"   ", "the line is empty"),
        (br#"{"site":"a","site":"b","unit":[{"name":"unit 1"}]}"#, "duplicate key"),
        (br#"{"unit":[{"name":"unit 1","address":"ten"}]}"#, "is not understood"),
    ];
    let mut input = Vec::new();
    for (line, _) in &bad {
        input.extend_from_slice(line);
        input.push(b'\n');
        input.extend_from_slice(SITE.as_bytes());
        input.push(b'\n');
    }
    for threads in ["1", "2", "5"] {
        let output = batch(&["--threads", threads], &input);
        assert_eq!(output.status.code(), Some(5), "a danger stands: {}", err(&output));
        let reports = reports(&output);
        assert_eq!(reports.len(), 2 * bad.len());
        for (position, report) in reports.iter().enumerate() {
            assert_eq!(report["line"], position + 1);
            if position % 2 == 1 {
                assert_eq!(report["verdict"], "stop");
                continue;
            }
            let (_, says) = bad[position / 2];
            assert!(report.to_string().contains(says), "{says}: {report}");
            assert!(report["errors"][0]["expected"].is_string(), "{report}");
        }
    }
}

#[test]
fn bytes_that_are_no_utf_8_are_taken_as_check_takes_them() {
    let line = b"{\"site\":\"K\xFCche\",\"unit\":[{\"name\":\"unit 1\"}]}";
    let output = batch(&[], line);
    assert_eq!(reports(&output)[0]["site"], "Küche");
}

#[test]
fn order_is_kept_and_the_number_of_threads_plays_no_part() {
    let lines: Vec<String> = lines::of_sites(0..400).collect();
    let input = lines.join("\n");
    let one = batch(&["--threads", "1"], input.as_bytes());
    let reports = reports(&one);
    assert_eq!(reports.len(), lines.len(), "the last line has no end");
    assert!((1u64..).zip(&reports).all(|(number, report)| report["line"] == number));
    for threads in ["2", "3", "8"] {
        let more = batch(&["--threads", threads], input.as_bytes());
        assert_eq!(more.stdout, one.stdout, "{threads}");
        assert_eq!(more.status.code(), one.status.code());
    }
    let text = out(&one);
    let part: Vec<&str> = text.lines().skip(99).take(201).collect();
    let range = batch(&["--lines", "100-300"], input.as_bytes());
    assert_eq!(out(&range).lines().collect::<Vec<_>>(), part);
    let rest = batch(&["--lines", "301-"], input.as_bytes());
    assert_eq!(out(&rest).lines().count(), 100);
}

#[test]
fn the_exit_code_is_that_of_the_worst_line() {
    let fine = r#"{"unit":[{"name":"unit 1"}],"scope":"communication"}"#;
    let code = |input: &str| batch(&[], input.as_bytes()).status.code();
    assert_eq!(code(""), Some(0), "nothing to do");
    assert_eq!(code(fine), Some(4));
    assert_eq!(code(&format!("{fine}\nno JSON")), Some(2));
    assert_eq!(code(&format!("{fine}\nno JSON\n{SITE}\n")), Some(5));
    let ask = r#"{"unit":[{"name":"unit 1"},{"name":"unit 2"}],"scope":"kitchens"}"#;
    assert_eq!(code(ask), Some(2));
}

#[test]
fn no_file_is_lost() {
    let folder = folder("batch");
    let (sites, reports) = (folder.join("sites.jsonl"), folder.join("reports.jsonl"));
    fs::write(&sites, format!("{SITE}\r\n{SITE}\n")).expect("writable");
    let run = |arguments: &[&str]| {
        let paths = [sites.to_str().expect("text"), "-o", reports.to_str().expect("text")];
        batch(&[&paths, arguments].concat(), b"")
    };
    assert_eq!(run(&[]).status.code(), Some(5));
    let written = fs::read_to_string(&reports).expect("written");
    assert_eq!(written.lines().count(), 2);
    let again = run(&[]);
    assert_eq!(again.status.code(), Some(2));
    assert!(err(&again).contains("--force to overwrite it"), "{}", err(&again));
    assert_eq!(run(&["--force"]).status.code(), Some(5));
    let onto_itself =
        [sites.to_str().expect("text"), "--force", "-o", sites.to_str().expect("text")];
    assert_eq!(batch(&onto_itself, b"").status.code(), Some(2));
    assert_eq!(fs::read_to_string(&sites).expect("still there").lines().count(), 2);
    let missing = batch(&[folder.join("none").to_str().expect("text")], b"");
    assert_eq!(missing.status.code(), Some(2));
}

#[test]
fn a_reader_that_has_seen_enough_ends_the_run_in_silence() {
    let input = folder("batch-pipe").join("sites.jsonl");
    fs::write(&input, format!("{SITE}\n").repeat(3000)).expect("writable");
    for threads in ["1", "2"] {
        let mut child = Command::new(program())
            .args(["batch", "--threads", threads])
            .arg(&input)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        let mut some = [0; 100];
        let mut pipe = child.stdout.take().expect("a pipe");
        pipe.read_exact(&mut some).expect("a report");
        drop(pipe);
        let output = child.wait_with_output().expect("it ends");
        assert_eq!(output.status.code(), Some(0));
        assert_eq!(err(&output), "");
    }
}

#[test]
fn a_line_cannot_make_the_program_read_a_file() {
    let line = r#"{"profile":"/etc/hostname","unit":[{"name":"unit 1"}]}"#;
    let output = batch(&[], line.as_bytes());
    assert_eq!(output.status.code(), Some(2));
    assert!(out(&output).contains("is no built-in profile"), "{}", out(&output));
}

#[test]
fn an_early_report_does_not_wait_for_the_end_of_the_input() {
    let mut child = Command::new(program())
        .arg("batch")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("it starts");
    let mut pipe = child.stdin.take().expect("a pipe");
    writeln!(pipe, "{SITE}").expect("it reads");
    pipe.flush().expect("it reads");
    let mut start = [0; 20];
    child.stdout.as_mut().expect("a pipe").read_exact(&mut start).expect("a report");
    drop(pipe);
    assert!(child.wait().expect("it ends").code() == Some(5));
}
