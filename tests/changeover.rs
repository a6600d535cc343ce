//! Changeover records against what they were made from, and against independent programs.

use coldcheck::changeover::{Outcome, Request, Verdict, examine};
use coldcheck::render::changeover as render;
use coldcheck_tests::{generate::Dice, paths};
use serde_json::Value;
use std::f64::consts::TAU;
use std::fmt::Write;
use std::fs;

fn outcome(text: &str, request: &Request) -> Outcome {
    examine("record.csv", text.as_bytes(), request).expect("a record")
}

/// The records of `tests/facts/changeover`: made with exactly known gaps, with what a reference
/// analysis finds in them and how far off another one may be.
#[test]
fn records_show_what_they_were_made_from() {
    let folder = paths::tests().join("facts/changeover");
    let truth = fs::read_to_string(folder.join("truth.json")).expect("the truth");
    let truth: Value = serde_json::from_str(&truth).expect("it is JSON");
    let number = |value: &Value| value.as_f64();
    let tolerance = |key: &str| truth["tolerances"][key].as_f64().expect("a tolerance");
    let records = truth["records"].as_array().expect("records");
    assert_eq!(records.len(), 8);
    for record in records {
        let file = record["file"].as_str().expect("a name");
        let text = fs::read_to_string(folder.join(file)).expect("a record");
        let request = Request { nominal: Some(120.0), ..Request::default() };
        let found = outcome(&text, &request);
        let (exact, expected) = (&record["exact"], &record["expected"]);
        let near = |own: Option<f64>, wanted: Option<f64>, off: f64, what: &str| {
            let (own, wanted) = (own.unwrap_or(f64::NAN), wanted.unwrap_or(f64::NAN));
            assert!((own - wanted).abs() <= off, "{file}: {what}: {own} for {wanted}");
        };
        near(found.gap_ms(), number(&exact["gap_ms"]), 0.3, "gap");
        near(found.gap_ms(), number(&exact["gap_ms"]), tolerance("waveform_gap_ms"), "gap");
        let channel = &found.channels[0];
        near(Some(channel.first.rms()), number(&expected["pre_urms_v"]), 0.1, "before");
        near(Some(channel.first.offset), number(&expected["dc_offset_v"]), 0.15, "offset");
        near(Some(channel.first.frequency()), Some(60.0), 0.02, "frequency");
        let accept = expected["urms_half_min_v_accept"].as_array().expect("a range");
        let lowest = channel.lowest.expect("a value");
        assert!(
            number(&accept[0]) <= Some(lowest) && Some(lowest) <= number(&accept[1]),
            "{file}: {lowest}"
        );
        if expected["dip_detected"] == true {
            near(found.dip_ms(), number(&expected["dip_duration_ms"]), 8.4, "dip");
        } else {
            assert_eq!(found.dip_ms(), Some(0.0), "{file}");
        }
        match channel.longest() {
            Some(event) => {
                near(
                    Some(event.start),
                    number(&exact["gap_start_s"]),
                    tolerance("gap_edges_s"),
                    "start",
                );
                near(event.end, number(&exact["gap_end_s"]), tolerance("gap_edges_s"), "end");
                near(
                    event.phase_jump(),
                    number(&exact["phase_jump_deg"]),
                    tolerance("phase_jump_deg"),
                    "jump",
                );
            }
            None => assert_eq!(number(&exact["gap_ms"]), Some(0.0), "{file}"),
        }
        let inside = record["itic"].as_str().expect("words").starts_with("inside");
        assert_eq!(found.within_curve(), Some(inside), "{file}");
        if let Some(closed) = number(&exact["closed_form_lowest_one_cycle_rms_v"]) {
            // The half-cycle grid need not hit the lowest cycle.
            assert!(lowest >= closed - 0.6, "{file}: {lowest} below {closed}");
        }
    }
}

/// A record with a gap, made as the fact sheet's are: the voltage is 0 from one moment to another.
struct Made {
    rate: f64,
    frequency: f64,
    peak: f64,
    angle: f64,
    gap: f64,
    jump: f64,
    noise: f64,
    offset: f64,
}

const GAP_AT: f64 = 0.2;

/// Optimised there is time for more.
const ROUNDS: usize = if cfg!(debug_assertions) { 40 } else { 3000 };

impl Made {
    fn drawn(dice: &mut Dice) -> Self {
        let mut between = |low: f64, high: f64| {
            let part = f64::from(u32::try_from(dice.roll(1_000_001)).expect("small")) / 1e6;
            low + part * (high - low)
        };
        Self {
            rate: 5000.0 * between(0.0, 20f64.ln()).exp(),
            frequency: between(49.5, 60.5),
            peak: between(150.0, 340.0),
            angle: between(0.0, TAU),
            gap: between(0.002, 0.050),
            jump: between(-60.0, 60.0),
            noise: between(0.0, 0.01),
            offset: between(-0.02, 0.02),
        }
    }

