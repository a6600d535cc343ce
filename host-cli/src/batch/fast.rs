//! The fast way: a line in the plain form goes straight to the records of its plan, without a
//! tree, origins or sentences in between. What a word means is asked of the general reader's own
//! tables, once for each word.
//!
//! It takes only what it knows exactly. Everything else, and every doubt and every error, is left
//! to the general reader, and `tests/batch.rs` holds the two against each other.

mod ends;
mod meaning;
mod memo;
mod plan;
mod read;
mod scan;
mod site;
mod sizes;
mod things;

use super::report::Head;
use super::told::{self, Naming};
use super::{Answer, MOST_BYTES, Room, Settings, built_in};
use crate::assemble::{frames, stated_demands};
use crate::diagnosis::readings::lengths_missing;
use crate::engine::{self, Request};
use crate::profile::{ASSUMED, Profile};
use crate::read::{RawSheet, ReadError};
use coldcheck_core::finding::Outcome;
use coldcheck_core::place::{CableId, PortId};
use coldcheck_core::plan::{CableKind, Datum, Demand, DemandRecord, Dialect, Plan, Scope};
use coldcheck_core::report::Report;
use coldcheck_core::rule::Check;
use coldcheck_core::rules::{self, RULES, RuleId, report_reading};
use meaning::{Key, Lists, Meaning, Thing};
use memo::Memo;
use plan::Made;
use scan::General;
use site::Site;
use sizes::Sizes;
use std::collections::HashMap;
use std::sync::Arc;

/// Sets of demands that are kept for a profile.
const MOST_DEMANDS: usize = 1024;
/// Profiles for which sockets are remembered: one tag each.
const MOST_PROFILES: usize = 40;

/// What is kept from line to line.
#[derive(Debug)]
pub(super) struct Fast {
    memo: Memo<Meaning>,
    lists: Lists,
    /// The keys of each kind of object, as they were written, in the order in which they came.
    keys: [Vec<(Box<[u8]>, Key)>; 7],
    site: Site,
    made: Made,
    profiles: Vec<Known>,
    /// For each name the line in which a unit is called so, and its position there.
    unit_called: Vec<(u64, u8)>,
    line: u64,
    has_odd_units: bool,
    /// How each rule of the readers ends where there is nothing to find.
    readers: Vec<Outcome>,
    sizes: Sizes,
}

/// A profile that a line has named.
#[derive(Debug)]
struct Known {
    name: String,
    profile: Arc<Profile>,
    demands: HashMap<Box<[(Demand, u32)]>, DemandRecord>,
    /// Those of the line before.
    last: Option<(Vec<(Demand, u32)>, DemandRecord)>,
}

impl Known {
    fn demands(&mut self, site: &[(Demand, u32)]) -> DemandRecord {
        if let Some((last, record)) = &self.last
            && last == site
        {
            return *record;
        }
        let record = if let Some(record) = self.demands.get(site) {
            *record
        } else {
            if self.demands.len() >= MOST_DEMANDS {
                self.demands.clear();
            }
            let record = stated_demands(site, &self.profile);
            self.demands.insert(site.into(), record);
            record
        };
        let (last, known) = self.last.get_or_insert_with(|| (Vec::new(), record));
        last.clear();
        last.extend_from_slice(site);
        *known = record;
        record
    }
}

impl Fast {
    /// `None` if the general reader does not take the plainest site; then it reads everything.
    pub(super) fn new() -> Option<Self> {
        Some(Self {
            memo: Memo::new(),
            lists: Lists::default(),
            keys: Default::default(),
            site: Site::default(),
            made: Made::default(),
            profiles: Vec::new(),
            unit_called: Vec::new(),
            line: 0,
            has_odd_units: false,
            readers: outcomes_of_readers()?,
            sizes: Sizes::default(),
        })
    }

