//! What can be chosen on a form: units, sockets, other ends and kinds of cables of one site.

use crate::profile::Profile;
use coldcheck_core::limits;
use coldcheck_core::plan::PortClass;

/// A form has a bubble for each unit up to so many; above, one for the tens and one for the ones.
pub const UNITS_ONE_BY_ONE: u8 = 12;
/// The most sockets of a unit.
const MOST_PORTS: usize = limits::PORTS;

/// A socket that every unit has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Port {
    /// Its name.
    pub name: String,
    /// What it is made for.
    pub class: PortClass,
}

/// A word to choose, with the few signs that fit into its bubble.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// What stands in the bubble.
    pub code: String,
    /// The word that a cable list gets.
    pub word: String,
    /// The socket that a cable list gets, where the choice is an end that is no unit.
    pub port: &'static str,
}

/// Everything that a form lets choose.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choices {
    /// Name of the profile that the sockets come from.
    pub profile: String,
    /// How many units.
    pub units: u8,
    /// The sockets of a unit.
    pub ports: Vec<Port>,
}

impl Choices {
    /// The choices for so many units under a profile; `None` if no group has so many.
    pub fn of(profile: &Profile, units: u16) -> Option<Self> {
        let ports = profile.ports.iter();
        let ports = ports.map(|port| Port { name: port.name.clone(), class: port.class }).collect();
        Self::new(&profile.name, units, ports)
    }

    /// The choices with these sockets; `None` if there are too many of anything.
    pub fn new(profile: &str, units: u16, ports: Vec<Port>) -> Option<Self> {
        let units = u8::try_from(units).ok()?;
        let fits = (1..=limits::UNITS).contains(&usize::from(units)) && ports.len() <= MOST_PORTS;
        fits.then(|| Self { profile: profile.to_owned(), units, ports })
    }

    /// Whether units are chosen by tens and ones.
    pub const fn by_digits(&self) -> bool {
        self.units > UNITS_ONE_BY_ONE
    }

    /// The name of a unit in a cable list.
    pub fn unit(number: u8) -> String {
        format!("unit {number}")
    }

    /// The sockets.
    pub fn sockets(&self) -> Vec<Choice> {
        let words = self.ports.iter().map(|port| port.name.as_str());
        coded(words.map(|word| (word, "")))
    }

    /// Ends of cables that are no units: what the sockets of the profile are for, and a gateway.
    pub fn others(&self) -> Vec<Choice> {
        let mut others = Vec::new();
        let mut add = |code: &str, word: &str, port| {
            others.push(Choice { code: code.to_owned(), word: word.to_owned(), port });
        };
        if self.has(PortClass::Battery) {
            add("P1", "pack 1", "data");
        }
        if self.has(PortClass::Sensor) {
            for leg in ["L1", "L2", "L3"] {
                add(leg, &format!("CT {leg}"), "");
            }
        }
        if self.has(PortClass::Meter) {
            add("MTR", "meter", "");
        }
        add("GW", "gateway", "");
        others
    }

    /// Kinds of cables.
    pub fn kinds(&self) -> Vec<Choice> {
        let classes = [
            (PortClass::Link, "LNK", "link"),
            (PortClass::Battery, "BAT", "battery"),
            (PortClass::Sensor, "CT", "sensor"),
            (PortClass::Meter, "MTR", "meter"),
            (PortClass::Service, "SRV", "service"),
        ];
        let present = classes.into_iter().filter(|(class, _, _)| self.has(*class));
        let words = present.map(|(_, code, word)| (code, word)).chain([("TRM", TERMINATOR)]);
        words
            .map(|(code, word)| Choice { code: code.to_owned(), word: word.to_owned(), port: "" })
            .collect()
    }

    fn has(&self, class: PortClass) -> bool {
        self.ports.iter().any(|port| port.class == class)
    }

    /// All that was chosen from, as one line: sockets with a letter for what they are made for.
    pub fn ports_in_words(&self) -> String {
        let port = |port: &Port| format!("{}={}", port.name, letter(port.class));
        self.ports.iter().map(port).collect::<Vec<_>>().join(",")
    }

    /// The sockets of such a line.
    pub fn ports_of(words: &str) -> Option<Vec<Port>> {
        let port = |word: &str| {
            let (name, letter) = word.rsplit_once('=')?;
            let class = CLASSES.iter().find(|(_, own)| *own == letter)?.0;
            Some(Port { name: name.to_owned(), class })
        };
        words.split(',').map(port).collect()
    }

    /// A number of 24 bits that another set of choices hardly has.
    pub fn checksum(&self) -> u32 {
        let text = format!("{};{}", self.units, self.ports_in_words());
        crc32fast::hash(text.as_bytes()) & 0x00FF_FFFF
    }
}

/// The kind of a plug that has one end only.
pub const TERMINATOR: &str = "terminator";

const CLASSES: [(PortClass, &str); 5] = [
    (PortClass::Link, "l"),
    (PortClass::Battery, "b"),
    (PortClass::Sensor, "s"),
    (PortClass::Meter, "m"),
    (PortClass::Service, "v"),
];

fn letter(class: PortClass) -> &'static str {
    CLASSES.iter().find(|(own, _)| *own == class).map_or("", |(_, letter)| letter)
}

/// Gives every word a code of at most three signs, no two alike.
fn coded<'w>(words: impl Iterator<Item = (&'w str, &'static str)>) -> Vec<Choice> {
    let mut choices: Vec<Choice> = Vec::new();
    for (at, (word, port)) in words.enumerate() {
        let capitals =
            || word.chars().filter(|sign| sign.is_alphanumeric()).flat_map(char::to_uppercase);
        let short = word.chars().count() <= 3;
        let first: String = if short { word.to_owned() } else { capitals().take(3).collect() };
        let numbered = || format!("{}{}", capitals().take(2).collect::<String>(), (at + 1) % 10);
        let taken = |code: &str| choices.iter().any(|choice| choice.code == code);
        let code = if first.is_empty() || taken(&first) { numbered() } else { first };
        choices.push(Choice { code, word: word.to_owned(), port });
    }
    choices
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ports(names: &[&str]) -> Vec<Port> {
        let port = |name: &&str| Port { name: (*name).to_owned(), class: PortClass::Link };
        names.iter().map(port).collect()
    }

    #[test]
    fn no_two_sockets_have_one_code() {
        let choices = Choices::new("own", 4, ports(&["A", "link one", "link two", "Lin"]));
        let codes: Vec<String> =
            choices.unwrap().sockets().into_iter().map(|choice| choice.code).collect();
        assert_eq!(codes, ["A", "LIN", "LI3", "Lin"]);
    }

    #[test]
    fn the_sockets_survive_being_written_as_a_line() {
        let all: Vec<Port> = CLASSES
            .iter()
            .map(|(class, letter)| Port { name: format!("port {letter}"), class: *class })
            .collect();
        let choices = Choices::new("own", 2, all.clone()).unwrap();
        assert_eq!(Choices::ports_of(&choices.ports_in_words()), Some(all));
    }

    #[test]
    fn another_number_of_units_is_another_form() {
        let of = |units| Choices::new("own", units, ports(&["A", "B"])).map(|one| one.checksum());
        assert_ne!(of(4), of(5));
        assert_eq!((of(0), of(33)), (None, None));
    }
}
