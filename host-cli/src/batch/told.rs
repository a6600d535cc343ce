//! A report of the core as one line, by names that are looked up only for what is written.

use super::report::{self, Findings, Head, Lists};
use coldcheck_core::finding::{Finding, Outcome};
use coldcheck_core::place::{Place, PortId};
use coldcheck_core::report::Report;
use coldcheck_core::rule::Severity;
use coldcheck_core::rules::{RULES, RuleId};
use std::sync::LazyLock;

/// The rules in the order of checking, without their words.
static ORDER: LazyLock<Vec<RuleId>> =
    LazyLock::new(|| RULES.iter().map(|(rule, _)| *rule).collect());

const WORST_FIRST: [Severity; 4] =
    [Severity::Danger, Severity::NoStart, Severity::Degraded, Severity::Note];

/// The people's words for the things of a plan, by their position in it.
pub(super) trait Naming {
    /// A unit's name and the number in it.
    fn unit(&self, position: usize) -> (&str, Option<u16>);
    /// A socket.
    fn port(&self, port: PortId) -> &str;
    /// A cable's label.
    fn cable(&self, position: usize) -> &str;
    /// A pack.
    fn pack(&self, position: usize) -> &str;
    /// A sensor and its leg.
    fn sensor(&self, position: usize) -> (&str, Option<&'static str>);
    /// Another device.
    fn device(&self, position: usize) -> &str;
}

/// Writes the whole line. `outcome` tells how a rule of the readers ended, which the core does not
/// know.
pub(super) fn write(
    head: &Head<'_>,
    report: &Report<'_>,
    names: &impl Naming,
    lists: &mut Lists,
    outcome: impl Fn(RuleId) -> Outcome,
    out: &mut Vec<u8>,
) {
    head.write(out);
    let mut list = Findings::begin(out);
    let found = report.findings();
    if let [one] = found {
        finding(&mut list, report, names, one);
    } else if !found.is_empty() {
        for severity in WORST_FIRST {
            for one in found.iter().filter(|one| one.rule.rule().severity == severity) {
                finding(&mut list, report, names, one);
            }
        }
    }
    list.end();
    sort_out(lists, report, outcome);
    lists.write(out);
    report::data(report.undeclared().iter(), out);
    report::end(out);
}

fn finding(list: &mut Findings<'_>, report: &Report<'_>, names: &impl Naming, finding: &Finding) {
    list.finding(finding.rule);
    for (key, places) in
        [("places", report.places(finding.places)), ("related", report.related(finding.places))]
    {
        if places.iter().any(|place| *place != Place::Group) {
            list.begin_places(key);
            for one in places {
                place(*one, names, list.out());
            }
            list.end_places();
        }
    }
    list.end_finding();
}

fn place(place: Place, names: &impl Naming, out: &mut Vec<u8>) {
    match place {
        Place::Group => {}
        Place::Unit(unit) => {
            let (name, number) = names.unit(unit.index());
            report::unit(name, number, None, false, out);
        }
        Place::Port(unit, port) => {
            let (name, number) = names.unit(unit.index());
            report::unit(name, number, Some(names.port(port)), false, out);
        }
        Place::Terminator(unit) => {
            let (name, number) = names.unit(unit.index());
            report::unit(name, number, None, true, out);
        }
        Place::Cable(cable) => report::thing(b"{\"cable\":", names.cable(cable.index()), out),
        Place::Sensor(sensor) => {
            let (name, leg) = names.sensor(sensor.index());
            report::sensor(name, leg, out);
        }
        Place::Pack(pack) => report::thing(b"{\"pack\":", names.pack(pack.index()), out),
        Place::Device(device) => {
            report::thing(b"{\"device\":", names.device(device.index()), out);
        }
    }
}

/// Puts each rule into the list that it belongs to.
fn sort_out(lists: &mut Lists, report: &Report<'_>, outcome: impl Fn(RuleId) -> Outcome) {
    lists.clear();
    // Unknowns stand in the order of the rules too.
    let mut unknowns = report.unknowns().iter().map(|unknown| unknown.rule).peekable();
    for rule in &*ORDER {
        let open = unknowns.next_if_eq(rule).is_some();
        while unknowns.next_if_eq(rule).is_some() {}
        match outcome(*rule) {
            Outcome::Broken if open => lists.gaps.push(*rule),
            Outcome::NotRun | Outcome::Broken => {}
            Outcome::Met => {
                lists.met += 1;
                if open {
                    lists.gaps.push(*rule);
                }
            }
            Outcome::Missing(_) => lists.missing.push(*rule),
            Outcome::Undemanded(_) => lists.undemanded.push(*rule),
            Outcome::Blocked(_) => lists.blocked.push(*rule),
        }
    }
}
