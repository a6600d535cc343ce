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
mod run;
mod sensor;
mod sheet;
mod sizes;
mod step;
mod termination;

pub use run::{check, compare, report_reading};

use crate::plan::{DataSet, Datum};
use crate::rule::{Check, Rule};
use step::{POSITIONS, Step};

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
    LegAssignmentWrong = 129 in power::leg_assignment_wrong,
    InputLegsNotAsOutput = 130 in power::input_legs_not_as_output,
    NeutralNotSwitchedWithBond = 131 in power::neutral_not_switched_with_bond,
    // Equipment of the power side, which the host looks at.
    NoInterlockBackfeed = 132 in power::no_interlock_backfeed,
    TransferTooFast = 133 in power::transfer_too_fast,
    TransferInputsExchanged = 134 in power::transfer_inputs_exchanged,
    GeneratorBondUnknown = 135 in power::generator_bond_unknown,
    NoPrecharge = 136 in power::no_precharge,
    SupplyNotSplitPhase = 137 in power::supply_not_split_phase,
    DcLeadsUnequal = 138 in power::dc_leads_unequal,
    AcLeadsUnequal = 139 in power::ac_leads_unequal,
    GridProfileWrong = 140 in power::grid_profile_wrong,
    LineOnNeutralBar = 141 in power::line_on_neutral_bar,
    // Sizes, which the host computes.
    ConductorTooSmall = 160 in sizes::conductor_too_small,
    BreakerTooLarge = 161 in sizes::breaker_too_large,
    BreakerTooSmall = 162 in sizes::breaker_too_small,
    BreakerSharedWrong = 176 in sizes::breaker_shared_wrong,
    EarthConductorTooSmall = 163 in sizes::earth_conductor_too_small,
    BusbarOverloaded = 164 in sizes::busbar_overloaded,
    VoltageDropHigh = 168 in sizes::voltage_drop_high,
    BatteryFuseTooSmall = 165 in sizes::battery_fuse_too_small,
    BatteryFuseTooLarge = 166 in sizes::battery_fuse_too_large,
    FuseCannotInterrupt = 167 in sizes::fuse_cannot_interrupt,
    BankTooSmall = 177 in sizes::bank_too_small,
    StringVoltageHigh = 169 in sizes::string_voltage_high,
    StringVoltageNearLimit = 170 in sizes::string_voltage_near_limit,
    StringCurrentHigh = 171 in sizes::string_current_high,
    StringFuseMissing = 172 in sizes::string_fuse_missing,
    PvInputMappingWrong = 178 in sizes::pv_input_mapping_wrong,
    SourceLimitTooHigh = 173 in sizes::source_limit_too_high,
    IslandFaultCurrentLow = 174 in sizes::island_fault_current_low,
    SensorBurdenHigh = 175 in sizes::sensor_burden_high,
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
    Datum::InputTerminals,
    Datum::Bonds,
    Datum::Changeover,
]);
