//! A link as a deck for ngspice: written from the link's numbers, not from the program's circuit.
//!
//! Each wire is a node of its own at every point, and a resistor of a gigaohm from every node to
//! ground keeps cut-off parts solvable. One ampere is pushed between the two wires at each probe in
//! turn: the volts are the ohms.

use crate::{paths, tools};
use coldcheck::meter::circuit::{Between, Where};
use coldcheck::meter::fault::{Cut, Fault};
use coldcheck::meter::fit::Spot;
use coldcheck::meter::topology::{Fitted, Topology, Wire};
use coldcheck::meter::values::Values;
use std::collections::BTreeSet;
use std::fmt::Write;
use std::fs;
use std::process::Command;

/// Resistors with the nodes that they join.
#[derive(Default)]
struct Deck {
    lines: String,
    nodes: BTreeSet<String>,
    count: usize,
}

impl Deck {
    fn resistor(&mut self, one: &str, two: &str, ohms: f64) {
        self.count += 1;
        self.nodes.extend([one.to_owned(), two.to_owned()]);
        let _ = writeln!(self.lines, "R{} {one} {two} {:.9e}", self.count, ohms.max(1e-9));
    }
}

/// The deck of a link with faults, for probes that all have the same cable out.
///
/// # Panics
/// If a terminator is moved from where none is.
pub fn deck(
    topology: &Topology,
    values: &Values,
    faults: &[Fault],
    probes: &[(Spot, Between)],
) -> String {
    let mut deck = Deck::default();
    for (position, point) in topology.points.iter().enumerate() {
        let (h, l) = (format!("h{position}"), format!("l{position}"));
        deck.nodes.extend([h.clone(), l.clone(), format!("g{position}")]);
        let taken = faults.iter().any(|fault| {
            matches!(fault, Fault::Missing { point } | Fault::Moved { from: point, .. } if *point == position)
        });
        let on: Vec<_> = point
            .terminators
            .iter()
            .filter(|one| one.fitted == Fitted::On || values.doubtful_on[position])
            .collect();
        let own = on.len() - usize::from(taken && !on.is_empty());
        for one in on.into_iter().take(own) {
            deck.resistor(&h, &l, one.ohms * values.terminators[position]);
        }
        if point.is_load && values.node > 0.0 {
            deck.resistor(&h, &l, values.node.recip());
        }
    }
    for fault in faults {
        match *fault {
            Fault::Extra { point } => {
                deck.resistor(&format!("h{point}"), &format!("l{point}"), values.extra);
            }
            Fault::Moved { from, to } => {
                let ohms = topology.points[from].terminators.last().expect("one to move").ohms;
                let ohms = ohms * values.terminators[from];
                deck.resistor(&format!("h{to}"), &format!("l{to}"), ohms);
            }
            Fault::Grounded { point, wire, milliohms } => {
                let wire = if wire == Wire::High { 'h' } else { 'l' };
                let ohms = f64::from(milliohms) / 1000.0;
                deck.resistor(&format!("{wire}{point}"), &format!("g{point}"), ohms);
            }
            Fault::Ring { a, b } => {
                let ohms = values.unknown_metres * values.conductor + 2.0 * values.contact;
                for wire in ["h", "l", "g"] {
                    deck.resistor(&format!("{wire}{a}"), &format!("{wire}{b}"), ohms);
                }
            }
            Fault::Missing { .. }
            | Fault::Open { .. }
            | Fault::Loose { .. }
            | Fault::Swapped { .. }
            | Fault::Shorted { .. } => {}
        }
    }
    for bias in &topology.bias {
        let point = bias.point;
        let ohms = 2.0 * bias.ohms / values.rails;
        deck.resistor(&format!("h{point}"), &format!("l{point}"), ohms);
    }
    let pulled = probes.first().and_then(|(spot, _)| spot.pulled);
    let mut shorts = 0;
    for (position, cable) in topology.cables.iter().enumerate() {
        let metres = cable.metres.unwrap_or(values.unknown_metres);
        let wire = metres * values.conductor + 2.0 * values.contact;
        let [mut near, mut far] = cable.ends.map(|end| end.to_string());
        if let Some(pulled) = pulled
            && pulled.cable == position
        {
            let end = if cable.ends[0] == pulled.at { &mut near } else { &mut far };
            "p".clone_into(end);
        }
        let has = |wanted: Fault| faults.contains(&wanted);
        let loose = cable.ends.iter().any(|at| {
            let is_held = pulled.is_some_and(|out| out.cable == position && out.at == *at);
            has(Fault::Loose { cable: position, at: *at }) && !is_held
        });
        let both = loose || has(Fault::Open { cable: position, cut: Cut::Both });
        let one = has(Fault::Open { cable: position, cut: Cut::One });
        let is_shorted = has(Fault::Shorted { cable: position });
        deck.resistor(&format!("g{near}"), &format!("g{far}"), wire);
        for (own, other) in [("h", "l"), ("l", "h")] {
            if both || one && own == "h" {
                continue;
            }
            let land = if has(Fault::Swapped { cable: position }) { other } else { own };
            let (from, to) = (format!("{own}{near}"), format!("{land}{far}"));
            if is_shorted {
                let middle = format!("m{own}{position}");
                let at = values.shorts[shorts].at;
                deck.resistor(&from, &middle, wire * at);
                deck.resistor(&middle, &to, wire * (1.0 - at));
            } else {
                deck.resistor(&from, &to, wire);
            }
        }
        if is_shorted {
            if !both && !one {
                let (h, l) = (format!("mh{position}"), format!("ml{position}"));
                deck.resistor(&h, &l, values.shorts[shorts].ohms);
            }
            shorts += 1;
        }
    }
    finished(deck, probes)
}

