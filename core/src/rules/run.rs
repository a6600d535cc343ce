//! Runs the rules: what was declared, and what was heard beside it.

use super::step::{DOUBTS, HEARD, HEARD_CHECKS, LINK, LINK_CHECKS, POWER, POWER_CHECKS, Step};
use super::{POWER_DATA, RuleId};
use crate::compared::Compared;
use crate::finding::Outcome;
use crate::heard::Heard;
use crate::links::{Known, Links};
use crate::nets::Nets;
use crate::plan::{DataSet, DemandRecord, Plan, Scope};
use crate::report::{Report, Sink};
use crate::rule::Severity;

/// Checks what was declared against what is demanded, in the plan's scope.
///
/// Afterwards every rule of the stages that ran has exactly one outcome in the report.
///
/// ```
/// use coldcheck_core::finding::{Finding, Outcome, Unknown};
/// use coldcheck_core::place::Place;
/// use coldcheck_core::plan::{Datum, DemandRecord, GroupRecord, Plan, Scope, UnitRecord};
/// use coldcheck_core::report::Report;
/// use coldcheck_core::rules::{RuleId, check};
///
/// let same_address = UnitRecord {
///     declared: (1 << Datum::Address.bit()).into(),
///     address: 7.into(),
///     ..UnitRecord::default()
/// };
/// let demands = DemandRecord::default();
/// let group = GroupRecord { scope: Scope::COMMUNICATION.0, ..GroupRecord::default() };
/// let plan = Plan { units: &[same_address; 2], ..Plan::empty(&demands, &group) };
///
/// let (mut findings, mut places, mut unknowns) =
///     ([Finding::BLANK; 8], [Place::Group; 16], [Unknown::BLANK; 8]);
/// let mut report = Report::new(&mut findings, &mut places, &mut unknowns);
/// check(&plan, &mut report);
/// assert_eq!(report.outcome(RuleId::AddressDuplicate), Outcome::Broken);
/// ```
#[inline(never)]
pub fn check(plan: &Plan<'_>, report: &mut Report<'_>) {
    let scope = plan.group.scope();
    report.add_questions(plan.group.questions.get());
    let mut links = Links::empty(plan);
    links.fill();
    let links = &links;
    let mut in_scope = DataSet::EMPTY;
    if scope.covers(Scope::COMMUNICATION) {
        run(LINK, plan.demands, &links.known, report, &mut |position, sink| {
            if let Some(check) = LINK_CHECKS.get(position) {
                check(links, sink);
            }
        });
        in_scope = DataSet(u64::MAX).without(POWER_DATA);
    }
    if scope.covers(Scope::POWER) {
        let nets = Nets::build(plan, &links.known);
        run(POWER, plan.demands, &links.known, report, &mut |position, sink| {
            if let Some(check) = POWER_CHECKS.get(position) {
                check(&nets, sink);
            }
        });
        in_scope = DataSet(in_scope.0 | POWER_DATA.0);
    }
    leave_in_doubt(report);
    report.set_undeclared(plan.demands.must_declare().without(links.known.whole).and(in_scope));
}

/// Checks what was heard against what was declared; call it after [`check`], on the same report,
/// so that a fault that the plan shows already is told once.
///
/// ```
/// use coldcheck_core::finding::{Finding, Outcome};
/// use coldcheck_core::heard::Heard;
/// use coldcheck_core::place::Place;
/// use coldcheck_core::plan::{DemandRecord, GroupRecord, Plan, Scope};
/// use coldcheck_core::report::Report;
/// use coldcheck_core::rules::{RuleId, check, compare};
///
/// let demands = DemandRecord::default();
/// let group = GroupRecord { scope: Scope::COMMUNICATION.0, ..GroupRecord::default() };
/// let plan = Plan::empty(&demands, &group);
/// let mut findings = [Finding::BLANK; 8];
/// let mut report = Report::new(&mut findings, &mut [], &mut []);
/// check(&plan, &mut report);
/// compare(&plan, &Heard::of(&plan), &mut report);
/// assert_eq!(report.outcome(RuleId::NothingHeard), Outcome::Broken);
/// ```
pub fn compare(plan: &Plan<'_>, heard: &Heard, report: &mut Report<'_>) {
    if !plan.group.scope().covers(Scope::COMMUNICATION) {
        return;
    }
    let mut links = Links::empty(plan);
    links.fill();
    let compared = Compared::build(&links, heard);
    run(HEARD, plan.demands, &compared.known, report, &mut |position, sink| {
        if let Some(check) = HEARD_CHECKS.get(position) {
            check(&compared, sink);
        }
    });
    leave_in_doubt(report);
}

