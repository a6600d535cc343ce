//! Limits on a changeover: met, broken, or not to be told from the record; and what is no record.

use coldcheck::changeover::{Request, Verdict, examine};
use coldcheck::render::changeover as render;
use coldcheck_tests::changeover::{outcome, record};
use coldcheck_tests::paths;
use std::f64::consts::TAU;
use std::fmt::Write;
use std::fs;

#[test]
fn a_limit_is_met_broken_or_not_checked() {
    let gap = record(24, |at, right| if (1900..2000).contains(&at) { 0.0 } else { right });
    let cut = record(14, |at, right| if at >= 1900 { 0.0 } else { right });
    let verdict = |text: &str, limit, against_curve| {
        outcome(text, &Request { limit, against_curve, ..Request::default() }).verdict()
    };
    assert_eq!(verdict(&gap, Some(10.3), false), Verdict::Met);
    // It ends at a crossing, where a voltage of 0 and the wave are alike.
    assert_eq!(verdict(&gap, Some(10.05), false), Verdict::NotChecked);
    assert_eq!(verdict(&gap, Some(9.8), false), Verdict::Broken);
    assert_eq!(verdict(&gap, Some(9.8), true), Verdict::Broken);
    assert_eq!(verdict(&gap, None, true), Verdict::Met);
    assert_eq!(verdict(&gap, None, false), Verdict::NotChecked);
    // Of a record that is cut off, only that a short limit is broken is known.
    assert_eq!(verdict(&cut, Some(1000.0), false), Verdict::NotChecked);
    assert_eq!(verdict(&cut, Some(20.0), false), Verdict::Broken);
    assert_eq!(outcome(&cut, &Request::default()).gap_ms(), None);
}

/// The verdict on a record under a limit in milliseconds, and against the curve.
fn verdicts(text: &str, limit: f64) -> [Verdict; 2] {
    let limited = Request { limit: Some(limit), ..Request::default() };
    let curved = Request { against_curve: true, ..Request::default() };
    [limited, curved].map(|request| outcome(text, &request).verdict())
}

#[test]
fn too_little_voltage_counts_however_it_comes() {
    use Verdict::{Broken, Met, NotChecked};
    let at_once = |part: f64, samples: u32| {
        record(60 + samples / 166, move |at, right| {
            if (2000..2000 + samples).contains(&at) { part * right } else { right }
        })
    };
    // Seconds at a part of the voltage, and what the steps of the curve say of it.
    for (part, samples, wanted) in [
        (0.6, 20_000, [Broken, Broken]),
        (0.75, 2000, [Broken, Met]),
        (0.75, 6000, [Broken, Broken]),
        (0.6, 100, [Met, Met]),
    ] {
        assert_eq!(verdicts(&at_once(part, samples), 20.0), wanted, "{part} {samples}");
    }
    // So slowly that the wave is never off the one before.
    let slow = record(300, |at, right| {
        let part = 1.0 - f64::from(at.saturating_sub(3000)) / 30_000.0;
        right * part.max(0.3)
    });
    assert_eq!(verdicts(&slow, 20.0), [Broken, Broken]);
    let text = render::text("r.csv", &outcome(&slow, &Request::default()));
    assert!(text.contains("never went away, but fell to 30 %"), "{text}");
    // Too much: 150 % for 0.2 s is above the curve; 115 % for ever may be.
    let swell = |part: f64, until: u32| {
        record(90, move |at, right| if (3000..until).contains(&at) { part * right } else { right })
    };
    assert_eq!(verdicts(&swell(1.5, 5000), 1000.0)[1], Broken);
    assert_eq!(verdicts(&swell(1.15, 5000), 1000.0)[1], NotChecked);
}

#[test]
fn what_was_not_sampled_is_not_met() {
    let gap = record(60, |at, right| if (1900..2300).contains(&at) { 0.0 } else { right });
    let hole = |line: &str| {
        let time = line.split(',').next().and_then(|time| time.parse::<f64>().ok());
        !time.is_some_and(|time| (0.189..0.231).contains(&time))
    };
    let text = gap.lines().filter(|line| hole(line)).collect::<Vec<_>>().join("\n");
    assert_eq!(verdicts(&text, 20.0), [Verdict::NotChecked; 2]);
}

#[test]
fn the_longest_of_many_counts_and_a_cut_one_is_as_long_as_it_is_seen() {
    // 1,100 gaps of 5 ms, and one of 45 ms behind them.
    let gaps = |at: u32, right: f64| {
        let since = at % 1000;
        let length = if at / 1000 == 1150 { 450 } else { 50 };
        let is_gap = (1..=1100).contains(&(at / 1000)) || at / 1000 == 1150;
        if is_gap && (400..400 + length).contains(&since) { 0.0 } else { right }
    };
    let many = outcome(&record(7000, gaps), &Request { limit: Some(20.0), ..Request::default() });
    assert_eq!(many.verdict(), Verdict::Broken);
    assert!(many.gap_ms().is_some_and(|gap| (gap - 45.0).abs() < 0.3), "{:?}", many.gap_ms());
    assert!(many.shortcomings().iter().any(|one| one.contains("left out")));
    // A short one, and one that is cut off after 400 ms.
    let cut =
        record(60, |at, right| if (1900..1950).contains(&at) || at >= 6000 { 0.0 } else { right });
    assert_eq!(verdicts(&cut, 20.0), [Verdict::Broken; 2]);
}

