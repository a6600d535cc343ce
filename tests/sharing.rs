//! Sharing and drop over unequal leads, as the command tells them, against two programs that know
//! nothing of it: a node-voltage solve with numpy (`sharing/solve.py`) and the circuit simulator
//! ngspice. Networks are drawn with a seed.

use coldcheck_tests::generate::Dice;
use coldcheck_tests::python::SHARING;
use coldcheck_tests::sizes::json;
use coldcheck_tests::tools;
use serde_json::{Value, json as object};
use std::fmt::Write;
use std::fs;
use std::io::Write as _;
use std::process::{Command, Stdio};

/// NFPA 70 (NEC) 2023, Chapter 9 Table 8, stranded copper at 75 °C, ohm per 1,000 ft (second-hand).
const OUTPUTS: &[(&str, f64)] = &[("10 AWG", 1.24), ("8 AWG", 0.778), ("6 AWG", 0.491)];
const LEADS: &[(&str, f64)] = &[("1/0 AWG", 0.122), ("2/0 AWG", 0.0967), ("250 kcmil", 0.0515)];
const KILOFOOT_METRES: f64 = 304.8;

const POWER: f64 = 8000.0;
const VOLTS: f64 = 48.0;
const EFFICIENCY: f64 = 0.94;

/// A group of units with a lead each, and the ohms of all leads.
struct Network {
    sheet: String,
    output_ohms: Vec<f64>,
    loop_ohms: Vec<f64>,
}

#[allow(clippy::cast_precision_loss, reason = "a few hundred centimetres")]
fn drawn(seed: u64) -> Network {
    let mut dice = Dice::new(seed);
    let count = 2 + dice.roll(7);
    let mut sheet = format!(
        "code = NEC\nsupply system = split-phase 240 V\nrated power = {POWER} VA\nconductor metal = \
         copper\nbattery = min voltage {VOLTS} V, efficiency 94 %\n"
    );
    let (mut output_ohms, mut loop_ohms) = (Vec::new(), Vec::new());
    for unit in 1..=count {
        let role = if unit == 1 { "coordinator" } else { "follower" };
        let (output, per_output) = OUTPUTS[dice.roll(OUTPUTS.len())];
        let (lead, per_lead) = LEADS[dice.roll(LEADS.len())];
        let [one, other] = [50 + dice.roll(1500), 50 + dice.roll(500)];
        let _ = writeln!(
            sheet,
            "unit {unit} = {role}, addr {unit}, count {count}, output conductor {output}, output lead \
             {one} cm, battery conductor {lead}, battery lead {other} cm"
        );
        let metres = |centimetres: usize| centimetres as f64 / 100.0;
        output_ohms.push(metres(one) * per_output / KILOFOOT_METRES);
        loop_ohms.push(2.0 * metres(other) * per_lead / KILOFOOT_METRES);
    }
    Network { sheet, output_ohms, loop_ohms }
}

/// The value of an id at each unit.
fn at_units(report: &Value, id: &str, count: usize) -> Vec<f64> {
    let all = report["quantities"].as_array().expect("quantities");
    (1..=count)
        .map(|unit| {
            let name = format!("unit {unit}");
            let own = all.iter().find(|one| {
                let units = one["where"]["units"].as_array();
                one["id"] == id && units.is_some_and(|units| units.iter().any(|own| *own == name))
            });
            own.unwrap_or_else(|| panic!("no {id} of {name}"))["value"].as_f64().expect("a number")
        })
        .collect()
}

fn near(own: &[f64], others: &[f64], tolerance: f64, what: &str) {
    assert_eq!(own.len(), others.len(), "{what}");
    for (one, other) in own.iter().zip(others) {
        let scale = other.abs().max(1.0);
        assert!((one - other).abs() <= tolerance * scale, "{what}: {own:?} and {others:?}");
    }
}

/// What a judge says of a network: parts of the AC current, then volts and amperes at the battery.
struct Judged {
    shares: Vec<f64>,
    volts: Vec<f64>,
    amperes: Vec<f64>,
}

fn agree(seeds: std::ops::Range<u64>, judge: impl Fn(&[(Network, f64)]) -> Vec<Judged>) {
    #[allow(clippy::cast_precision_loss, reason = "a few units")]
    let networks: Vec<(Network, f64)> = seeds
        .map(|seed| {
            let network = drawn(seed);
            let total = POWER / 240.0 * network.output_ohms.len() as f64;
            (network, total)
        })
        .collect();
    let judged = judge(&networks);
    assert_eq!(judged.len(), networks.len());
    let mut uneven = 0;
    for ((network, total), judged) in networks.iter().zip(&judged) {
        let report = json(&network.sheet);
        let count = network.output_ohms.len();
        let shares = at_units(&report, "share.current", count);
        near(&shares, &judged.shares, 1e-6, &network.sheet);
        assert!((shares.iter().sum::<f64>() - total).abs() < 1e-6 * total);
        near(
            &at_units(&report, "battery.lead-current", count),
            &judged.amperes,
            1e-6,
            &network.sheet,
        );
        near(&at_units(&report, "battery.lead-volts", count), &judged.volts, 1e-6, &network.sheet);
        // Drop is Ohm's law over the very same leads.
        let drops = at_units(&report, "unit.drop-volts", count);
        let ohms = network.output_ohms.iter();
        let wanted: Vec<f64> = ohms.map(|ohms| 2.0 * ohms * POWER / 240.0).collect();
        near(&drops, &wanted, 1e-9, &network.sheet);
        let largest = shares.iter().fold(0.0, |most: f64, one| most.max(*one));
        #[allow(clippy::cast_precision_loss, reason = "a few units")]
        let is_uneven = largest * count as f64 / total > 1.5;
        uneven += usize::from(is_uneven);
    }
    assert!(uneven > networks.len() / 4, "the networks are too alike: {uneven}");
}

