//! The smallest changes of the sheets' text that may give what is wanted. Whether one does is found
//! out by reading it again, so that nothing here has to know every form of a sheet.

use super::cells::row;
use super::patch::{Patch, lines_around};
use super::wanted::SEEN;
use super::{Edit, Of};
use crate::declared::{Declared, Subject};
use crate::engine::Site;
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::read::{columns_of_cables, is_site_file};
use crate::site_file::{List, SiteFile, Table, toml_key, toml_value};
use crate::source::{Origin, SheetId};
use std::fmt::Write;

/// Every place that states the fact which a change is about.
pub(super) fn places(site: &Site, change: &Edit) -> Vec<Origin> {
    let text = Texts { site, declared: &site.declared };
    match change {
        Edit::Set { of, key, .. } => {
            text.subject(of).map_or_else(Vec::new, |subject| text.stated(subject, key))
        }
        Edit::Connect { .. }
        | Edit::Disconnect(_)
        | Edit::AddUnit
        | Edit::RemoveUnit(_)
        | Edit::Confirm { .. } => Vec::new(),
    }
}

/// The changes to try, in this order.
pub(super) fn patches(site: &Site, change: &Edit, wanted: &SiteFile) -> Vec<Patch> {
    let text = Texts { site, declared: &site.declared };
    match change {
        Edit::Set { of, key, value } => text.set(of, key, value.as_deref(), wanted),
        Edit::Connect { .. } => {
            wanted.tables.last().map_or_else(Vec::new, |cable| text.connect(cable))
        }
        Edit::Disconnect(position) => text.disconnect(*position),
        Edit::AddUnit => text.add_unit(wanted),
        Edit::RemoveUnit(name) => text.remove_unit(name),
        Edit::Confirm { act, seen } => text.confirm(*act, seen).into_iter().collect(),
    }
}

pub(super) struct Texts<'s> {
    pub(super) site: &'s Site,
    pub(super) declared: &'s Declared,
}