#[test]
fn what_stands_below_the_numbers_ends_a_record_and_nothing_else_does() {
    let gap = record(24, |at, right| if (1900..2300).contains(&at) { 0.0 } else { right });
    let (head, tail) = gap.split_at(gap.match_indices('\n').nth(1500).expect("lines").0 + 1);
    let request = Request { limit: Some(20.0), ..Request::default() };
    let examined = |text: String| examine("r.csv", text.as_bytes(), &request);
    let blank = examined(format!("{head}\n{tail}\n\nend of record\n")).expect("one record");
    assert_eq!(blank.verdict(), Verdict::Broken);
    for between in ["\n0.15,overload\n", "\nsegment 2\n"] {
        let told = examined(format!("{head}{between}{tail}")).expect_err(between).to_string();
        assert!(told.contains("line 150"), "{told}");
    }
}

#[test]
fn a_spike_is_no_gap_and_a_jump_alone_has_none() {
    let spike = record(24, |at, right| if at == 1900 { 400.0 } else { right });
    assert!(outcome(&spike, &Request::default()).channels[0].events.is_empty());
    let jump = record(24, |at, right| {
        let late = 170.0 * (TAU * 60.0 * f64::from(at) / 10_000.0 - 1.0).sin();
        if at >= 1950 { late } else { right }
    });
    let found = outcome(&jump, &Request::default());
    let event = found.channels[0].longest().expect("a change");
    assert_eq!(found.gap_ms(), Some(0.0));
    let degrees = event.phase_jump().expect("both sines");
    assert!((degrees + 1f64.to_degrees()).abs() < 0.5, "{degrees}");
}

#[test]
fn two_legs_are_away_until_both_are_back() {
    let mut text = String::from("t (ms);L1;L2\n");
    for at in 0..4000_u32 {
        let right = 170.0 * (TAU * 60.0 * f64::from(at) / 10_000.0).sin();
        let one = if (1900..2000).contains(&at) { 0.0 } else { right };
        let two = if (1900..2100).contains(&at) { 0.0 } else { -right };
        let comma = |number: f64| number.to_string().replace('.', ",");
        writeln!(text, "{};{};{}", comma(f64::from(at) / 10.0), comma(one), comma(two))
            .expect("text");
    }
    let found = outcome(&text, &Request::default());
    let names: Vec<_> = found.channels.iter().map(|channel| channel.name.as_str()).collect();
    assert_eq!(names, ["L1", "L2"]);
    let gap = found.gap_ms().expect("an end");
    assert!((gap - 20.0).abs() < 0.2, "{gap}");
    assert_eq!(found.worst().map(|channel| channel.name.as_str()), Some("L2"));
}

#[test]
fn what_shows_no_steady_voltage_is_refused_and_a_slow_record_says_so() {
    for text in
        [record(2, |_, right| right), record(24, |_, _| 0.0), record(24, |at, _| f64::from(at % 7))]
    {
        let told = examine("r.csv", text.as_bytes(), &Request::default()).expect_err("no sine");
        assert!(told.to_string().contains("no steady alternating voltage"), "{told}");
    }
    let whole = record(24, |at, right| if (1900..2000).contains(&at) { 0.0 } else { right });
    let kept = whole.lines().enumerate().filter(|(at, _)| *at == 0 || at % 8 == 1);
    let slow = kept.map(|(_, line)| line).collect::<Vec<_>>().join("\n");
    let found = outcome(&slow, &Request::default());
    assert!(found.shortcomings()[0].contains("21 a cycle"), "{:?}", found.shortcomings());
    let request = Request { limit: Some(1000.0), ..Request::default() };
    assert_eq!(outcome(&slow, &request).verdict(), Verdict::NotChecked);
}

#[test]
fn reports_keep_to_the_published_schema_and_to_eighty_columns() {
    let path = paths::workspace().join("host-cli/assets/changeover.v1.schema.json");
    let schema = serde_json::from_str(&fs::read_to_string(path).expect("the schema"));
    let validator = jsonschema::validator_for(&schema.expect("JSON")).expect("the schema is sound");
    let cut = record(14, |at, right| if at >= 1900 { 0.0 } else { right });
    let gap = record(24, |at, right| if (1900..2000).contains(&at) { 0.0 } else { right });
    for text in [cut, gap, record(24, |_, right| right)] {
        let request = Request { limit: Some(20.0), against_curve: true, ..Request::default() };
        let found = outcome(&text, &request);
        let mut report = render::json("r.csv", &found);
        let errors: Vec<_> = validator.iter_errors(&report).map(|e| e.to_string()).collect();
        assert!(errors.is_empty(), "{errors:?}");
        report["verdict"] = "safe".into();
        assert!(!validator.is_valid(&report));
        for line in render::text("r.csv", &found).lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
}
