//! Other words that people use for a demand, beside its own key.

use crate::field::Field;
use crate::fold::Folded;
use coldcheck_core::plan::Demand;
use std::collections::BTreeMap;
use std::sync::LazyLock;

const OTHERS: &[(Demand, &[&str])] = &[
    (Demand::UnitsMin, &["fewest units", "minimum units", "units at least"]),
    (Demand::UnitsMax, &["most units", "maximum units", "units at most", "unit limit"]),
    (Demand::Pairing, &["socket pairing", "pairing", "link sockets"]),
    (Demand::Medium, &["bus", "link medium"]),
    (Demand::LinkShape, &["shape", "topology", "shape of the link"]),
    (
        Demand::MaxCable,
        &["max cable length", "longest cable", "max link cable", "longest link cable"],
    ),
    (
        Demand::MaxLinkTotal,
        &["max link length", "max link", "longest link", "max total length", "link total at most"],
    ),
    (Demand::MaxStub, &["max stub length", "longest stub", "max side branch"]),
    (Demand::MaxStubTotal, &["longest stubs total"]),
    (Demand::TerminatorsAt, &["terminators belong at", "termination at"]),
    (
        Demand::TerminatorOhms,
        &["terminator ohms", "terminator resistance", "terminator must be", "value of terminator"],
    ),
    (Demand::AddressRange, &["allowed addresses", "addresses allowed", "addresses from to"]),
    (
        Demand::AddressesContiguous,
        &["contiguous addresses", "addresses follow each other", "addresses contiguous"],
    ),
    (Demand::CoordinatorAddress, &["address of the coordinator", "coordinator must have address"]),
    (
        Demand::CoordinatorPlace,
        &["coordinator at", "coordinator sits at", "coordinator must sit", "coordinator position"],
    ),
    (Demand::CountSetting, &["count set on", "unit count on"]),
    (
        Demand::BatteryLinkOwner,
        &["battery link belongs to", "battery link owner", "bms link at", "bms at"],
    ),
    (Demand::SensorOwner, &["sensors belong to", "sensor owner", "cts at", "ct leads at"]),
    (Demand::Sensors, &["sensors needed", "number of sensors", "number of cts", "cts needed"]),
    (Demand::SensorRatio, &["ct ratio must be", "sensor ratio must be", "ct ratio demanded"]),
    (
        Demand::ArrowTowards,
        &["arrows must point to", "ct arrow must point to", "ct arrows must point to"],
    ),
    (Demand::BatteryBanks, &["banks", "number of banks"]),
    (
        Demand::FirmwareAlike,
        &["same firmware", "firmware must agree", "like firmware", "firmware must be alike"],
    ),
    (
        Demand::ModelAlike,
        &["same model", "models alike", "same type", "like models", "model must agree"],
    ),
    (Demand::ModeDemanded, &["mode must be"]),
    (
        Demand::LeadWiring,
        &["link wiring", "link lead wiring", "link cable wiring", "link lead must be wired"],
    ),
    (
        Demand::BatteryLeadWiring,
        &["battery link wiring", "battery cable wiring", "bms lead wiring", "bms wiring"],
    ),
    (Demand::PairPins, &["pair pins", "link pair pins", "pins of the link pair"]),
    (Demand::WiredPins, &["allowed pins", "link pins allowed", "pins that may carry a wire"]),
    (Demand::CommonPin, &["pin of the common", "common on pin", "signal common pin"]),
    (
        Demand::SettingsAlike,
        &["settings that must agree", "settings must agree", "same settings", "must agree"],
    ),
    (
        Demand::SensorsOn,
        &["ct place must be", "sensor place must be", "sensors must sit on", "cts sit on"],
    ),
    (Demand::DoubledPairs, &["two cables between units", "doubled cables"]),
    (Demand::SolarVoltsMax, &["solar input max voltage", "highest solar voltage"]),
    (Demand::SolarAmperesMax, &["solar input max current", "highest solar current"]),
    (Demand::ChangeoverGap, &["shortest changeover gap", "changeover gap at least"]),
];