/// A rule that found nothing is not met while a broken one hides what it looks for.
fn leave_in_doubt(report: &mut Report<'_>) {
    // Where nothing is broken, nothing is in doubt.
    if !report.may_spoil() {
        return;
    }
    for (rule, doubted_by) in DOUBTS {
        if report.outcome(*rule) == Outcome::Met && report.outcome(*doubted_by) == Outcome::Broken {
            report.set_outcome(*rule, Outcome::Blocked(*doubted_by));
        }
    }
}

/// Writes the outcome of a rule that a reader finds; called before [`check`]. For the host.
///
/// Without a finding and without an open datum the rule counts as met. Whether a person must
/// answer is not counted here: the plan carries the number of open questions, so that a gateway
/// gives the same verdict.
pub fn report_reading(
    rule: RuleId,
    report: &mut Report<'_>,
    write: impl FnOnce(&mut Sink<'_, '_>),
) {
    let mut sink = Sink::new(report, rule, rule.rule().severity, false);
    write(&mut sink);
    let outcome = sink.outcome();
    report.set_outcome(rule, outcome);
}

/// Runs checks in order; `call` takes the position of one. A rule that is not demanded, is spoilt
/// by another or lacks its data is not called. Not generic: one copy serves all lists.
#[inline(never)]
fn run(
    steps: &[Step],
    demands: &DemandRecord,
    known: &Known,
    report: &mut Report<'_>,
    call: &mut dyn FnMut(usize, &mut Sink<'_, '_>),
) {
    let mut sink = Sink::new(report, RuleId::FIRST, Severity::Note, false);
    for (position, step) in steps.iter().enumerate() {
        let outcome = if let Some(demand) = step.undemanded(demands) {
            Outcome::Undemanded(demand)
        } else if let Some(cause) = step.spoilt_by(sink.report()) {
            Outcome::Blocked(cause)
        } else if let Some(datum) = step.missing(known) {
            Outcome::Missing(datum)
        } else {
            sink.begin(step.id, step.severity, step.asks);
            call(position, &mut sink);
            for datum in step.partial(known).iter() {
                sink.gap(datum);
            }
            sink.outcome()
        };
        sink.report().set_outcome(step.id, outcome);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reader_without_a_finding_has_met_its_rule() {
        let mut report = Report::new(&mut [], &mut [], &mut []);
        report_reading(RuleId::LengthMissing, &mut report, |_| ());
        assert_eq!(report.outcome(RuleId::LengthMissing), Outcome::Met);
        report_reading(RuleId::SheetsDisagree, &mut report, |sink| {
            sink.add();
        });
        assert_eq!(report.outcome(RuleId::SheetsDisagree), Outcome::Broken);
    }

    #[test]
    fn what_is_hidden_is_not_met_and_what_is_found_stands() {
        use crate::plan::{CableKind, DeviceKind};
        use crate::trial::{A, Trial, at, at_device};
        let gear = Trial::line(3).device(DeviceKind::NetworkGear, None);
        let hidden = gear
            .clone()
            .move_end(0, 1, at_device(0))
            .cable(CableKind::Link, [at_device(0), at(1, 1)]);
        let waits = Outcome::Blocked(RuleId::NetworkGearInLink);
        assert_eq!(hidden.check().outcome(RuleId::LinkDoubledPair), waits);
        let found = hidden.link((2, A), (1, 3), 2000);
        assert_eq!(found.check().outcome(RuleId::LinkDoubledPair), Outcome::Broken);
    }
}
