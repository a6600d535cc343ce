//! The words that people use, and what they mean. One table for each closed vocabulary.

use crate::fold::Folded;
use coldcheck_core::plan::{
    Arrow, BatteryType, CableKind, Construction, DeviceKind, Leg, Mode, Role, Screen, SensorPlace,
    Terminator, Wiring, YesNo,
};

/// Other words for the members of a closed vocabulary: canonical word, then what people write.
type Synonyms = &'static [(&'static str, &'static [&'static str])];

/// A closed vocabulary with the words people use for it.
#[derive(Clone, Copy, Debug)]
pub struct Vocabulary {
    words: &'static [(&'static str, u8)],
    synonyms: Synonyms,
}

impl Vocabulary {
    /// The vocabulary over these canonical words: with its synonyms if it has any.
    pub fn over(words: &'static [(&'static str, u8)]) -> Self {
        ALL.iter()
            .find(|vocabulary| vocabulary.words == words)
            .copied()
            .unwrap_or(Self { words, synonyms: &[] })
    }

    /// The number of the member that a word means.
    pub fn code(self, word: &Folded) -> Option<u8> {
        let meant = self.synonyms.iter().find(|(_, others)| others.iter().any(|one| word.is(one)));
        let found = match meant {
            Some((canonical, _)) => self.words.iter().find(|(known, _)| known == canonical),
            None => self.words.iter().find(|(known, _)| word.is(known)),
        };
        found.map(|(_, code)| *code)
    }

    /// The canonical word of a member.
    pub fn word(self, code: u32) -> Option<&'static str> {
        self.words.iter().find(|(_, own)| u32::from(*own) == code).map(|(word, _)| *word)
    }

    /// The canonical words.
    pub fn words(self) -> impl Iterator<Item = &'static str> {
        self.words.iter().map(|(word, _)| *word)
    }

    /// All the words that are understood, for proposals.
    pub fn all_words(self) -> impl Iterator<Item = &'static str> {
        self.words().chain(self.synonyms.iter().flat_map(|(_, others)| others.iter().copied()))
    }

    /// The canonical words as a phrase: `a, b or c`.
    pub fn phrase(self) -> String {
        let words: Vec<_> = self.words().collect();
        crate::phrase::one_of(&words)
    }
}

/// Who leads.
pub const ROLE: Vocabulary = Vocabulary {
    words: Role::WORDS,
    synonyms: &[
        ("coordinator", &["lead", "leads", "leader", "main", "head", "first", "primary", "coord"]),
        ("follower", &["helper", "second", "secondary", "follow", "follows"]),
    ],
};

/// Parallel or single.
pub const MODE: Vocabulary = Vocabulary {
    words: Mode::WORDS,
    synonyms: &[
        ("parallel", &["group", "par", "parallel operation"]),
        ("single", &["alone", "stand alone", "standalone", "single unit"]),
    ],
};

/// Legs and phases.
pub const LEG: Vocabulary = Vocabulary {
    words: Leg::WORDS,
    synonyms: &[
        ("L1", &["leg 1", "phase 1", "1", "phase l1", "leg l1"]),
        ("L2", &["leg 2", "phase 2", "2", "phase l2", "leg l2"]),
        ("L3", &["leg 3", "phase 3", "3", "phase l3", "leg l3"]),
    ],
};

/// What a unit does to terminate the link.
pub const TERMINATOR: Vocabulary = Vocabulary {
    words: Terminator::WORDS,
    synonyms: &[
        ("off", &["no", "none", "open", "out", "0", "false", "not fitted"]),
        ("on", &["yes", "in", "1", "true", "closed", "switch on", "switched on", "fitted"]),
        ("plug", &["plugged", "terminator plug", "plug fitted"]),
        ("built in", &["builtin", "internal", "fixed"]),
        ("automatic", &["auto"]),
    ],
};

