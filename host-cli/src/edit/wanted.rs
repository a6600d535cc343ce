//! What a site is to say after a change, over its canonical form.

use super::{Edit, Of, Socket};
use crate::engine::Site;
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::profile::demand_bits;
use crate::readings::Moment;
use crate::site_file::{Entry, List, SiteFile, Table};
use crate::vocabulary::CABLE_KIND;
use crate::{dial, tidy, value, words};
use coldcheck_core::limits;
use coldcheck_core::plan::{Demand, Role, Terminator};

/// What a person fills in below an act.
pub(super) const SEEN: [&str; 3] = ["seen", "by", "time"];

/// The site after a change.
pub(super) fn after(site: &Site, before: &SiteFile, change: &Edit) -> Result<SiteFile, String> {
    let mut wanted = before.clone();
    match change {
        Edit::Set { of, key, value } => set(&mut wanted, of, key, value.as_deref())?,
        Edit::Connect { from, to, kind } => connect(site, &mut wanted, [from, to], kind)?,
        Edit::Disconnect(position) => {
            let at = cable_at(&wanted, *position)?;
            wanted.tables.remove(at);
        }
        Edit::AddUnit => add_unit(site, &mut wanted)?,
        Edit::RemoveUnit(name) => {
            table_of(&wanted, List::Unit, name).ok_or("there is no such unit")?;
            wanted.tables.retain(|table| {
                let names = if table.list == List::Cable { &["from", "to"][..] } else { &["name"] };
                let ours = matches!(table.list, List::Cable | List::Unit);
                !(ours && names.iter().any(|key| table.value(key) == name))
            });
        }
        Edit::Confirm { act, seen } => confirm(&mut wanted, *act, seen)?,
    }
    Ok(wanted)
}

fn confirm(file: &mut SiteFile, act: usize, seen: &[String; 3]) -> Result<(), String> {
    const EXPECTED: [&str; 3] = ["what was seen", "initials", "day and clock: 2027-03-01 09:12"];
    let mut acts = file.tables.iter_mut().filter(|table| table.list == List::ToDo);
    let table = acts.nth(act).ok_or("there is no such act")?;
    for ((key, expected), text) in SEEN.into_iter().zip(EXPECTED).zip(seen) {
        let is_time = key != "time" || Moment::read(text).is_some();
        if text.trim().is_empty() || !is_time {
            return Err(needs(key, expected));
        }
        put(&mut table.entries, key, Some(text.trim().to_owned()));
    }
    Ok(())
}

/// The position of a cable among the tables.
pub(super) fn cable_at(file: &SiteFile, position: usize) -> Result<usize, String> {
    let mut cables = file.tables.iter().enumerate().filter(|(_, table)| table.list == List::Cable);
    cables.nth(position).map(|(at, _)| at).ok_or_else(|| "there is no such cable".to_owned())
}

fn table_of(file: &SiteFile, list: List, name: &str) -> Option<usize> {
    file.tables.iter().position(|table| table.list == list && table.value("name") == name)
}

fn set(file: &mut SiteFile, of: &Of, key: &str, value: Option<&str>) -> Result<(), String> {
    let value = value.map(str::trim).filter(|value| !value.is_empty());
    let (entries, about) = match of {
        Of::Group => {
            let key = Folded::of(key);
            if Field::find(About::Group, &key).is_none()
                && let Some(demand) = demand(&key)
            {
                let value = value.map(|text| spelled_demand(demand, text)).transpose()?;
                put(&mut file.demands, demand.key(), value);
                return Ok(());
            }
            (&mut file.group, About::Group)
        }
        Of::Named(list, name) => {
            let at = table_of(file, *list, name).unwrap_or_else(|| {
                let entries = vec![Entry::new("name", name)];
                file.tables.push(Table { list: *list, entries });
                file.tables.len() - 1
            });
            let about = match list {
                List::Unit => About::Unit,
                List::Pack => About::Pack,
                List::Sensor => About::Sensor,
                List::Device => About::Device,
                List::Cable | List::Waiver | List::ToDo => {
                    return Err("this has no name".to_owned());
                }
            };
            (&mut file.tables[at].entries, about)
        }
        Of::Cable(position) => {
            let at = cable_at(file, *position)?;
            (&mut file.tables[at].entries, About::Cable)
        }
    };
    if about == About::Cable
        && let Some(value) = of_cable(key, value)?
    {
        put(entries, key, value);
        return Ok(());
    }
    let field =
        Field::find(about, &Folded::of(key)).ok_or_else(|| format!("nobody knows `{key}`"))?;
    let spelled =
        |text| tidy::spelled(field.form(), text).map_err(|expected| needs(key, &expected));
    put(entries, field.key(), value.map(spelled).transpose()?);
    Ok(())
}

fn needs(key: &str, expected: &str) -> String {
    format!("{key}: expected {expected}")
}

