//! Labels for the ends of cables: what stands on them, how they are printed, and whether one that was
//! photographed says what the list says.
//!
//! A label's code is text that any reader of QR codes shows to a person. Held against a list, it is read
//! as a row of a cable list beside the others, so that spelling and direction do not matter here either.

pub mod compare;
pub mod sheet;

use crate::declared::End;
use crate::engine::Site;
use crate::words;

/// First line of a label's code.
const HEAD: &str = "COLDCHECK LABEL 1";

/// One label: at one end of one cable.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// The cable.
    pub cable: String,
    /// The end that it is put on, in the words of the list.
    pub here: String,
    /// The other end.
    pub there: String,
    /// What the cable is for.
    pub kind: String,
    /// Its length, if the list has it.
    pub length: String,
}

impl Label {
    /// What its code says.
    pub fn text(&self) -> String {
        format!(
            "{HEAD}\ncable: {}\nthis end: {}\nother end: {}\nkind: {}",
            self.cable, self.here, self.there, self.kind
        )
    }

    /// The label with such a code; `None` if it is none of ours.
    pub fn of_text(text: &str) -> Option<Self> {
        let rest = text.strip_prefix(HEAD)?.strip_prefix('\n')?;
        let mut lines = rest.lines();
        let mut line = |name: &str| Some(lines.next()?.strip_prefix(name)?.to_owned());
        Some(Self {
            cable: line("cable: ")?,
            here: line("this end: ")?,
            there: line("other end: ")?,
            kind: line("kind: ")?,
            length: String::new(),
        })
    }
}

/// The labels of a site, two for a cable and one for a plug, and the cables that can have none: in
/// words why.
pub fn of_site(site: &Site) -> (Vec<Label>, Vec<String>) {
    let (mut labels, mut left_out) = (Vec::new(), Vec::new());
    for (position, cable) in site.declared.cables.iter().enumerate() {
        let name = &cable.label;
        if cable.key.is_empty() {
            left_out.push(format!("{name} has no label in the list"));
            continue;
        }
        if !cable.contradictions.is_empty() {
            left_out.push(format!("of {name} the sheets say different things"));
            continue;
        }
        let ends = [0, 1].map(|side| words_for(site, position, side));
        let [Some(one), Some(other)] = &ends else {
            left_out.push(format!("of {name} an end is not known"));
            continue;
        };
        let label = |here: &String, there: &String| Label {
            cable: one_line(name),
            here: one_line(here),
            there: one_line(there),
            kind: cable.kind.map_or("", |kind| kind.word()).to_owned(),
            length: cable.length().map(words::length).unwrap_or_default(),
        };
        for (here, there) in [(one, other), (other, one)] {
            if here != OPEN {
                labels.push(label(here, there));
            }
        }
    }
    (labels, left_out)
}

/// An end at which nothing is.
const OPEN: &str = "-";

fn words_for(site: &Site, cable: usize, which: usize) -> Option<String> {
    match site.declared.cables[cable].ends[which] {
        End::Unit(unit, port) => {
            let name = &site.declared.units[unit].name;
            let socket = port.map(|port| format!(" {}", site.profile.port_name(port)));
            Some(format!("{name}{}", socket.unwrap_or_default()))
        }
        End::Open => Some(OPEN.to_owned()),
        End::Pack(_) | End::Sensor(_) | End::Device(_) => site.declared.words_for_end(cable, which),
        End::Unknown => None,
    }
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_gives_its_label_back() {
        let label = Label {
            cable: "P2: new".to_owned(),
            here: "unit 2 B".to_owned(),
            there: "pack 1 data".to_owned(),
            kind: "battery".to_owned(),
            length: String::new(),
        };
        assert_eq!(Label::of_text(&label.text()), Some(label));
        assert_eq!(Label::of_text("WIFI:S:guest;;"), None);
    }
}