fn finished(mut deck: Deck, probes: &[(Spot, Between)]) -> String {
    let ends: Vec<[String; 2]> = probes.iter().map(nodes).collect();
    deck.nodes.extend(ends.iter().flatten().cloned());
    let mut text = "* a link with its faults; one ampere at each probe in turn\n".to_owned();
    text.push_str(&deck.lines);
    for node in &deck.nodes {
        let _ = writeln!(text, "Rz{node} {node} 0 1e9");
    }
    for (probe, [plus, minus]) in ends.iter().enumerate() {
        let _ = writeln!(text, "I{probe} {minus} {plus} dc 0");
    }
    text.push_str(
        ".option reltol=1e-9 abstol=1e-15 vntol=1e-12 gmin=1e-15\n.control\nset numdgt=12\n",
    );
    for (probe, [plus, minus]) in ends.iter().enumerate() {
        let _ = writeln!(
            text,
            "alter i{probe} dc = 1\nop\nlet r{probe} = v({plus}) - v({minus})\nprint r{probe}\n\
             alter i{probe} dc = 0"
        );
    }
    text.push_str("quit\n.endc\n.end\n");
    text
}

fn nodes((spot, between): &(Spot, Between)) -> [String; 2] {
    let at = match spot.place {
        Where::Point(point) => point.to_string(),
        Where::Plug => "p".to_owned(),
    };
    match between {
        Between::Pair => [format!("h{at}"), format!("l{at}")],
        Between::Common(Wire::High) => [format!("h{at}"), format!("g{at}")],
        Between::Common(Wire::Low) => [format!("l{at}"), format!("g{at}")],
    }
}

/// What ngspice says at each probe, in ohms.
///
/// # Panics
/// If it is not there, or says nothing at a probe.
pub fn simulate(name: &str, deck: &str, probes: usize) -> Vec<f64> {
    let folder = paths::scratch("meter");
    fs::create_dir_all(&folder).expect("the target folder is writable");
    let file = folder.join(format!("{name}-{}.cir", std::process::id()));
    fs::write(&file, deck).expect("writable");
    let output = tools::run(Command::new("ngspice").arg("-b").arg(&file));
    let text = String::from_utf8_lossy(&output.stdout).to_lowercase();
    let _ = fs::remove_file(&file);
    let reading = |probe: usize| {
        let key = format!("r{probe} = ");
        let line = text.lines().find_map(|line| line.strip_prefix(&key));
        let number = line.and_then(|line| line.trim().parse().ok());
        number.unwrap_or_else(|| panic!("no reading {probe}\n{deck}\n{text}"))
    };
    (0..probes).map(reading).collect()
}
