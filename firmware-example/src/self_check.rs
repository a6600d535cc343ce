//! The gateway finds a fault that it knows of, before it is believed that it finds none.

use coldcheck_core::finding::{Finding, Outcome};
use coldcheck_core::place::Place;
use coldcheck_core::plan::{Datum, DemandRecord, GroupRecord, Plan, Scope, UnitRecord};
use coldcheck_core::report::Report;
use coldcheck_core::rules::RuleId;

/// Whether two units with one address are found.
#[inline(never)]
pub(crate) fn finds_a_fault() -> bool {
    let unit = UnitRecord {
        declared: (1 << Datum::Address.bit()).into(),
        address: 7.into(),
        ..UnitRecord::default()
    };
    let demands = DemandRecord::default();
    let group = GroupRecord { scope: Scope::COMMUNICATION.0, ..GroupRecord::default() };
    let plan = Plan { units: &[unit; 2], ..Plan::empty(&demands, &group) };
    let (mut findings, mut places) = ([Finding::BLANK; 4], [Place::Group; 8]);
    let mut report = Report::new(&mut findings, &mut places, &mut []);
    coldcheck_core::check(&plan, &mut report);
    report.outcome(RuleId::AddressDuplicate) == Outcome::Broken
}