    /// Judges a line, if it is in the plain form.
    pub(super) fn line(
        &mut self,
        settings: &Settings,
        room: &mut Room,
        number: u64,
        line: &[u8],
        out: &mut Vec<u8>,
    ) -> Option<Answer> {
        let (text, profile) = self.take(settings, line).ok()?;
        let has_power = self.plan().group.scope().covers(Scope::POWER);
        let sizes =
            if has_power { self.sizes.outcomes(&self.made.demands) } else { Arc::default() };
        let plan = self.plan();
        let mut report = Report::new(&mut room.findings, &mut room.places, &mut room.unknowns);
        let lengths = lengths(&plan, self.site.lists_cables, &mut report);
        rules::check(&plan, &mut report);
        let head = Head {
            number,
            site: self.site.name.map(|site| site.text(text)),
            profile: &profile.name,
            profile_assumed: settings.profile.is_none() && self.site.profile.is_none(),
            scope: plan.group.scope(),
            verdict: report.verdict(),
        };
        let words = Words { fast: self, line: text, profile: &profile };
        let outcome = |rule: RuleId| {
            if rule == RuleId::LengthMissing {
                return undoubted(rule, lengths, &report);
            }
            if rule == RuleId::LineOnNeutralBar && has_power && self.site.has_conductors() {
                return Outcome::Met;
            }
            if let Some(outcome) = sizes.get(rule.index()).filter(|one| **one != Outcome::NotRun) {
                return *outcome;
            }
            match self.readers.get(rule.index()) {
                Some(Outcome::NotRun) | None => report.outcome(rule),
                Some(of_reader) => undoubted(rule, *of_reader, &report),
            }
        };
        told::write(&head, &report, &words, &mut room.lists, outcome, out);
        Some(Answer::Verdict(report.verdict()))
    }

    /// The body of the plan, if the line is in the plain form.
    pub(super) fn body(&mut self, settings: &Settings, line: &[u8]) -> Option<Vec<u8>> {
        let (_, profile) = self.take(settings, line).ok()?;
        let frames = frames(&profile);
        let mut memory = vec![0; coldcheck_core::limits::BODY_BYTES];
        Some(Plan { frames: &frames, ..self.plan() }.encode(&mut memory).ok()?.to_vec())
    }

    /// Reads a line and puts it in order.
    fn take<'l>(
        &mut self,
        settings: &Settings,
        line: &'l [u8],
    ) -> Result<(&'l str, Arc<Profile>), General> {
        if line.len() > MOST_BYTES {
            return Err(General);
        }
        let text = std::str::from_utf8(line).map_err(|_| General)?;
        // Marks and signs that the general reader takes out, or takes for no text.
        if !text.is_ascii() && text.chars().any(is_odd) {
            return Err(General);
        }
        if self.memo.is_full() || self.lists.is_full() {
            self.memo.forget();
            self.lists.forget();
            self.unit_called.clear();
        }
        self.read(text)?;
        let number = self.profile(settings, text)?;
        let known = self.profiles.get_mut(number).ok_or(General)?;
        let frame_map = (Demand::Dialect, u32::from(Dialect::FrameMap.code()));
        if known.profile.frames.is_empty() && self.site.demands.contains(&frame_map) {
            return Err(General);
        }
        self.made.demands = known.demands(&self.site.demands);
        let profile = Arc::clone(&known.profile);
        let scope = settings.scope.or(self.site.scope).unwrap_or(Scope::ALL);
        let tag = u8::try_from(number).map_err(|_| General)?;
        self.make(text, &profile, tag, scope)?;
        Ok((text, profile))
    }

    /// Which of the known profiles holds for the line.
    fn profile(&mut self, settings: &Settings, line: &str) -> Result<usize, General> {
        let named = self.site.profile.map_or(ASSUMED, |span| span.text(line));
        let name = settings.profile.as_ref().map_or(named, |(name, _)| name.as_str());
        if let Some(known) = self.profiles.iter().position(|known| known.name == name) {
            return Ok(known);
        }
        let profile = match &settings.profile {
            Some((_, profile)) => Arc::clone(profile),
            None => built_in(name).map_err(|_| General)?,
        };
        // More spellings than anybody writes.
        if self.profiles.len() >= MOST_PROFILES {
            return Err(General);
        }
        let name = name.to_owned();
        self.profiles.push(Known { name, profile, demands: HashMap::new(), last: None });
        Ok(self.profiles.len() - 1)
    }

    fn thing(&self, position: u16) -> Result<Thing, General> {
        self.lists.things.get(usize::from(position)).copied().ok_or(General)
    }
}

/// Byte-order marks, whole or read as Latin-1, and control signs.
fn is_odd(character: char) -> bool {
    matches!(character, '\u{FEFF}' | '\u{EF}') || (character.is_control() && !character.is_ascii())
}

