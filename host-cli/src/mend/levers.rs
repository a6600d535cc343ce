//! Which kinds of acts bear on what a rule looks at.

use super::cost;
use coldcheck_core::rules::RuleId;

/// A set of kinds of acts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Levers(pub u32);

macro_rules! levers {
    ($($(#[$doc:meta])* $name:ident = $bit:literal, $cost:expr;)+) => {
        impl Levers {
            /// None: what a rule without one finds is beyond any act.
            pub const NONE: Self = Self(0);
            $($(#[$doc])* pub const $name: Self = Self(1 << $bit);)+
            /// Each with the least that an act of it costs; what leads to few acts first.
            pub const ALL: &'static [(Self, u32)] = &[$((Self::$name, $cost),)+];
        }
    };
}

levers! {
    /// Settings of a unit.
    MODE = 0, cost::SETTING;
    /// The number of packs.
    PACKS = 1, cost::SETTING;
    /// The capacity of the bank.
    CAPACITY = 2, cost::SETTING;
    /// The direction of a sensor.
    ARROW = 3, cost::MOVE;
    /// The ratio of a sensor.
    RATIO = 4, cost::SETTING;
    /// The input of a sensor.
    INPUT = 5, cost::MOVE;
    /// The screen of a cable.
    SCREEN = 6, cost::MOVE;
    /// A cable as it is wired and made.
    REPLACE = 7, cost::REPLACE;
    /// Addresses of packs.
    PACK_ADDRESS = 8, cost::SETTING;
    /// Battery types.
    BATTERY_TYPE = 9, cost::SETTING;
    /// Protocols.
    PROTOCOL = 10, cost::SETTING;
    /// Bit rates.
    BIT_RATE = 11, cost::SETTING;
    /// Line formats.
    LINE_FORMAT = 12, cost::SETTING;
    /// Settings that must be alike.
    ALIKE = 13, cost::SETTING;
    /// Unit counts.
    COUNT = 14, cost::SETTING;
    /// Addresses of units.
    ADDRESS = 15, cost::SETTING;
    /// Roles.
    ROLE = 16, cost::SETTING;
    /// Leads of sensors, at the units.
    SENSOR_PLUGS = 17, cost::MOVE;
    /// Leads for sensors that have none.
    SENSOR_LEADS = 22, cost::ADD;
    /// Battery links.
    BATTERY_PLUGS = 18, cost::MOVE;
    /// Terminators.
    TERMINATORS = 19, cost::SETTING;
    /// Terminator plugs.
    TERMINATOR_PLUGS = 20, cost::MOVE;
    /// Conductors of the AC side.
    CONDUCTORS = 23, cost::REJOIN;
    /// Link cables and their plugs.
    LINK_PLUGS = 21, cost::MOVE;
    /// Two plugs of a unit that change places, and plugs in a socket of another kind that make room.
    EXCHANGE = 24, cost::SETTING;
}

impl Levers {
    /// The shape of the link: a terminator plug may hold the socket that a cable needs.
    pub const LINK: Self = Self::LINK_PLUGS.or(Self::TERMINATOR_PLUGS);

    /// Plugs of any kind.
    pub const PLUGS: Self =
        Self::LINK.or(Self::BATTERY_PLUGS).or(Self::SENSOR_PLUGS).or(Self::SENSOR_LEADS);

    /// These without others.
    #[must_use]
    pub const fn without(self, others: Self) -> Self {
        Self(self.0 & !others.0)
    }

    /// Both.
    #[must_use]
    pub const fn or(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Whether one is in both.
    pub const fn meets(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }

    /// The least that an act of these costs.
    pub fn least(self) -> u32 {
        let costs = Self::ALL.iter().filter(|(lever, _)| self.meets(*lever));
        costs.map(|(_, cost)| *cost).min().unwrap_or(0)
    }
}

/// The acts that bear on what a rule looks at, of those that [`super::Act`] knows. A plug of any kind
/// may have to make room first, or to change places with another.
pub const fn levers(rule: RuleId) -> Levers {
    let own = own_levers(rule);
    if own.meets(Levers::PLUGS) { own.or(Levers::EXCHANGE) } else { own }
}

#[allow(clippy::wildcard_enum_match_arm, reason = "a rule that is not named is beyond any act")]
const fn own_levers(rule: RuleId) -> Levers {
    use RuleId as R;
    // The plugs of one kind may be in the way of those of another.
    let plugs = Levers::LINK_PLUGS.or(Levers::BATTERY_PLUGS).or(Levers::TERMINATOR_PLUGS);
    match rule {
        R::LinkSelfLoop
        | R::LinkStar
        | R::LinkBroken
        | R::UnitNotOnLink
        | R::LinkDoubledPair
        | R::LinkRingClosed
        | R::LinkRingOpen
        | R::NetworkGearInLink => Levers::LINK,
        R::LinkInServicePort
        | R::PortPairingAgainstPolicy
        | R::TermPlugWrongSocket
        | R::BmsLeadWrongPort => plugs,
        R::TermMissingBothEnds | R::TermMissingOneEnd | R::TermTooMany | R::TermOnMiddleUnit => {
            Levers::TERMINATORS.or(Levers::TERMINATOR_PLUGS).or(Levers::LINK_PLUGS)
        }
        R::AddressDuplicate | R::AddressOutOfRange | R::AddressGap | R::AddressMissing => {
            Levers::ADDRESS
        }
        R::CoordinatorNone | R::CoordinatorTwo => Levers::ROLE,
        R::CoordinatorAtWrongPlace => Levers::ROLE.or(Levers::ADDRESS).or(Levers::LINK_PLUGS),
        R::CountSettingDiffers | R::CountNotEqualFitted => Levers::COUNT.or(Levers::ROLE),
        R::ParallelModeNotSet => Levers::MODE,
        R::SettingsDifferBetweenUnits => Levers::ALIKE.or(Levers::BATTERY_TYPE),
        R::ProtocolNotMatching => Levers::PROTOCOL.or(Levers::BATTERY_PLUGS),
        R::BitrateMismatch => Levers::BIT_RATE,
        R::SerialRateOrParity => Levers::LINE_FORMAT,
        R::BmsLeadMissing | R::BmsLeadOnTwoUnits | R::BmsLeadFromFollowerPack => {
            Levers::BATTERY_PLUGS
        }
        R::BmsLeadOnFollower => Levers::BATTERY_PLUGS.or(Levers::ROLE),
        R::PackAddressDuplicate => Levers::PACK_ADDRESS,
        R::PackCountMismatch => Levers::PACKS,
        R::BatterySetAsOpenLoop => Levers::BATTERY_TYPE.or(Levers::BATTERY_PLUGS),
        R::CapacityDeclaredWrong => Levers::CAPACITY,
        R::CtOnFollower => Levers::SENSOR_PLUGS.or(Levers::ROLE),
        R::CtLeadMissing | R::CtOneLegMissing => Levers::SENSOR_LEADS,
        R::CtArrowReversed => Levers::ARROW,
        R::CtRatioMismatch => Levers::RATIO,
        R::CtLegsSwapped => Levers::INPUT,
        R::LeadWrongPinout
        | R::CrossoverCable
        | R::ExtraConductorsConnected
        | R::SignalCommonMissing
        | R::LinkCableUnsuitable => Levers::REPLACE,
        R::LinkScreenBothEnds => Levers::SCREEN,
        R::AcLegCrossed
        | R::NeutralNotCommon
        | R::AcEarthMissing
        | R::InputLegsNotAsOutput
        | R::LegAssignmentWrong => Levers::CONDUCTORS,
        _ => Levers::NONE,
    }
}