impl Texts<'_> {
    fn sheets(&self) -> impl Iterator<Item = (usize, &str)> {
        self.declared.sheets.0.iter().map(|sheet| sheet.text.as_str()).enumerate()
    }

    pub(super) fn text(&self, sheet: usize) -> &str {
        self.declared.sheets.get(SheetId(sheet)).map_or("", |sheet| sheet.text.as_str())
    }

    fn set(&self, of: &Of, key: &str, value: Option<&str>, wanted: &SiteFile) -> Vec<Patch> {
        let subject = self.subject(of);
        let (stated, around) = subject.map_or_else(Default::default, |subject| {
            (self.stated(subject, key), self.around(subject))
        });
        let Some(value) = value.map(str::trim).filter(|value| !value.is_empty()) else {
            return subject.map_or_else(Vec::new, |subject| self.cleared(subject, key));
        };
        let mut patches = Vec::new();
        if !stated.is_empty() {
            patches.push(Patch::replacing(&stated, value));
            patches.push(Patch::replacing(&stated, &toml_value(value)));
        }
        patches.extend(self.changed_cell(of, key, wanted));
        let name = if let Of::Named(_, name) = of { format!("{name} ") } else { String::new() };
        let (plain, toml) =
            (format!("{key} = {value}\n"), format!("{} = {}\n", toml_key(key), toml_value(value)));
        for (sheet, text) in self.sheets() {
            let line = if is_site_file(text) { &toml } else { &plain };
            patches
                .extend(blanks(text, key).map(|range| Patch::stretch(sheet, range, line.clone())));
        }
        // Below what is known of the same thing, else wherever settings stand; in a cable list last.
        let mut places: Vec<(usize, usize)> = around
            .into_iter()
            .map(|at| (at.sheet.0, lines_around(self.text(at.sheet.0), at.range()).end))
            .collect();
        places.extend(self.sheets().map(|(sheet, text)| {
            (sheet, if *of == Of::Group { below_head(text) } else { text.len() })
        }));
        let lists_cables =
            |sheet: usize| columns_of_cables(SheetId(sheet), self.text(sheet)).is_some();
        places.sort_by_key(|(sheet, _)| lists_cables(*sheet));
        let line = |(sheet, at)| self.insert(sheet, at, &name, [&plain, &toml]);
        patches.extend(places.into_iter().flat_map(line));
        patches.push(Patch::sheet("settings.txt", format!("{name}{plain}")));
        patches
    }

    /// A line at a place, in the ways that the sheet may take it.
    fn insert(&self, sheet: usize, at: usize, name: &str, [plain, toml]: [&str; 2]) -> Vec<Patch> {
        let text = self.text(sheet);
        let before = if at > 0 && text.as_bytes().get(at - 1) != Some(&b'\n') { "\n" } else { "" };
        let ways = if is_site_file(text) {
            vec![toml.to_owned()]
        } else if name.is_empty() {
            vec![plain.to_owned()]
        } else {
            vec![plain.to_owned(), format!("{name}{plain}")]
        };
        let patch = |line: String| Patch::stretch(sheet, at..at, format!("{before}{line}"));
        ways.into_iter().map(patch).collect()
    }

    pub(super) fn subject(&self, of: &Of) -> Option<Subject> {
        let declared = self.declared;
        Some(match of {
            Of::Group => Subject::Group,
            Of::Cable(position) => Subject::Cable(*self.site.assembled.map.cables.get(*position)?),
            Of::Named(List::Unit, name) => {
                Subject::Unit(declared.units.iter().position(|unit| unit.name == *name)?)
            }
            Of::Named(List::Pack, name) => {
                Subject::Pack(declared.packs.iter().position(|pack| pack.name == *name)?)
            }
            Of::Named(List::Sensor, name) => {
                Subject::Sensor(declared.sensors.iter().position(|(one, _)| one.name == *name)?)
            }
            Of::Named(List::Device, name) => {
                Subject::Device(declared.devices.iter().position(|(one, _)| one.name == *name)?)
            }
            Of::Named(List::Cable | List::Waiver | List::ToDo, _) => return None,
        })
    }

    /// Every place that states a fact, with whatever value.
    pub(super) fn stated(&self, subject: Subject, key: &str) -> Vec<Origin> {
        let declared = self.declared;
        let folded = Folded::of(key);
        if let Subject::Cable(cable) = subject {
            let cable = &declared.cables[cable];
            match key {
                "length" => {
                    return cable
                        .lengths
                        .iter()
                        .flat_map(|(_, origins)| origins)
                        .copied()
                        .collect();
                }
                "label" => return cable.label_origins.clone(),
                _ => {}
            }
        }
        if let Some(field) = Field::find(about(subject), &folded) {
            return declared.origins(subject, field);
        }
        let demand = declared.demands().find(|(demand, _)| folded.is(demand.key()));
        demand
            .into_iter()
            .flat_map(|(_, facts)| facts)
            .flat_map(|fact| fact.origins.clone())
            .collect()
    }

    /// The last place in each sheet at which something is said of a thing.
    fn around(&self, subject: Subject) -> Vec<Origin> {
        let declared = self.declared;
        let facts = declared.facts_about(subject).flat_map(|(_, fact)| fact.origins.clone());
        let mut places: Vec<Origin> = facts.collect();
        match subject {
            Subject::Cable(cable) => {
                let cable = &declared.cables[cable];
                places.extend(cable.label_origins.iter().chain(cable.end_origins.iter().flatten()));
            }
            Subject::Unit(unit) => places.extend(&declared.units[unit].origins),
            Subject::Pack(pack) => places.extend(&declared.packs[pack].origins),
            Subject::Sensor(sensor) => places.extend(&declared.sensors[sensor].0.origins),
            Subject::Device(device) => places.extend(&declared.devices[device].0.origins),
            Subject::Group => {
                places.extend(
                    declared.demands().flat_map(|(_, facts)| facts).flat_map(|fact| &fact.origins),
                );
            }
        }
        places.sort();
        let mut last: Vec<Origin> = Vec::new();
        for place in places {
            match last.last_mut().filter(|other| other.sheet == place.sheet) {
                Some(other) => *other = place,
                None => last.push(place),
            }
        }
        last
    }

    /// The sheets without the lines that hold these places.
    fn without_lines(&self, places: &[Origin]) -> Patch {
        let lines = places.iter().map(|place| {
            let sheet = place.sheet.0;
            Patch::stretch(sheet, lines_around(self.text(sheet), place.range()), String::new())
        });
        lines.fold(Patch::default(), Patch::and)
    }

    fn connect(&self, cable: &Table) -> Vec<Patch> {
        let mut patches = Vec::new();
        for (sheet, text) in self.sheets() {
            let end = self.declared.cables.iter().flat_map(|cable| &cable.origins);
            let end = end.filter(|place| place.sheet.0 == sheet).max();
            if is_site_file(text) {
                let mut block = String::from("\n[[cable]]\n");
                for entry in &cable.entries {
                    let value = toml_value(entry.value.as_deref().unwrap_or(""));
                    let _ = writeln!(block, "{} = {value}", toml_key(&entry.key));
                }
                let end = end.map_or(text.len(), |place| end_of_block(text, place.start));
                patches.push(Patch::stretch(sheet, end..end, block));
            } else if let Some((sign, columns)) = columns_of_cables(SheetId(sheet), text) {
                let heading = columns.iter().map(|(_, cell)| cell.origin).max();
                let last = end.copied().max(heading);
                let at = last.map_or(text.len(), |place| lines_around(text, place.range()).end);
                let before =
                    if text.get(..at).is_none_or(|text| text.ends_with('\n')) { "" } else { "\n" };
                let row = row(cable, sign, &columns);
                patches.push(Patch::stretch(sheet, at..at, format!("{before}{row}\n")));
            }
        }
        let list = SiteFile { tables: vec![cable.clone()], ..SiteFile::default() }.cable_list();
        patches.push(Patch::sheet("cables.csv", list));
        patches
    }

    fn disconnect(&self, position: usize) -> Vec<Patch> {
        let Some(cable) = self.site.assembled.map.cables.get(position) else { return Vec::new() };
        self.without_cables(&[*cable])
    }

    fn without_cables(&self, cables: &[usize]) -> Vec<Patch> {
        let rows = || cables.iter().flat_map(|cable| &self.declared.cables[*cable].origins);
        let blocks = rows().map(|place| {
            let sheet = place.sheet.0;
            let text = self.text(sheet);
            let start =
                text.get(..place.end).and_then(|before| before.rfind("[[")).unwrap_or(place.start);
            Patch::stretch(sheet, start..end_of_block(text, place.start), String::new())
        });
        let lines = self.without_lines(&rows().copied().collect::<Vec<_>>());
        vec![lines, blocks.fold(Patch::default(), Patch::and)]
    }

    fn add_unit(&self, wanted: &SiteFile) -> Vec<Patch> {
        let unit = wanted.tables.iter().rfind(|table| table.list == List::Unit);
        let Some(unit) = unit else { return Vec::new() };
        let name = unit.value("name");
        let facts = || unit.entries.iter().filter(|entry| entry.key != "name");
        let value = |entry: &crate::site_file::Entry| entry.value.clone().unwrap_or_default();
        let (mut section, mut lines) = (format!("\n[{name}]\n"), String::new());
        let mut block = format!("\n[[unit]]\nname = {}\n", toml_value(name));
        for entry in facts() {
            let _ = writeln!(section, "{} = {}", entry.key, value(entry));
            let _ = writeln!(lines, "{name} {} = {}", entry.key, value(entry));
            let _ = writeln!(block, "{} = {}", toml_key(&entry.key), toml_value(&value(entry)));
        }
        let mut patches = Vec::new();
        for (sheet, text) in self.sheets() {
            let has_sections = text.lines().any(|line| line.trim_start().starts_with('['));
            let units = self.declared.units.iter().flat_map(|unit| &unit.origins);
            let last = units.filter(|place| place.sheet.0 == sheet).max();
            let end = last.map_or(text.len(), |place| end_of_block(text, place.start));
            let before = if text.ends_with('\n') { "" } else { "\n" };
            if is_site_file(text) {
                patches.push(Patch::stretch(sheet, end..end, block.clone()));
            } else if columns_of_cables(SheetId(sheet), text).is_none() {
                let what = if has_sections { &section } else { &lines };
                patches.push(Patch::stretch(
                    sheet,
                    text.len()..text.len(),
                    format!("{before}{what}"),
                ));
            }
        }
        patches
    }

    fn remove_unit(&self, name: &str) -> Vec<Patch> {
        let Some(unit) = self.declared.units.iter().position(|unit| unit.name == name) else {
            return Vec::new();
        };
        let cables = self.declared.cables.iter().enumerate().filter(|(_, cable)| {
            cable
                .ends
                .iter()
                .any(|end| matches!(end, crate::declared::End::Unit(at, _) if *at == unit))
        });
        let cables: Vec<usize> = cables.map(|(position, _)| position).collect();
        let facts =
            self.declared.facts_about(Subject::Unit(unit)).flat_map(|(_, fact)| &fact.origins);
        let named = &self.declared.units[unit].origins;
        let rows: Vec<Origin> =
            cables.iter().flat_map(|cable| self.declared.cables[*cable].origins.clone()).collect();
        let in_a_row = |place: &&Origin| {
            rows.iter().any(|row| {
                row.sheet == place.sheet && row.start <= place.start && place.end <= row.end
            })
        };
        let own: Vec<Origin> =
            facts.chain(named).filter(|place| !in_a_row(place)).copied().collect();
        let lines = self.without_lines(&own);
        let sections = own.iter().filter_map(|place| {
            let text = self.text(place.sheet.0);
            let start = text.get(..place.end)?.rfind("\n[").map_or(0, |at| at + 1);
            Some(Patch::stretch(place.sheet.0, start..end_of_block(text, start + 1), String::new()))
        });
        let sections = sections.fold(Patch::default(), Patch::and);
        let without = self.without_cables(&cables);
        let each = |own: &Patch| {
            without.iter().map(|cables| own.clone().and(cables.clone())).collect::<Vec<_>>()
        };
        [each(&lines), each(&sections)].concat()
    }
}

