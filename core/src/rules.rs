//! The list of all rules, and what is projected from it.
//!
//! To add a rule: write its file, add its `mod` line to the group's list and its line to the
//! table. Lines stand in the order in which rules are checked, so a rule comes after those that
//! can spoil it. Numbers are for the wire only: take a free one of the group, never reuse one.

mod battery_link;
pub(crate) mod examples;
mod firmware;
mod heard;
mod identity;
mod link;
mod port;
mod power;
mod sensor;
mod sheet;
mod step;
mod termination;

use crate::compared::Compared;
use crate::finding::Outcome;
use crate::heard::Heard;
use crate::links::{Known, Links};
use crate::nets::Nets;
use crate::plan::{DataSet, Datum, DemandRecord, Plan, Scope};
use crate::report::{Report, Sink};
use crate::rule::{Check, Rule, Severity};
use step::{DOUBTS, HEARD, HEARD_CHECKS, LINK, LINK_CHECKS, POSITIONS, POWER, POWER_CHECKS, Step};

macro_rules! rule_table {
    ($($name:ident = $number:literal in $group:ident::$file:ident,)+) => {
        /// One rule, by its number on the wire.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[repr(u8)]
        pub enum RuleId {
            $(#[doc = concat!("See `rules/", stringify!($group), "/", stringify!($file), ".rs`.")]
            $name = $number,)+
        }

        crate::log::log_by_position! { RuleId, |rule| rule.position(); $($name)+ }

        impl RuleId {
            /// The number on the wire.
            pub const fn number(self) -> u8 {
                match self { $(Self::$name => $number,)+ }
            }

            /// The rule with its words. For the host.
            pub const fn rule(self) -> &'static Rule {
                match self {
                    $(Self::$name => const { &$group::$file::RULE },)+
                }
            }
        }

        /// Every rule with its words, in the order of checking. For the host: a program that
        /// names this carries all the words.
        pub static RULES: &[(RuleId, Rule)] = &[$((RuleId::$name, $group::$file::RULE),)+];

        /// Every rule, in the order of checking.
        static ORDER: &[RuleId] = &[$(RuleId::$name,)+];

        /// What the runner needs of each rule; only a constant, so that nothing of it is linked
        /// but what the lists below take out.
        const STEPS: &[(Step, Check)] =
            &[$((Step::of(RuleId::$name, &$group::$file::RULE), $group::$file::RULE.check),)+];

        /// The rules that spoil each; only a constant, too.
        const AFTERS: &[&[RuleId]] = &[$($group::$file::RULE.after,)+];

        /// The sets that each rule needs; only a constant, too.
        const NEEDS: &[[u64; 3]] = &[$(step::masks(&$group::$file::RULE.needs),)+];

        /// Each rule with those that leave it in doubt; only a constant, too.
        const DOUBTED: &[(RuleId, &[RuleId])] =
            &[$((RuleId::$name, $group::$file::RULE.needs.doubted_by),)+];
    };
}