#[test]
#[ignore = "needs Python with numpy; cargo dev test runs it"]
fn shares_agree_with_a_solve_by_numpy() {
    agree(0..60, |networks| {
        let mut input = String::new();
        for (network, total) in networks {
            // One resistance each for AC and battery: the shares of the first, the powers of the second.
            let case = |ohms: &[f64]| object!({ "ohms": ohms, "total": total, "volts": VOLTS, "watts": POWER / EFFICIENCY });
            let _ = writeln!(input, "{}", case(&network.output_ohms));
            let _ = writeln!(input, "{}", case(&network.loop_ohms));
        }
        let program = coldcheck_tests::paths::tests().join("sharing/solve.py");
        let mut child = Command::new(SHARING.python())
            .arg(program)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("its Python, from `cargo dev setup`");
        let mut stdin = child.stdin.take().expect("its input");
        let writer = std::thread::spawn(move || stdin.write_all(input.as_bytes()));
        let output = child.wait_with_output().expect("it ends");
        writer.join().expect("a thread").expect("it reads");
        assert!(output.status.success());
        let answers = String::from_utf8(output.stdout).expect("text");
        let answers: Vec<Value> =
            answers.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect();
        let list = |value: &Value| -> Vec<f64> {
            value
                .as_array()
                .expect("a list")
                .iter()
                .map(|one| one.as_f64().expect("a number"))
                .collect()
        };
        answers
            .chunks(2)
            .map(|pair| Judged {
                shares: list(&pair[0]["shares"]),
                volts: list(&pair[1]["volts"]),
                amperes: list(&pair[1]["amperes"]),
            })
            .collect()
    });
}

/// The deck of a network: outputs as sources of 240 V behind their leads into a bar from which the
/// whole current is taken; units as loads of constant power behind their battery leads.
fn deck(network: &Network, total: f64) -> String {
    let mut deck = "* sharing over leads\n".to_owned();
    for (unit, (output, lead)) in network.output_ohms.iter().zip(&network.loop_ohms).enumerate() {
        let watts = POWER / EFFICIENCY;
        let _ = writeln!(deck, "V{unit} a{unit} 0 DC 240");
        let _ = writeln!(deck, "R{unit} a{unit} bar {output:.12e}");
        let _ = writeln!(deck, "RL{unit} bat d{unit} {lead:.12e}");
        let _ = writeln!(deck, "B{unit} d{unit} 0 I={watts:.12e}/V(d{unit})");
        let _ = writeln!(deck, ".nodeset V(d{unit})={VOLTS}");
    }
    let _ = writeln!(deck, "I1 bar 0 DC {total:.12e}\nVbat bat 0 DC {VOLTS}");
    let _ = writeln!(deck, ".options reltol=1e-9 abstol=1e-9 vntol=1e-9 numdgt=12");
    let _ = writeln!(deck, ".control\nset numdgt=12\nop");
    for unit in 0..network.output_ohms.len() {
        let _ = writeln!(deck, "print -i(V{unit}) v(d{unit}) (v(bat)-v(d{unit}))");
    }
    deck.push_str("quit\n.endc\n.end\n");
    deck
}

#[test]
#[ignore = "needs ngspice; cargo dev test runs it"]
fn shares_agree_with_a_circuit_simulator() {
    let folder = std::env::temp_dir().join(format!("coldcheck-sharing-{}", std::process::id()));
    fs::create_dir_all(&folder).expect("a folder");
    agree(100..130, |networks| {
        let simulated = |(position, (network, total)): (usize, &(Network, f64))| {
            let path = folder.join(format!("{position}.cir"));
            fs::write(&path, deck(network, *total)).expect("the deck");
            let output = tools::run(Command::new("ngspice").arg("-b").arg(&path));
            let text = String::from_utf8_lossy(&output.stdout).into_owned();
            let numbers: Vec<f64> = text
                .lines()
                .filter_map(|line| line.split_once(" = ")?.1.trim().parse().ok())
                .collect();
            let count = network.output_ohms.len();
            assert_eq!(numbers.len(), 3 * count, "{text}");
            let of = |place: usize| numbers.chunks(3).map(move |all| all[place]);
            let lost = of(2).zip(&network.loop_ohms).map(|(volts, ohms)| volts / ohms);
            Judged { shares: of(0).collect(), volts: of(1).collect(), amperes: lost.collect() }
        };
        networks.iter().enumerate().map(simulated).collect()
    });
    fs::remove_dir_all(folder).expect("the folder");
}