/// The demand that these words state: its own words or others for it, in whatever order.
pub fn find(words: &Folded) -> Option<Demand> {
    static INDEX: LazyLock<BTreeMap<Folded, Demand>> = LazyLock::new(|| {
        let own = Demand::ALL.iter().map(|demand| (*demand, demand.key()));
        let others =
            OTHERS.iter().flat_map(|(demand, others)| others.iter().map(|other| (*demand, *other)));
        own.chain(others)
            .flat_map(|(demand, phrase)| {
                let exact = Folded::of(phrase);
                [exact.in_any_order(), Some(exact)]
                    .into_iter()
                    .flatten()
                    .map(move |key| (key, demand))
            })
            .collect()
    });
    INDEX.get(words).or_else(|| INDEX.get(&words.in_any_order()?)).copied()
}

/// Facts whose value is demanded under other words than their own.
const DEMANDED_AS: &[(Field, Demand)] = &[
    (Field::Arrow, Demand::ArrowTowards),
    (Field::RatioSet, Demand::SensorRatio),
    (Field::TerminatorOhms, Demand::TerminatorOhms),
];

/// Facts that share words with a demand about something else: the rated current of a unit says
/// nothing about that of a sensor.
const ABOUT_OTHERS: &[Field] = &[Field::SensorRating];

/// The demand that says what a fact must be.
pub fn of_field(field: Field) -> Option<Demand> {
    if ABOUT_OTHERS.contains(&field) {
        return None;
    }
    let own = |demand: &&Demand| field.keys().contains(&demand.key());
    let other = || DEMANDED_AS.iter().find(|(known, _)| *known == field).map(|(_, demand)| demand);
    Demand::ALL.iter().find(own).or_else(other).copied()
}

/// Other words for a demand, beside its own.
pub fn others(demand: Demand) -> &'static [&'static str] {
    OTHERS.iter().find(|(own, _)| *own == demand).map_or(&[], |(_, others)| others)
}

/// Every word for a demand, for proposals.
pub fn all_words() -> impl Iterator<Item = &'static str> {
    let others = OTHERS.iter().flat_map(|(_, others)| others.iter().copied());
    Demand::ALL.iter().map(|demand| demand.key()).chain(others)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::field::About;

    #[test]
    fn a_fact_is_demanded_by_a_demand_about_the_same_thing() {
        let demanded: Vec<_> =
            Field::ALL.iter().filter_map(|field| Some((*field, of_field(*field)?))).collect();
        let pairs = [
            (Field::TerminatorOhms, Demand::TerminatorOhms),
            (Field::Mode, Demand::ModeDemanded),
            (Field::BitRate, Demand::BitRate),
            (Field::Wiring, Demand::LeadWiring),
            (Field::Pins, Demand::WiredPins),
            (Field::Arrow, Demand::ArrowTowards),
            (Field::RatioSet, Demand::SensorRatio),
        ];
        assert_eq!(demanded, pairs);
    }

    #[test]
    fn no_word_states_two_demands_or_a_fact_about_the_group() {
        let mut seen = BTreeMap::new();
        for (demand, others) in OTHERS {
            for word in others.iter().chain([&demand.key()]) {
                let folded = Folded::of(word);
                let key = folded.in_any_order().unwrap_or_else(|| folded.clone());
                let former = seen.insert(key, demand).filter(|former| *former != demand);
                assert!(former.is_none(), "{word}: {former:?} and {demand:?}");
                assert_eq!(Field::find(About::Group, &folded), None, "{word}");
                assert_eq!(find(&folded), Some(*demand), "{word}");
            }
        }
    }

    #[test]
    fn words_may_stand_in_another_order() {
        let find = |words| find(&Folded::of(words));
        assert_eq!(find("total link max"), Some(Demand::MaxLinkTotal));
        assert_eq!(find("the range of addresses"), Some(Demand::AddressRange));
        assert_eq!(find("range"), None);
        assert_eq!(find("max link cable total"), None);
    }
}
