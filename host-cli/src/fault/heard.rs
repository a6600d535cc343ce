//! Faults that a gateway hears: what is heard of a right group, and every way to break one rule of
//! it at every place, with the answer.
//!
//! ```
//! use coldcheck::fault::{Group, Layout, heard};
//! use coldcheck_core::plan::{Dialect, Terminator};
//!
//! let layout = Layout {
//!     profile: "plain",
//!     order: vec![2, 1, 3],
//!     coordinator: 0,
//!     terminator: Terminator::On,
//! };
//! let mut group = Group::build(layout).expect("a right group");
//! let right = heard::Traffic::of(&mut group, Dialect::CanOpen).expect("every unit has an address");
//! let faults = heard::faults(&group, &right);
//! let silent = faults.iter().find(|fault| fault.done == "unit 1 is silent").expect("a fault");
//! let mut traffic = right.clone();
//! silent.inject(&mut traffic);
//! assert!(right.candump().contains("701#05") && !traffic.candump().contains("701#05"));
//! ```

mod settings;
mod silence;
mod traffic;

pub use traffic::{LASTS_MS, PERIOD_MS, Traffic, Voice};

use super::{Group, Spot};
use coldcheck_core::rules::RuleId;
use std::fmt;
use std::sync::Arc;

/// A finding that a fault must lead to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Where it must point; nowhere is the whole group.
    pub places: Vec<Spot>,
    /// The cable that it must suspect, if any.
    pub cable: Option<Spot>,
}

impl Wanted {
    fn at(places: impl IntoIterator<Item = Spot>) -> Self {
        Self { places: places.into_iter().collect(), cable: None }
    }
}

type Change = Arc<dyn Fn(&mut Traffic) + Send + Sync>;

/// One fault, as it is heard.
#[derive(Clone)]
pub struct HeardFault {
    /// The rule that it breaks.
    pub rule: RuleId,
    /// What was done, for a person; in brackets how it comes to be heard, where one fault is heard in
    /// several ways.
    pub done: String,
    /// What must be found under its rule.
    pub findings: Vec<Wanted>,
    /// Other rules that the same act breaks.
    pub with: Vec<RuleId>,
    change: Change,
}

impl fmt::Debug for HeardFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {} {:?}", self.rule.rule().slug, self.done, self.findings)
    }
}

impl HeardFault {
    /// A fault; its rule is told by the table.
    fn new(
        done: impl Into<String>,
        findings: Vec<Wanted>,
        change: impl Fn(&mut Traffic) + Send + Sync + 'static,
    ) -> Self {
        Self {
            rule: RuleId::FIRST,
            done: done.into(),
            findings,
            with: Vec::new(),
            change: Arc::new(change),
        }
    }

    /// Makes the fault.
    pub fn inject(&self, traffic: &mut Traffic) {
        (self.change)(traffic);
    }
}

/// How the fault of one rule is heard, at every place of a group where it can be.
pub struct HeardWay {
    /// The rule.
    pub rule: RuleId,
    everywhere: fn(&Group, &Traffic) -> Vec<HeardFault>,
}

impl fmt::Debug for HeardWay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.rule.rule().slug)
    }
}

impl HeardWay {
    /// Every fault of the rule in what is heard of a group; none where the dialect cannot tell.
    pub fn faults(&self, group: &Group, right: &Traffic) -> Vec<HeardFault> {
        let told = |fault: HeardFault| HeardFault { rule: self.rule, ..fault };
        (self.everywhere)(group, right).into_iter().map(told).collect()
    }
}

/// Every way to break a rule about what is heard.
pub const WAYS: &[HeardWay] = &[
    HeardWay { rule: RuleId::LoneNodeNoAck, everywhere: silence::nobody_confirms },
    HeardWay { rule: RuleId::GatewayOffTheBus, everywhere: silence::off },
    HeardWay { rule: RuleId::GatewayPassive, everywhere: silence::passive },
    HeardWay { rule: RuleId::NothingHeard, everywhere: silence::nothing },
    HeardWay { rule: RuleId::UnitSilent, everywhere: silence::silent },
    HeardWay { rule: RuleId::UnitComesAndGoes, everywhere: silence::comes_and_goes },
    HeardWay { rule: RuleId::TwoCoordinatorsHeard, everywhere: settings::second_coordinator },
    HeardWay { rule: RuleId::AddressHeardTwice, everywhere: settings::doubled },
    HeardWay { rule: RuleId::UnitUnderOtherAddress, everywhere: settings::other_address },
    HeardWay { rule: RuleId::StrangerHeard, everywhere: settings::stranger },
    HeardWay { rule: RuleId::UnitIdentitySwapped, everywhere: settings::other_serial },
    HeardWay { rule: RuleId::RoleHeardDiffers, everywhere: settings::other_role },
    HeardWay { rule: RuleId::CountHeardDiffers, everywhere: settings::other_count },
    HeardWay { rule: RuleId::FirmwareHeardDiffers, everywhere: settings::other_firmware },
];

/// Every fault of every rule that can be heard of a group.
pub fn faults(group: &Group, right: &Traffic) -> Vec<HeardFault> {
    WAYS.iter().flat_map(|way| way.faults(group, right)).collect()
}
