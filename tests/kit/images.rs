//! Plan images of many sites, each with what is heard there.

use crate::cases::{self, request};
use crate::generate::{Dice, Model};
use coldcheck::engine::read_site;
use coldcheck::read::RawSheet;
use coldcheck::render::explain::{broken, sheets};
use coldcheck_core::rules::RULES;

/// A site as a gateway has it.
#[derive(Clone, Debug)]
pub struct Site {
    /// Where it comes from.
    pub name: String,
    /// Its plan image.
    pub image: Vec<u8>,
    /// What is heard, in the form of `candump`; empty if nothing is.
    pub log: String,
}

impl Site {
    /// A site from its sheets, one of which may be a log.
    ///
    /// # Panics
    /// If they cannot be read.
    pub fn of(name: &str, sheets: Vec<RawSheet>) -> Self {
        let (logs, sheets): (Vec<_>, Vec<_>) =
            sheets.into_iter().partition(|sheet| sheet.name.rsplit('.').next() == Some("log"));
        let site = read_site(&request(&sheets, None))
            .unwrap_or_else(|refusal| panic!("{name}: {:?}", refusal.errors));
        let log = logs.iter().map(|log| String::from_utf8_lossy(&log.bytes)).collect();
        Self { name: name.to_owned(), image: coldcheck::image::write(&site), log }
    }
}

/// Every case, every rule's example and some generated sites.
///
/// # Panics
/// If one cannot be read.
pub fn all() -> Vec<Site> {
    let mut sites = Vec::new();
    for case in cases::all() {
        let site = case.read().expect("a case can be read");
        let image = coldcheck::image::write(&site);
        sites.push(Site { name: case.name, image, log: String::new() });
    }
    for (_, rule) in RULES {
        sites.push(Site::of(rule.slug, sheets(&broken(&rule.text.example))));
    }
    for units in [2, 3, 8, 16, 32] {
        let sheets = Model::line(units, &mut Dice::new(5)).sheets();
        sites.push(Site::of(&format!("line-of-{units}"), sheets));
    }
    sites
}