    /// The record, with the samples that are 0 before noise and offset.
    fn text(&self, dice: &mut Dice) -> String {
        let mut text = String::from("time_s,volts\n");
        let mut time = 0.0;
        while time < GAP_AT + self.gap + 0.15 {
            let jump = if time < GAP_AT { 0.0 } else { self.jump.to_radians() };
            let angle = TAU * self.frequency * (time - GAP_AT) + self.angle + jump;
            let is_gap = (GAP_AT..GAP_AT + self.gap).contains(&time);
            // Four dice come near enough to a bell.
            let rolls: usize = (0..4).map(|_| dice.roll(2001)).sum();
            let noise = (f64::from(u32::try_from(rolls).expect("small")) - 4000.0) / 1155.0;
            let own = if is_gap { 0.0 } else { angle.sin() };
            let volts = self.peak * (own + noise * self.noise + self.offset);
            writeln!(text, "{time:.7},{volts:.4}").expect("a text");
            time += 1.0 / self.rate;
        }
        text
    }
}

#[test]
fn gaps_are_found_at_any_rate_angle_and_jump_with_noise_and_offset() {
    let mut dice = Dice::new(20_261_127);
    let (mut worst, mut far) = (0.0_f64, Vec::new());
    for round in 0..ROUNDS {
        let made = Made::drawn(&mut dice);
        let text = made.text(&mut dice);
        let found = outcome(&text, &Request::default());
        let gap = found.gap_ms().unwrap_or(f64::NAN);
        let off = (gap - made.gap * 1000.0).abs();
        let jump = found.channels[0].longest().and_then(|event| event.phase_jump());
        let jump_off = jump.map_or(f64::NAN, |jump| (jump - made.jump).abs());
        if !(off <= 0.3 && jump_off <= 2.0) {
            far.push(format!(
                "{round}: {:.0}/s {:.2} Hz gap {:.3} angle {:.0} jump {:.0} noise {:.4} offset {:.3}: \
                 {gap:.3} ms, jump {jump:?}",
                made.rate, made.frequency, made.gap * 1000.0, made.angle.to_degrees(), made.jump,
                made.noise, made.offset,
            ));
        }
        worst = worst.max(off);
    }
    assert!(far.is_empty(), "worst {worst:.3} ms; {} far:\n{}", far.len(), far.join("\n"));
}

/// A right record of so many cycles of 60 Hz at 10 kHz, with what stands in place of some volts.
fn record(cycles: u32, volts: impl Fn(u32, f64) -> f64) -> String {
    let mut text = String::from("time_s,volts\n");
    for at in 0..cycles * 10_000 / 60 {
        let time = f64::from(at) / 10_000.0;
        let right = 170.0 * (TAU * 60.0 * time).sin();
        writeln!(text, "{time},{}", volts(at, right)).expect("a text");
    }
    text
}

#[test]
fn a_limit_is_met_broken_or_not_checked() {
    let gap = record(24, |at, right| if (1900..2000).contains(&at) { 0.0 } else { right });
    let cut = record(14, |at, right| if at >= 1900 { 0.0 } else { right });
    let verdict = |text: &str, limit, against_curve| {
        outcome(text, &Request { limit, against_curve, ..Request::default() }).verdict()
    };
    assert_eq!(verdict(&gap, Some(10.1), false), Verdict::Met);
    assert_eq!(verdict(&gap, Some(9.8), false), Verdict::Broken);
    assert_eq!(verdict(&gap, Some(9.8), true), Verdict::Broken);
    assert_eq!(verdict(&gap, None, true), Verdict::Met);
    assert_eq!(verdict(&gap, None, false), Verdict::NotChecked);
    // Of a record that is cut off, only that a short limit is broken is known.
    assert_eq!(verdict(&cut, Some(1000.0), false), Verdict::NotChecked);
    assert_eq!(verdict(&cut, Some(20.0), false), Verdict::Broken);
    assert_eq!(outcome(&cut, &Request::default()).gap_ms(), None);
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
        assert!(told.to_string().contains("three cycles"), "{told}");
    }
    let whole = record(24, |at, right| if (1900..2000).contains(&at) { 0.0 } else { right });
    let kept = whole.lines().enumerate().filter(|(at, _)| *at == 0 || at % 8 == 1);
    let slow = kept.map(|(_, line)| line).collect::<Vec<_>>().join("\n");
    let found = outcome(&slow, &Request::default());
    assert!(found.shortcomings()[0].contains("21 samples"), "{:?}", found.shortcomings());
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
