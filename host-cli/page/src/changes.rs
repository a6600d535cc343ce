//! Sites that begin, and changes of sites.

use crate::request::{no_profile, sheets, sheets_told};
use coldcheck::edit::{self, Edit, Of, Socket};
use coldcheck::field::Field;
use coldcheck::profile;
use coldcheck::read::{RawSheet, ReadError};
use coldcheck::site_file::List;
use coldcheck::start::{blanks, start};
use serde_json::{Value, json};

/// A right site to start from; with `cables` false, one whose cables a person joins.
pub(crate) fn new(request: &Value) -> Value {
    let named = request["profile"].as_str().unwrap_or(profile::ASSUMED);
    let units = request["units"].as_u64().and_then(|units| u16::try_from(units).ok()).unwrap_or(0);
    let refused = |errors: &[ReadError]| {
        let says = errors.iter().map(|error| match &error.expected {
            Some(expected) => format!("{}; expected {expected}", error.says),
            None => error.says.clone(),
        });
        json!({ "refused": says.collect::<Vec<_>>().join(". ") })
    };
    let Some(text) = profile::builtin(named) else {
        return json!({ "refused": format!("no built-in profile is called {named}") });
    };
    match profile::parse(named, text)
        .map_err(|(_, errors)| errors)
        .and_then(|profile| start(&profile, named, units))
    {
        Err(errors) => refused(&errors),
        Ok(mut site) => {
            if request["cables"] == false {
                site.tables.retain(|table| table.list != List::Cable);
            }
            let made = [("cables.csv", site.cable_list()), ("settings.txt", site.settings_list())];
            let made = made
                .map(|(name, text)| RawSheet { name: name.to_owned(), bytes: text.into_bytes() });
            match named_site(&made, request["site"].as_str().unwrap_or("")) {
                Ok(made) => json!({ "sheets": sheets_told(&made), "blanks": blanks(&site) }),
                Err(says) => json!({ "refused": says }),
            }
        }
    }
}

/// The sheets with the name of the site.
fn named_site(sheets: &[RawSheet], name: &str) -> Result<Vec<RawSheet>, String> {
    if name.trim().is_empty() {
        return Ok(sheets.to_vec());
    }
    let value = Some(name.trim().to_owned());
    let change = Edit::Set { of: Of::Group, key: Field::Site.key().to_owned(), value };
    Ok(edit::edit(sheets, &change, &no_profile)?.sheets)
}

/// A change.
pub(crate) fn edit(request: &Value) -> Value {
    let Some(change) = change(&request["change"]) else {
        return json!({ "refused": "this is no change that a site can have" });
    };
    match edit::edit(&sheets(request), &change, &no_profile) {
        Ok(edited) => json!({ "sheets": sheets_told(&edited.sheets), "anew": edited.anew }),
        Err(says) => json!({ "refused": says }),
    }
}

fn change(change: &Value) -> Option<Edit> {
    let text = |key: &str| change[key].as_str().map(ToOwned::to_owned);
    let position = || change["cable"].as_u64().and_then(|at| usize::try_from(at).ok());
    let socket = |end: &Value| {
        let port = end["port"].as_str().unwrap_or("").to_owned();
        Some(Socket { name: end["name"].as_str()?.to_owned(), port })
    };
    Some(match change["do"].as_str()? {
        "set" => Edit::Set { of: of(change, position()), key: text("key")?, value: text("value") },
        "connect" => Edit::Connect {
            from: socket(&change["from"])?,
            to: socket(&change["to"])?,
            kind: text("kind")?,
        },
        "disconnect" => Edit::Disconnect(position()?),
        "add unit" => Edit::AddUnit,
        "remove unit" => Edit::RemoveUnit(text("unit")?),
        "confirm" => Edit::Confirm {
            act: usize::try_from(change["act"].as_u64()?).ok()?,
            seen: [text("seen")?, text("by")?, text("time")?],
        },
        _ => return None,
    })
}

fn of(change: &Value, cable: Option<usize>) -> Of {
    if let Some(position) = cable {
        return Of::Cable(position);
    }
    let named = [List::Unit, List::Pack, List::Sensor, List::Device]
        .into_iter()
        .find_map(|list| Some(Of::Named(list, change[list.word()].as_str()?.to_owned())));
    named.unwrap_or(Of::Group)
}