/// What a cable says of itself apart from its facts; `None` for a key that is one.
#[allow(clippy::option_option, reason = "whether it is such a key, and what it then says")]
fn of_cable(key: &str, value: Option<&str>) -> Result<Option<Option<String>>, String> {
    Ok(Some(match (key, value) {
        ("kind" | "length", None) => None,
        ("kind", Some(text)) => {
            let code = CABLE_KIND.code(&Folded::of(text));
            let word = code.and_then(|code| CABLE_KIND.word(code.into()));
            Some(word.ok_or_else(|| needs(key, &CABLE_KIND.phrase()))?.to_owned())
        }
        ("length", Some(text)) => {
            let length = value::length(text, None);
            let length =
                length.ok_or_else(|| needs(key, "a length with its unit: 1.5 m, 80 cm, 6 ft"))?;
            Some(words::length(length))
        }
        ("label", Some(text)) => Some(text.to_owned()),
        _ => return Ok(None),
    }))
}

fn demand(key: &Folded) -> Option<Demand> {
    Demand::ALL.iter().copied().find(|demand| key.is(demand.key()))
}

fn spelled_demand(demand: Demand, text: &str) -> Result<String, String> {
    let bits = demand_bits(demand.kind(), text);
    let bits = bits.map_err(|expected| needs(demand.key(), &expected))?;
    Ok(words::demand(demand.kind(), bits))
}

fn put(entries: &mut Vec<Entry>, key: &str, value: Option<String>) {
    let at = entries.iter().position(|entry| entry.key == key);
    match (at, value) {
        (Some(at), Some(value)) => entries[at].value = Some(value),
        (Some(at), None) => {
            entries.remove(at);
        }
        (None, Some(value)) => entries.push(Entry::new(key, value)),
        (None, None) => {}
    }
}

fn connect(site: &Site, file: &mut SiteFile, ends: [&Socket; 2], kind: &str) -> Result<(), String> {
    let cables = || file.tables.iter().filter(|table| table.list == List::Cable);
    if cables().count() >= limits::CABLES {
        return Err(format!("a site has at most {} cables", limits::CABLES));
    }
    let code = CABLE_KIND.code(&Folded::of(kind));
    let word = code.and_then(|code| CABLE_KIND.word(code.into()));
    let word = word.ok_or_else(|| needs("kind", &CABLE_KIND.phrase()))?;
    let taken = |label: &str| {
        let label = Folded::of(label);
        site.declared.cables.iter().any(|cable| cable.key == label)
    };
    let letter = match word {
        "battery" => "B",
        "sensor" => "S",
        "terminator" => "T",
        "meter" => "M",
        "pack link" => "P",
        _ => "C",
    };
    let free = (1..=limits::CABLES + 1).map(|number| format!("{letter}{number}"));
    let label = free.into_iter().find(|label| !taken(label)).unwrap_or_default();
    let mut entries = vec![Entry::new("label", label)];
    for (end, [key, port_key]) in ends.into_iter().zip([["from", "from_port"], ["to", "to_port"]]) {
        entries.push(Entry::new(key, &end.name));
        if !end.port.is_empty() {
            entries.push(Entry::new(port_key, &end.port));
        }
    }
    entries.push(Entry::new("kind", word));
    file.lists_cables = true;
    file.tables.push(Table { list: List::Cable, entries });
    Ok(())
}

/// One more unit: a follower without a terminator at the next address, with what is demanded of every
/// unit and what must be alike. All else is seen on the unit, and stays undeclared until it is.
fn add_unit(site: &Site, file: &mut SiteFile) -> Result<(), String> {
    let units = &site.declared.units;
    if units.len() >= limits::UNITS {
        return Err(format!("a site has at most {} units", limits::UNITS));
    }
    let plan = crate::engine::plan(site).map_err(|error| format!("{error:?}"))?;
    let highest = units.iter().filter_map(|unit| unit.number).max();
    let number = highest.map_or(units.len() + 1, |highest| usize::from(highest) + 1);
    let of_units = || file.tables.iter().filter(|table| table.list == List::Unit);
    let is_stated = |key: &str| of_units().any(|table| !table.value(key).is_empty());
    let addresses = of_units().filter_map(|table| table.value("address").parse::<u32>().ok());
    let address = addresses.max().map(|highest| (highest + 1).to_string());
    let mut entries = vec![Entry::new("name", format!("unit {number}"))];
    let chosen = [
        ("role", Some(Role::Follower.word().to_owned())),
        ("address", address),
        ("terminator", Some(Terminator::Off.word().to_owned())),
    ];
    for (key, value) in chosen.into_iter().filter(|(key, _)| is_stated(key)) {
        entries.extend(value.map(|value| Entry::new(key, value)));
    }
    for setting in dial::of_one_more(site, plan.demands) {
        let is_new = entries.iter().all(|entry| entry.key != setting.key);
        entries
            .extend(setting.value.filter(|_| is_new).map(|value| Entry::new(setting.key, value)));
    }
    let at = file.tables.iter().rposition(|table| table.list == List::Unit).map_or(0, |at| at + 1);
    file.tables.insert(at, Table { list: List::Unit, entries });
    Ok(())
}