/// What a cable is for.
pub const CABLE_KIND: Vocabulary = Vocabulary {
    words: CableKind::WORDS,
    synonyms: &[
        (
            "link",
            &[
                "data link",
                "link cable",
                "comm",
                "comms",
                "communication",
                "can",
                "bus",
                "parallel",
                "parallel link",
                "com",
                "data",
            ],
        ),
        (
            "battery",
            &["bms", "battery data", "battery link", "bms data", "bat", "batt", "bms link"],
        ),
        ("sensor", &["ct", "current transformer", "clamp", "sensor lead", "ct lead"]),
        ("meter", &["energy meter", "meter data", "meter link"]),
        (
            "terminator",
            &["terminator plug", "plug", "term", "term plug", "termination", "end plug"],
        ),
        ("pack link", &["pack to pack", "battery to battery"]),
        ("service", &["logger", "display", "computer", "laptop"]),
    ],
};

/// Devices that are neither unit, pack nor sensor.
pub const DEVICE_KIND: Vocabulary = Vocabulary {
    words: DeviceKind::WORDS,
    synonyms: &[
        ("gateway", &["gate way", "can gateway", "bus gateway", "listener"]),
        (
            "splitter",
            &["splitter box", "hub", "joint box", "junction box", "tee", "t piece", "y piece"],
        ),
        (
            "network gear",
            &[
                "router",
                "switch",
                "network switch",
                "ethernet switch",
                "access point",
                "network",
                "network router",
                "modem",
                "poe injector",
                "poe switch",
                "lan switch",
            ],
        ),
        ("meter", &["energy meter", "smart meter", "grid meter"]),
        ("monitor", &["battery monitor", "display", "logger", "data logger", "laptop", "computer"]),
        ("repeater", &["bus repeater"]),
    ],
};

/// Yes and no.
pub const YES_NO: Vocabulary = Vocabulary {
    words: YesNo::WORDS,
    synonyms: &[("yes", &["y", "true", "on", "1"]), ("no", &["n", "false", "off", "0"])],
};

/// Where a sensor's arrow points.
pub const ARROW: Vocabulary = Vocabulary {
    words: Arrow::WORDS,
    synonyms: &[
        ("house", &["load", "loads", "to house", "the house", "home", "inwards", "building"]),
        ("street", &["supply", "grid", "to street", "the street", "outwards", "meter"]),
    ],
};

/// Where a sensor sits.
pub const SENSOR_PLACE: Vocabulary = Vocabulary {
    words: SensorPlace::WORDS,
    synonyms: &[
        ("supply side", &["supply", "grid side", "main", "incomer"]),
        ("load side", &["load", "loads"]),
        ("unit side", &["unit", "inverter side"]),
    ],
};

/// How the plugs of a lead are wired.
pub const WIRING: Vocabulary = Vocabulary {
    words: Wiring::WORDS,
    synonyms: &[
        ("straight", &["straight through", "1 to 1", "patch"]),
        ("crossover, two pairs", &["crossover", "cross over", "crossed"]),
        ("rollover", &["roll over", "rolled"]),
    ],
};

/// How a cable is built.
pub const CONSTRUCTION: Vocabulary = Vocabulary {
    words: Construction::WORDS,
    synonyms: &[
        (
            "twisted pair",
            &[
                "twisted",
                "twisted pairs",
                "tp",
                "utp",
                "stp",
                "ftp",
                "cat 5",
                "cat 5 e",
                "cat 6",
                "cat 6 a",
                "cat 7",
                "screened twisted pair",
                "shielded twisted pair",
            ],
        ),
        ("untwisted", &["flat", "parallel wires", "ribbon", "bell wire", "not twisted"]),
        (
            "telephone",
            &[
                "phone",
                "phone cable",
                "phone cord",
                "telephone cable",
                "telephone cord",
                "telephone lead",
                "telephone cord untwisted",
                "telephone untwisted",
            ],
        ),
        ("solid core", &["solid", "stiff"]),
    ],
};

/// What a unit takes the battery's state from.
pub const BATTERY_TYPE: Vocabulary = Vocabulary {
    words: BatteryType::WORDS,
    synonyms: &[
        ("data link", &["bms", "closed loop", "link", "communicating"]),
        ("volts only", &["voltage", "volts", "open loop", "lead acid", "user"]),
    ],
};

/// What is done with the screen of a cable.
pub const SCREEN: Vocabulary = Vocabulary {
    words: Screen::WORDS,
    synonyms: &[
        ("no screen", &["none", "unscreened", "not screened", "no shield"]),
        ("one end", &["one side", "single", "at one end", "earthed at one end", "1"]),
        ("both ends", &["both", "both sides", "at both ends", "earthed at both ends", "2"]),
        ("not earthed", &["neither", "nowhere", "floating", "open", "at neither end", "0"]),
    ],
};

