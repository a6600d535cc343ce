//! The vocabulary of a list from what else is known of its site: the profile, and sheets beside it.

use super::words::{Word, Words};
use crate::engine::Site;
use crate::profile::Profile;
use crate::vocabulary::{CABLE_KIND, PACK_STEMS, UNIT_STEMS};
use coldcheck_core::plan::Leg;

/// Without a sheet that says which units there are, as many as this may be named.
const UNITS_UNTOLD: u16 = 16;

/// So many packs may be named where no sheet says how many there are.
const PACKS_UNTOLD: u16 = 4;

/// Devices that a cable may lead to, as they are commonly printed.
const DEVICES: &[&str] = &["meter", "BMS", "gateway", "router", "splitter", "terminator"];

/// What can stand in a list of this site.
pub fn of_site(site: &Site) -> Words {
    let declared = &site.declared;
    let mut words = of_profile(&site.profile, 0);
    let units = declared.units.iter().map(|unit| named(&unit.name, unit.number, UNIT_STEMS));
    let packs = declared.packs.iter().map(|pack| named(&pack.name, pack.number, PACK_STEMS));
    let others = declared.sensors.iter().map(|(sensor, _)| sensor);
    let others = others.chain(declared.devices.iter().map(|(device, _)| device));
    let mut all: Vec<Word> = units.chain(packs).collect();
    all.extend(others.map(|thing| Word::new(&thing.name, [])));
    // What the sheet says comes first: of two words for one thing it is the one that is told.
    all.append(&mut words.units);
    words.units = each_once(all);
    words
}

/// What can stand in a list of a site of which only the profile is known.
pub fn of_profile_alone(profile: &Profile) -> Words {
    of_profile(profile, UNITS_UNTOLD)
}

fn of_profile(profile: &Profile, units: u16) -> Words {
    let mut all: Vec<Word> = Vec::new();
    for stem in UNIT_STEMS.iter().filter(|stem| **stem != "units") {
        all.extend((1..=units).map(|number| numbered(stem, number)));
    }
    for stem in PACK_STEMS {
        all.extend((1..=PACKS_UNTOLD).map(|number| numbered(stem, number)));
    }
    all.extend(Leg::WORDS.iter().map(|(leg, _)| Word::new(&format!("CT {leg}"), [])));
    all.extend(DEVICES.iter().map(|device| Word::new(device, [])));
    let ports = profile.ports.iter().map(|port| {
        let words = port.words.iter().map(ToString::to_string);
        let mut words: Vec<String> = words.chain([port.name.clone()]).collect();
        // As sockets are printed: by their name alone, or behind what they are for.
        let behind: Vec<String> = ["link", "port", "socket"]
            .iter()
            .flat_map(|front| words.iter().map(move |word| format!("{front} {word}")))
            .collect();
        words.extend(behind);
        Word::new(&port.name, words.iter().map(String::as_str))
    });
    let mut ports: Vec<Word> = ports.collect();
    ports.push(Word::new("data", []));
    let kinds = CABLE_KIND.all_words().map(|kind| Word::new(kind, []));
    Words {
        units: each_once(all),
        ports: each_once(ports),
        kinds: each_once(kinds.collect()),
        prefix: None,
    }
}

fn numbered(stem: &str, number: u16) -> Word {
    Word::new(&format!("{stem} {number}"), [format!("{stem} {number:02}").as_str()])
}

/// A thing by its own name and by every usual word with its number.
fn named(name: &str, number: Option<u16>, stems: &[&str]) -> Word {
    let Some(number) = number else { return Word::new(name, []) };
    let forms =
        stems.iter().flat_map(|stem| [format!("{stem} {number}"), format!("{stem} {number:02}")]);
    let forms: Vec<String> = forms.collect();
    Word::new(name, forms.iter().map(String::as_str))
}

/// Words that are printed alike are one word: the first.
fn each_once(words: Vec<Word>) -> Vec<Word> {
    let mut kept: Vec<Word> = Vec::new();
    for mut word in words {
        word.printed.retain(|own| !kept.iter().any(|other| other.printed.contains(own)));
        if !word.printed.is_empty() {
            kept.push(word);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::{Request, read_site};
    use crate::read::{RawSheet, ReadError};

    fn site() -> Site {
        let sheet = b"unit 1 = coordinator, addr 1\nunit 2 = follower, addr 2\n".to_vec();
        let files = [RawSheet { name: "settings.txt".to_owned(), bytes: sheet }];
        let load_profile =
            &|name: &str| Err(ReadError::file(name, "there is none", "a built-in one"));
        let request = Request { files: &files, profile: None, scope: None, load_profile };
        read_site(&request).unwrap()
    }

    #[test]
    fn units_are_known_by_every_usual_word_with_their_number() {
        let words = of_site(&site());
        let unit = words.units.iter().find(|word| word.name == "unit 2").unwrap();
        for printed in [vec!['U', '2'], vec!['I', 'N', 'V', '0', '2']] {
            assert!(unit.printed.contains(&printed), "{printed:?}");
        }
        assert!(words.units.iter().all(|word| !word.printed.contains(&vec!['U', '3'])));
        assert!(words.ports.iter().any(|word| word.printed.contains(&vec!['A'])));
    }

    #[test]
    fn no_two_words_are_printed_alike() {
        let words = of_profile_alone(&site().profile);
        for list in [&words.units, &words.ports, &words.kinds] {
            let all: Vec<_> = list.iter().flat_map(|word| &word.printed).collect();
            for (at, one) in all.iter().enumerate() {
                assert!(!all[..at].contains(one), "{one:?}");
            }
        }
        assert!(words.units.iter().any(|word| word.name == "u 16"));
    }
}
