//! One change of a site, made in the text of its sheets.
//!
//! What is wanted is said over the canonical form of the site ([`tidy::shape`]). Then the smallest
//! changes of the text are tried, each read again: the first that gives exactly what is wanted, and
//! nothing else, is taken, so that comments and hand stay as they were. Where none does, the site
//! is written anew in its canonical form, if no question is open that this would decide.

mod beside;
mod cells;
mod clear;
mod patch;
mod shorthand;
mod small;
mod wanted;
mod whole;

use beside::Beside;

use crate::engine::{Request, Site, read_site};
use crate::read::{RawSheet, ReadError};
use crate::site_file::{Entry, List, SiteFile, Table};
use crate::tidy;

/// What a fact is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Of {
    /// The group, or what the site demands.
    Group,
    /// A thing of a list, by its name.
    Named(List, String),
    /// A cable, by its position in the canonical form.
    Cable(usize),
}

/// An end of a cable.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Socket {
    /// A unit, a pack, a sensor, another device; `-` is an open plug.
    pub name: String,
    /// The socket of a unit; empty for all others.
    pub port: String,
}

/// A change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Edit {
    /// A fact gets a value, or loses the one that it has.
    Set {
        /// What it is about.
        of: Of,
        /// Its key.
        key: String,
        /// The value.
        value: Option<String>,
    },
    /// A cable joins two sockets.
    Connect {
        /// One end.
        from: Socket,
        /// The other.
        to: Socket,
        /// What it is for, in a word of cable lists.
        kind: String,
    },
    /// A cable goes.
    Disconnect(usize),
    /// One more unit: a follower, set as all are demanded to be and as all are alike.
    AddUnit,
    /// A unit goes, with its cables.
    RemoveUnit(String),
    /// An act that is to do was done, and looked at.
    Confirm {
        /// Its position among the acts.
        act: usize,
        /// What was seen, initials, and the time.
        seen: [String; 3],
    },
}

/// The sheets after a change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edited {
    /// The sheets.
    pub sheets: Vec<RawSheet>,
    /// Whether they were written anew: all of it is there, in the canonical form.
    pub anew: bool,
}

/// Makes a change in sheets.
///
/// # Errors
/// Why it cannot be made, in words.
///
/// ```
/// use coldcheck::edit::{Edit, Of, edit};
/// use coldcheck::read::{RawSheet, ReadError};
/// use coldcheck::site_file::List;
///
/// let text = "unit 1 = coordinator, addr 1   # left\nunit 2 = follower, addr 1\n";
/// let sheets = [RawSheet { name: "site.txt".to_owned(), bytes: text.as_bytes().to_vec() }];
/// let change = Edit::Set {
///     of: Of::Named(List::Unit, "unit 2".to_owned()),
///     key: "address".to_owned(),
///     value: Some("2".to_owned()),
/// };
/// let edited = edit(&sheets, &change, &|name| Err(ReadError::file(name, "unknown", "plain")));
/// let text = &edited.expect("it can be changed").sheets[0].bytes;
/// assert!(text.ends_with(b"# left\nunit 2 = follower, addr 2\n"));
/// ```
pub fn edit(
    files: &[RawSheet],
    change: &Edit,
    load_profile: &dyn Fn(&str) -> Result<String, ReadError>,
) -> Result<Edited, String> {
    let request = Request { files, profile: None, scope: None, load_profile };
    let (site, before) = read(&request)
        .ok_or("the sheets cannot be read as they are; mend their text first".to_owned())?;
    let wanted = wanted::after(&site, &before, change)?;
    if is_same(&before, &wanted) {
        return Ok(Edited { sheets: files.to_vec(), anew: false });
    }
    let texts: Vec<RawSheet> = site.declared.sheets.0.iter().map(of_text).collect();
    let in_short = shorthand::of(&site.declared);
    let is_wanted = |again: &Site, shape: &SiteFile| {
        // Both times in short: nobody changed it.
        let mut derived = shorthand::of(&again.declared);
        derived.retain(|fact| in_short.contains(fact));
        let [shape, wanted] = [shape, &wanted].map(|one| shorthand::without(one, &derived));
        is_same(&shape, &wanted) && again.declared.waivers.len() == site.declared.waivers.len()
    };
    let beside = Beside::of(&site.declared);
    let places = small::places(&site, change);
    for patch in small::patches(&site, change, &wanted) {
        let sheets = patch.applied(&texts);
        let again = read(&Request { files: &sheets, ..request });
        let is_it = again.is_some_and(|(again, shape)| {
            is_wanted(&again, &shape)
                && beside.is_kept(&Beside::of(&again.declared), change, &places)
        });
        if is_it {
            return Ok(Edited { sheets, anew: false });
        }
    }
    if site.declared.question_count() > 0 {
        return Err("the sheets leave a question open, and this change would mean writing them \
                    anew; answer the question first, or change the text"
            .to_owned());
    }
    let anew = whole::forms(&site, &wanted).into_iter().find(|sheets| {
        let again = read(&Request { files: sheets, ..request });
        again.is_some_and(|(again, shape)| is_wanted(&again, &shape))
    });
    anew.map(|sheets| Edited { sheets, anew: true }).ok_or_else(|| {
        "the sheets would not say just this afterwards; change it in their text".to_owned()
    })
}

fn of_text(sheet: &crate::source::Sheet) -> RawSheet {
    RawSheet { name: sheet.name.clone(), bytes: sheet.text.clone().into_bytes() }
}

fn read(request: &Request<'_>) -> Option<(Site, SiteFile)> {
    let site = read_site(request).ok()?;
    let shape = tidy::shape(&site, request).ok()?;
    Some((site, shape))
}

/// Whether two sites state the same: things in any order, and those of which nothing but a name is
/// known left out, since a cable may name them as well.
fn is_same(one: &SiteFile, other: &SiteFile) -> bool {
    comparable(one) == comparable(other)
}

type Lines = Vec<(String, Option<String>)>;

fn comparable(file: &SiteFile) -> (Lines, Lines, Vec<(&'static str, Lines)>) {
    let lines = |entries: &[Entry]| {
        let mut lines: Lines = entries.iter().map(line).collect();
        lines.sort();
        lines
    };
    let bare = |table: &&Table| table.list == List::Cable || table.entries.len() > 1;
    let mut tables: Vec<_> = file
        .tables
        .iter()
        .filter(bare)
        .map(|table| (table.list.word(), lines(&table.entries)))
        .collect();
    tables.sort();
    (lines(&file.group), lines(&file.demands), tables)
}

/// A line as it is compared: a cable without a label is called by its line, which moves.
fn line(entry: &Entry) -> (String, Option<String>) {
    let value = entry.value.clone().filter(|_| entry.key != "unlabelled");
    (entry.key.clone(), value)
}

#[cfg(test)]
mod tests;
