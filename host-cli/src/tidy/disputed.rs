//! Facts to which the sheets give two values or more, in words: [`super::shape`] leaves them out,
//! since nothing may be decided, and whoever shows a site must show them all the same.

use super::values::said;
use crate::declared::{Declared, Subject, Topic};
use crate::words;

/// One fact with its values.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Disputed {
    /// What it is about; a cable by its position among those declared.
    pub subject: Subject,
    /// The fact's key; empty for what is no fact of its own, such as a cable's ends.
    pub key: &'static str,
    /// The values: `2 or 5`.
    pub says: String,
}

/// All of them.
pub fn disputed(declared: &Declared) -> Vec<Disputed> {
    let facts = declared.disagreements().map(|(subject, topic, facts)| {
        let value = |fact| match topic {
            Topic::Field(field) => said(declared, field, fact),
            Topic::Demand(demand) => fact
                .value
                .number()
                .map_or_else(String::new, |bits| words::demand(demand.kind(), bits)),
        };
        let values: Vec<_> = facts.iter().map(value).collect();
        Disputed { subject, key: topic.key(), says: values.join(" or ") }
    });
    let cables = declared.cables.iter().enumerate().flat_map(|(position, cable)| {
        let subject = Subject::Cable(position);
        let lengths: Vec<_> =
            cable.lengths.iter().map(|(length, _)| words::length(*length)).collect();
        let lengths = (lengths.len() > 1).then(|| Disputed {
            subject,
            key: "length",
            says: lengths.join(" or "),
        });
        let others = cable.contradictions.iter();
        let others = others.map(move |says| Disputed { subject, key: "", says: says.clone() });
        lengths.into_iter().chain(others)
    });
    facts.chain(cables).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::{Request, read_site};
    use crate::read::{RawSheet, ReadError};

    #[test]
    fn every_value_of_a_disputed_fact_is_told() {
        let sheet = |name: &str, text: &str| RawSheet {
            name: name.to_owned(),
            bytes: text.as_bytes().to_vec(),
        };
        let files = [
            sheet(
                "a.txt",
                "unit 1 = coordinator, addr 1\nunit 2 = follower, addr 2\nlink shape = line\n",
            ),
            sheet("b.txt", "unit 2 address = 5\nlink shape = ring\n"),
            sheet("a.csv", "cable,from,to,kind,length\nC1,unit 1 A,unit 2 B,link,1 m\n"),
            sheet("b.csv", "cable,from,to,kind,length\nC1,unit 1 A,unit 2 B,link,2 m\n"),
        ];
        let load_profile = &|name: &str| Err(ReadError::file(name, "unknown", "plain"));
        let request = Request { files: &files, profile: None, scope: None, load_profile };
        let site = read_site(&request).unwrap();
        let told: Vec<_> = disputed(&site.declared)
            .into_iter()
            .map(|one| (one.subject, one.key, one.says))
            .collect();
        let wanted = [
            (Subject::Group, "link shape", "line or ring"),
            (Subject::Unit(1), "address", "2 or 5"),
            (Subject::Cable(0), "length", "1 m or 2 m"),
        ];
        assert_eq!(told, wanted.map(|(subject, key, says)| (subject, key, says.to_owned())));
    }
}