impl Texts<'_> {
    /// The lines that a person fills in, written anew below the act.
    fn confirm(&self, act: usize, seen: &[String; 3]) -> Option<Patch> {
        let at = self.declared.to_do.get(act)?.origin;
        let text = self.text(at.sheet.0);
        let start = lines_around(text, at.range()).start;
        let end = end_of_block(text, at.start);
        let is_blank = |line: &str| {
            let key = line.split('=').next().unwrap_or("").trim();
            line.trim().is_empty() || SEEN.contains(&key)
        };
        let kept = text.get(start..end)?.lines().filter(|line| !is_blank(line));
        let mut block: String = kept.flat_map(|line| [line, "\n"]).collect();
        for (key, text) in SEEN.into_iter().zip(seen) {
            let _ = writeln!(block, "{key} = {}", toml_value(text.trim()));
        }
        if end < text.len() {
            block.push('\n');
        }
        Some(Patch::stretch(at.sheet.0, start..end, block))
    }
}

const fn about(subject: Subject) -> About {
    match subject {
        Subject::Group => About::Group,
        Subject::Unit(_) => About::Unit,
        Subject::Cable(_) => About::Cable,
        Subject::Pack(_) => About::Pack,
        Subject::Sensor(_) => About::Sensor,
        Subject::Device(_) => About::Device,
    }
}

/// Lines that stand for a fact which a person is to fill in: `# key =`.
fn blanks(text: &str, key: &str) -> impl Iterator<Item = std::ops::Range<usize>> {
    let forms = [format!("# {key} ="), format!("# {} = \"\"", toml_key(key))];
    let mut start = 0;
    let lines = text.split_inclusive('\n').map(move |line| {
        let here = start;
        start += line.len();
        (here..start, line.trim())
    });
    let found: Vec<_> = lines
        .filter(|(_, line)| forms.iter().any(|form| form == line))
        .map(|(range, _)| range)
        .collect();
    found.into_iter()
}

/// Below the comments at the top.
fn below_head(text: &str) -> usize {
    text.split_inclusive('\n').take_while(|line| line.starts_with('#')).map(str::len).sum()
}

/// The end of the block of a site file or the section of a list that a place lies in.
fn end_of_block(text: &str, from: usize) -> usize {
    let rest = text.get(from..).unwrap_or("");
    rest.find("\n[").map_or(text.len(), |at| from + at + 1)
}