/// Which code applies.
pub const CODE: Vocabulary = Vocabulary {
    words: &[("NEC", 1), ("IEC", 2)],
    synonyms: &[("NEC", &["nfpa 70"]), ("IEC", &["iec 60364"])],
};

/// What conductors are made of.
pub const METAL: Vocabulary = Vocabulary {
    words: &[("copper", 1), ("aluminium", 2)],
    synonyms: &[("copper", &["cu"]), ("aluminium", &["aluminum", "al"])],
};

/// Insulation of conductors.
pub const INSULATION: Vocabulary = Vocabulary {
    words: &[("60 C", 1), ("75 C", 2), ("90 C", 3), ("PVC", 4), ("XLPE", 5)],
    synonyms: &[("PVC", &["70 c"]), ("XLPE", &["epr"])],
};

/// What terminals stand.
pub const TERMINALS: Vocabulary =
    Vocabulary { words: &[("60 C", 1), ("75 C", 2), ("90 C", 3)], synonyms: &[] };

/// How conductors are laid.
pub const LAID: Vocabulary = Vocabulary {
    words: &[("conduit", 1), ("clipped direct", 2)],
    synonyms: &[
        ("conduit", &["in conduit", "b1", "trunking"]),
        ("clipped direct", &["clipped", "c", "on a wall"]),
    ],
};

/// Where sources sit on a busbar.
pub const BAR_PLACE: Vocabulary = Vocabulary {
    words: &[("far end", 1), ("anywhere", 2)],
    synonyms: &[("far end", &["end", "opposite end"]), ("anywhere", &["elsewhere"])],
};

/// Whose a limit is that is set at every unit.
pub const LIMIT_FOR: Vocabulary = Vocabulary {
    words: &[("unit", 1), ("group", 2)],
    synonyms: &[("unit", &["each unit", "per unit"]), ("group", &["whole group", "all units"])],
};

/// What solar modules are made of.
pub const MODULE_KIND: Vocabulary = Vocabulary {
    words: &[("silicon", 1), ("thin film", 2)],
    synonyms: &[("silicon", &["crystalline silicon", "crystalline"])],
};

/// Every vocabulary that has synonyms.
const ALL: &[Vocabulary] = &[
    ROLE,
    MODE,
    LEG,
    TERMINATOR,
    CABLE_KIND,
    DEVICE_KIND,
    YES_NO,
    ARROW,
    SENSOR_PLACE,
    WIRING,
    CONSTRUCTION,
    SCREEN,
    BATTERY_TYPE,
    CODE,
    METAL,
    INSULATION,
    LAID,
    BAR_PLACE,
    LIMIT_FOR,
    MODULE_KIND,
];

/// Words in front of a number that make a unit's name.
pub const UNIT_STEMS: &[&str] = &["unit", "u", "inverter", "inv", "machine", "units"];

/// Words that make a pack's name, with or without a number.
pub const PACK_STEMS: &[&str] =
    &["pack", "battery", "batt", "bat", "bms", "module", "battery pack", "rack"];

/// Words that make a sensor's name, before its leg.
pub const SENSOR_STEMS: &[&str] = &["ct", "current transformer", "sensor", "clamp"];

/// What people write for an end with nothing in it. A dash folds to nothing.
pub const OPEN_ENDS: &[&str] = &["", "none", "open", "free", "empty", "nothing", "no", "n a"];

/// Words around a socket's name that carry no meaning.
pub const PORT_FILLERS: &[&str] = &["port", "socket", "plug", "jack", "in", "the", "side"];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_synonym_belongs_to_a_member_and_to_one_only() {
        for vocabulary in ALL {
            let mut seen = std::collections::BTreeSet::new();
            for (canonical, others) in vocabulary.synonyms {
                assert!(vocabulary.words().any(|word| word == *canonical), "{canonical}");
                for other in *others {
                    assert!(seen.insert(Folded::of(other)), "{other} stands twice");
                    assert!(
                        vocabulary.words().all(|word| Folded::of(word) != Folded::of(other)),
                        "{other} is canonical already"
                    );
                }
            }
        }
    }
}
