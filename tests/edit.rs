//! Sheets as people write them, changed by hand a fact at a time.

use coldcheck::edit::{Edit, Edited, Of, Socket, edit};
use coldcheck::engine::read_site;
use coldcheck::read::{RawSheet, ReadError};
use coldcheck::site_file::{List, SiteFile, Table};
use coldcheck::tidy::shape;
use coldcheck_tests::cases::{self, Case, request};

fn no_profile(name: &str) -> Result<String, ReadError> {
    Err(ReadError::file(name, "not built in", "a built-in profile"))
}

/// How the changes of all cases went.
#[derive(Debug, Default)]
struct Tally {
    small: usize,
    anew: usize,
    refused: usize,
}

impl Tally {
    fn take(&mut self, case: &Case, outcome: &Result<Edited, String>) {
        match outcome {
            Ok(edited) if edited.anew => self.anew += 1,
            Ok(_) => self.small += 1,
            Err(says) => {
                let site = case.read().expect("a case can be read");
                assert!(site.declared.question_count() > 0, "{}: {says}", case.name);
                assert!(says.contains("question"), "{}: {says}", case.name);
                self.refused += 1;
            }
        }
    }
}

fn shape_of(sheets: &[RawSheet]) -> SiteFile {
    let request = request(sheets, None);
    let site = read_site(&request).unwrap_or_else(|refusal| panic!("{:?}", refusal.errors));
    shape(&site, &request).expect("words for everything")
}

fn tables(file: &SiteFile, list: List) -> Vec<Table> {
    file.tables.iter().filter(|table| table.list == list).cloned().collect()
}

/// Lines of all sheets that the others do not have.
fn lines_only_in(one: &[RawSheet], other: &[RawSheet]) -> usize {
    let text = |sheets: &[RawSheet]| {
        sheets
            .iter()
            .map(|sheet| String::from_utf8_lossy(&sheet.bytes).into_owned())
            .collect::<Vec<_>>()
            .join("\n")
    };
    let (one, other) = (text(one), text(other));
    one.lines()
        .filter(|line| !line.trim().is_empty() && other.lines().all(|has| has != *line))
        .count()
}

#[test]
fn every_fact_of_a_unit_can_be_changed_in_every_case() {
    let mut tally = Tally::default();
    for case in cases::all() {
        let before = shape_of(&case.sheets);
        for unit in tables(&before, List::Unit) {
            for (key, value) in
                [("address", "77"), ("firmware", "9.9.1"), ("bank", "Z"), ("role", "follower")]
            {
                let name = unit.value("name").to_owned();
                let of = Of::Named(List::Unit, name.clone());
                let change = Edit::Set { of, key: key.to_owned(), value: Some(value.to_owned()) };
                let outcome = edit(&case.sheets, &change, &no_profile);
                tally.take(&case, &outcome);
                let Ok(edited) = outcome else { continue };
                let after = tables(&shape_of(&edited.sheets), List::Unit);
                for table in after {
                    let is_it = table.value("name") == name;
                    let old = tables(&before, List::Unit);
                    let old = old.iter().find(|old| old.value("name") == table.value("name"));
                    let expected = if is_it { value } else { old.map_or("", |old| old.value(key)) };
                    assert_eq!(table.value(key), expected, "{}: {name} {key}", case.name);
                }
                if !edited.anew {
                    let (gone, new) = (
                        lines_only_in(&case.sheets, &edited.sheets),
                        lines_only_in(&edited.sheets, &case.sheets),
                    );
                    // Some cases state it in up to three places.
                    assert!(
                        gone <= 3 && new <= 3,
                        "{}: {name} {key}: {gone} lines gone, {new} new",
                        case.name
                    );
                }
            }
        }
    }
    println!("{tally:?}");
    assert!(tally.small >= 9 * (tally.anew + tally.refused), "mostly by a few letters: {tally:?}");
}

#[test]
fn every_cable_can_be_taken_out_and_put_back_in_every_case() {
    let mut tally = Tally::default();
    for case in cases::all() {
        let cables = tables(&shape_of(&case.sheets), List::Cable);
        for (position, cable) in cables.iter().enumerate() {
            let out = edit(&case.sheets, &Edit::Disconnect(position), &no_profile);
            tally.take(&case, &out);
            let Ok(out) = out else { continue };
            assert_eq!(
                tables(&shape_of(&out.sheets), List::Cable).len(),
                cables.len() - 1,
                "{}",
                case.name
            );
            let socket = |key: &str, port: &str| Socket {
                name: cable.value(key).to_owned(),
                port: cable.value(port).to_owned(),
            };
            let kind = cable.value("kind");
            if kind.is_empty() {
                continue;
            }
            let back = Edit::Connect {
                from: socket("from", "from_port"),
                to: socket("to", "to_port"),
                kind: kind.to_owned(),
            };
            let back = edit(&out.sheets, &back, &no_profile);
            tally.take(&case, &back);
            let Ok(back) = back else { continue };
            let after = tables(&shape_of(&back.sheets), List::Cable);
            assert_eq!(after.len(), cables.len(), "{}", case.name);
            let ends = ["from", "from_port", "to", "to_port", "kind"];
            let is_it = |table: &Table| ends.iter().all(|key| table.value(key) == cable.value(key));
            assert!(after.iter().any(is_it), "{}: {cable:?}", case.name);
        }
    }
    println!("{tally:?}");
    assert!(tally.small >= 9 * (tally.anew + tally.refused), "mostly one row: {tally:?}");
}

#[test]
fn every_fact_of_a_unit_can_be_cleared_in_every_case_and_nothing_else_goes() {
    let mut tally = Tally::default();
    for case in cases::all() {
        let before = shape_of(&case.sheets);
        let unread = case.read().expect("a case can be read").declared.not_understood.len();
        for unit in tables(&before, List::Unit) {
            for entry in unit.entries.iter().filter(|entry| entry.key != "name") {
                let name = unit.value("name").to_owned();
                let of = Of::Named(List::Unit, name.clone());
                let change = Edit::Set { of, key: entry.key.clone(), value: None };
                let outcome = edit(&case.sheets, &change, &no_profile);
                tally.take(&case, &outcome);
                let Ok(edited) = outcome else { continue };
                let about = format!("{}: {name} {}", case.name, entry.key);
                let after = shape_of(&edited.sheets);
                for old in tables(&before, List::Unit) {
                    let new = tables(&after, List::Unit)
                        .into_iter()
                        .find(|new| new.value("name") == old.value("name"));
                    for fact in &old.entries {
                        let goes = old.value("name") == name && fact.key == entry.key;
                        let now = new.as_ref().map_or("", |new| new.value(&fact.key));
                        let was = fact.value.as_deref().unwrap_or("");
                        // A unit of which nothing else was said may be named by its cables alone.
                        let is_gone = new.is_none() && old.entries.len() <= 2;
                        assert!(is_gone || now == if goes { "" } else { was }, "{about}");
                    }
                }
                let again = read_site(&request(&edited.sheets, None)).map_err(|_| ());
                let again = again.expect("it can still be read").declared.not_understood.len();
                assert!(edited.anew || again == unread, "{about}");
            }
        }
    }
    println!("{tally:?}");
    assert!(tally.small >= 9 * (tally.anew + tally.refused), "mostly one clause: {tally:?}");
}