rule_table! {
    // What readers find.
    LabelUnknownUnit = 100 in sheet::label_unknown_unit,
    SheetsDisagree = 101 in sheet::sheets_disagree,
    CableIdRepeated = 102 in sheet::cable_id_repeated,
    UnitNameUnclear = 103 in sheet::unit_name_unclear,
    LengthMissing = 104 in sheet::length_missing,
    LengthUnitUnclear = 105 in sheet::length_unit_unclear,
    PortDoesNotExist = 106 in sheet::port_does_not_exist,
    PhotoZeroLetterO = 107 in sheet::photo_zero_letter_o,
    PhotoOneLetterL = 108 in sheet::photo_one_letter_l,
    PhotoEightLetterB = 109 in sheet::photo_eight_letter_b,
    PhotoFiveLetterS = 110 in sheet::photo_five_letter_s,
    PhotoDigitDropped = 111 in sheet::photo_digit_dropped,
    PhotoSimilarDigits = 112 in sheet::photo_similar_digits,
    ListSeparatorChanged = 113 in sheet::list_separator_changed,
    ListSeparatorInText = 114 in sheet::list_separator_in_text,
    ListByteOrderMark = 115 in sheet::list_byte_order_mark,
    ListLineBreakInField = 116 in sheet::list_line_break_in_field,
    ListOddDashesSpaces = 117 in sheet::list_odd_dashes_spaces,
    LabelOrderReversed = 118 in sheet::label_order_reversed,
    SheetNotAfterLastChange = 119 in sheet::sheet_not_after_last_change,
    DrawingWrong = 120 in sheet::drawing_wrong,
    AddressHexDecimal = 53 in identity::address_hex_decimal,
    CableListedFromBothEnds = 121 in sheet::cable_listed_from_both_ends,
    // Ports, pins and cables.
    PortListedTwice = 16 in port::port_listed_twice,
    LinkInServicePort = 18 in port::link_in_service_port,
    NetworkGearInLink = 19 in port::network_gear_in_link,
    LeadWrongPinout = 20 in port::lead_wrong_pinout,
    CrossoverCable = 21 in port::crossover_cable,
    ExtraConductorsConnected = 22 in port::extra_conductors_connected,
    SignalCommonMissing = 23 in port::signal_common_missing,
    PortPairingAgainstPolicy = 17 in port::port_pairing_against_policy,
    // Shape of the link.
    LinkSelfLoop = 1 in link::link_self_loop,
    LinkStar = 7 in link::link_star,
    LinkBroken = 2 in link::link_broken,
    UnitNotOnLink = 3 in link::unit_not_on_link,
    LinkDoubledPair = 9 in link::link_doubled_pair,
    LinkRingClosed = 4 in link::link_ring_closed,
    LinkRingOpen = 5 in link::link_ring_open,
    LinkStubTooLong = 8 in link::link_stub_too_long,
    LinkTooLong = 6 in link::link_too_long,
    LinkCableUnsuitable = 10 in link::link_cable_unsuitable,
    LinkScreenBothEnds = 11 in link::link_screen_both_ends,
    // Termination.
    TermPlugWrongSocket = 37 in termination::term_plug_wrong_socket,
    TermMissingBothEnds = 32 in termination::term_missing_both_ends,
    TermTooMany = 33 in termination::term_too_many,
    TermMissingOneEnd = 34 in termination::term_missing_one_end,
    TermOnMiddleUnit = 35 in termination::term_on_middle_unit,
    TermWrongValue = 36 in termination::term_wrong_value,
    TermListedTwoWays = 38 in termination::term_listed_two_ways,
    // Addresses, roles and counts.
    UnitListedTwice = 58 in identity::unit_listed_twice,
    AddressMissing = 50 in identity::address_missing,
    AddressDuplicate = 44 in identity::address_duplicate,
    AddressOutOfRange = 49 in identity::address_out_of_range,
    AddressGap = 51 in identity::address_gap,
    SwitchesReadBackwards = 52 in identity::switches_read_backwards,
    SwitchKnocked = 54 in identity::switch_knocked,
    CoordinatorNone = 45 in identity::coordinator_none,
    CoordinatorTwo = 46 in identity::coordinator_two,
    CoordinatorAtWrongPlace = 55 in identity::coordinator_at_wrong_place,
    CountSettingDiffers = 47 in identity::count_setting_differs,
    CountNotEqualFitted = 48 in identity::count_not_equal_fitted,
    CountOverLimit = 56 in identity::count_over_limit,
    ParallelModeNotSet = 57 in identity::parallel_mode_not_set,
    // Firmware, settings, protocols and speeds.
    FirmwareMixed = 62 in firmware::firmware_mixed,
    ModelMixed = 63 in firmware::model_mixed,
    SettingsDifferBetweenUnits = 64 in firmware::settings_differ_between_units,
    ProtocolNotMatching = 65 in firmware::protocol_not_matching,
    BitrateMismatch = 66 in firmware::bitrate_mismatch,
    SerialRateOrParity = 67 in firmware::serial_rate_or_parity,
    TwoPollersOnOnePair = 68 in firmware::two_pollers_on_one_pair,
    TwoServicesOnOneBus = 69 in firmware::two_services_on_one_bus,
    // Battery link.
    BmsLeadMissing = 72 in battery_link::bms_lead_missing,
    BmsLeadOnTwoUnits = 75 in battery_link::bms_lead_on_two_units,
    BmsLeadOnFollower = 73 in battery_link::bms_lead_on_follower,
    BmsLeadWrongPort = 74 in battery_link::bms_lead_wrong_port,
    BmsLeadFromFollowerPack = 76 in battery_link::bms_lead_from_follower_pack,
    PackAddressDuplicate = 77 in battery_link::pack_address_duplicate,
    PackCountMismatch = 78 in battery_link::pack_count_mismatch,
    BatterySetAsOpenLoop = 79 in battery_link::battery_set_as_open_loop,
    ChargeLimitOnePack = 80 in battery_link::charge_limit_one_pack,
    MonitorStealsPackLink = 81 in battery_link::monitor_steals_pack_link,
    CapacityDeclaredWrong = 82 in battery_link::capacity_declared_wrong,
    // Sensors.
    CtLeadMissing = 86 in sensor::ct_lead_missing,
    CtOnFollower = 87 in sensor::ct_on_follower,
    CtArrowReversed = 88 in sensor::ct_arrow_reversed,
    CtLegsSwapped = 89 in sensor::ct_legs_swapped,
    CtOneLegMissing = 90 in sensor::ct_one_leg_missing,
    CtRatioMismatch = 91 in sensor::ct_ratio_mismatch,
    CtPlaceWrong = 92 in sensor::ct_place_wrong,
    CtOverrange = 93 in sensor::ct_overrange,
    CtVoltageReferenceMoved = 94 in sensor::ct_voltage_reference_moved,
    MeterAddressOrPoller = 95 in sensor::meter_address_or_poller,
    // Power side.
    BatteryBanksSeparate = 122 in power::battery_banks_separate,
    AcLegCrossed = 123 in power::ac_leg_crossed,
    AcEarthMissing = 124 in power::ac_earth_missing,
    NeutralNotCommon = 125 in power::neutral_not_common,
    NeutralEarthDoubleBond = 126 in power::neutral_earth_double_bond,
    NeutralEarthNoBond = 127 in power::neutral_earth_no_bond,
    PvArrayShared = 128 in power::pv_array_shared,
    // What a gateway hears.
    LoneNodeNoAck = 146 in heard::lone_node_no_ack,
    GatewayOffTheBus = 147 in heard::gateway_off_the_bus,
    GatewayPassive = 148 in heard::gateway_passive,
    NothingHeard = 149 in heard::nothing_heard,
    TwoCoordinatorsHeard = 150 in heard::two_coordinators_heard,
    AddressHeardTwice = 151 in heard::address_heard_twice,
    UnitUnderOtherAddress = 152 in heard::unit_under_other_address,
    UnitSilent = 153 in heard::unit_silent,
    StrangerHeard = 154 in heard::stranger_heard,
    UnitComesAndGoes = 155 in heard::unit_comes_and_goes,
    UnitIdentitySwapped = 156 in heard::unit_identity_swapped,
    RoleHeardDiffers = 157 in heard::role_heard_differs,
    CountHeardDiffers = 158 in heard::count_heard_differs,
    FirmwareHeardDiffers = 159 in heard::firmware_heard_differs,
}

impl RuleId {
    /// The rule at the top of the table.
    pub const FIRST: Self = match STEPS {
        [(first, _), ..] => first.id,
        [] => panic!("the table has rules"),
    };

    /// The rule with this number.
    pub fn from_number(number: u8) -> Option<Self> {
        let position = POSITIONS.get(usize::from(number))?;
        ORDER.get(usize::from(*position)).copied()
    }

    /// Position in the order of checking.
    #[cfg(feature = "defmt")]
    fn position(self) -> u8 {
        POSITIONS.get(self.index()).copied().unwrap_or(u8::MAX)
    }

    /// Position in tables with one row for each number.
    pub fn index(self) -> usize {
        usize::from(self.number())
    }
}

/// Data that belong to the power part of a site; all others belong to communication.
pub const POWER_DATA: DataSet = DataSet::of(&[
    Datum::Bank,
    Datum::AcTerminals,
    Datum::Earth,
    Datum::SolarInputs,
    Datum::Bonds,
    Datum::Changeover,
]);

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