/// How a rule of the readers ends beside what the core found: what was met may be in doubt. The
/// core does this for all rules in its report; to write those of the readers into it first would
/// cost each line more than to look them up.
fn undoubted(rule: RuleId, outcome: Outcome, report: &Report<'_>) -> Outcome {
    let doubted_by = rule.rule().needs.doubted_by;
    let broken = doubted_by.iter().find(|by| report.outcome(**by) == Outcome::Broken);
    match (outcome, broken) {
        (Outcome::Met, Some(by)) => Outcome::Blocked(*by),
        (outcome, _) => outcome,
    }
}

/// How the rule about missing lengths ends. Mostly every link cable has one.
fn lengths(plan: &Plan<'_>, lists_cables: bool, report: &mut Report<'_>) -> Outcome {
    let has_length =
        |cable: CableId| plan.cable(cable).is_some_and(|one| one.declares(Datum::Length));
    let limited = plan.demands.max_link_total().is_some() || plan.demands.max_cable().is_some();
    let lacks = |(id, cable): (CableId, &coldcheck_core::plan::CableRecord)| {
        cable.kind() == Some(CableKind::Link) && !has_length(id)
    };
    if limited && lists_cables && !plan.cables().any(lacks) {
        return Outcome::Met;
    }
    report_reading(RuleId::LengthMissing, report, |sink| {
        lengths_missing(plan, lists_cables, &has_length, sink);
    });
    report.outcome(RuleId::LengthMissing)
}

/// How the rules of the readers end for a site file without doubts: asked of the general reader.
fn outcomes_of_readers() -> Option<Vec<Outcome>> {
    let bytes = br#"{"unit":[{"name":"unit 1"}],"cable":[]}"#.to_vec();
    let files = [RawSheet { name: String::new(), bytes }];
    let request = Request {
        files: &files,
        profile: None,
        scope: None,
        load_profile: &|name| Err(ReadError::file(name, "no such profile", "a built-in profile")),
    };
    let (_, diagnosis) = engine::examine(&request).ok()?;
    let mut outcomes = vec![Outcome::NotRun; coldcheck_core::limits::RULES];
    for (rule, words) in RULES {
        if !matches!(words.check, Check::Reader) {
            continue;
        }
        let is_open = diagnosis.not_checked.iter().any(|entry| entry.rule == *rule);
        let outcome = if is_open { Outcome::Missing(words.shows) } else { Outcome::Met };
        *outcomes.get_mut(rule.index())? = outcome;
    }
    Some(outcomes)
}

/// The people's words for the things of the plan.
struct Words<'w> {
    fast: &'w Fast,
    line: &'w str,
    profile: &'w Profile,
}

impl Words<'_> {
    fn at<'t, T>(order: &[u8], things: &'t [T], position: usize) -> Option<&'t T> {
        things.get(usize::from(*order.get(position)?))
    }
}

impl Naming for Words<'_> {
    fn unit(&self, position: usize) -> (&str, Option<u16>) {
        let unit = Self::at(&self.fast.made.unit_order, &self.fast.site.units, position);
        unit.map_or(("", None), |unit| (unit.name.span.text(self.line), unit.number))
    }

    fn port(&self, port: PortId) -> &str {
        self.profile.port_name(port)
    }

    fn cable(&self, position: usize) -> &str {
        let cable = Self::at(&self.fast.made.cable_order, &self.fast.site.cables, position);
        cable.and_then(|cable| cable.label).map_or("", |(span, _)| span.text(self.line))
    }

    fn pack(&self, position: usize) -> &str {
        let pack = Self::at(&self.fast.made.pack_order, &self.fast.site.packs, position);
        pack.map_or("", |pack| pack.name.span.text(self.line))
    }

    fn sensor(&self, position: usize) -> (&str, Option<&'static str>) {
        let leg = self.fast.plan().sensors.get(position).and_then(|sensor| sensor.leg());
        let name = match leg.map(|leg| leg.word()) {
            Some("L1") => "CT L1",
            Some("L2") => "CT L2",
            Some("L3") => "CT L3",
            Some(_) | None => "CT",
        };
        (name, leg.map(|leg| leg.word()))
    }

    fn device(&self, position: usize) -> &str {
        let device = Self::at(&self.fast.made.device_order, &self.fast.site.devices, position);
        device.map_or("", |device| device.name.span.text(self.line))
    }
}
