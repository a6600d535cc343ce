//! What was heard, in the person's words: one row for each address.

use super::findings::Teller;
use super::naming::{self, NamedPlace};
use crate::engine::Site;
use crate::hearing::Hearing;
use crate::log::{Summary, Times};
use coldcheck_core::compared::Compared;
use coldcheck_core::finding::Outcome;
use coldcheck_core::heard::{BusError, Controller, Heard, Speaker};
use coldcheck_core::links::{Known, Links};
use coldcheck_core::place::Place;
use coldcheck_core::plan::{Datum, Dialect, Milliseconds, Plan, Role, UnitRecord};
use coldcheck_core::report::Report;
use coldcheck_core::rules::{RuleId, report_reading};

/// What was heard.
#[derive(Clone, Debug)]
pub struct HeardLog {
    /// How units make themselves known; `None` if nobody demands it.
    pub dialect: Option<Dialect>,
    /// How many frames were heard.
    pub frames: u32,
    /// What the log was like.
    pub log: Summary,
    /// What the gateway's own controller said, if the log tells.
    pub controller: Option<Controller>,
    /// Units in the order of the plan, then other devices, then strangers.
    pub rows: Vec<HeardRow>,
    /// How many signs of life of further strangers found no room.
    pub unheeded: u16,
}

/// Who an address belongs to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Who {
    /// A declared unit or another declared device.
    Declared(NamedPlace),
    /// Nobody who was declared.
    Stranger,
}

/// What was heard under one address.
#[derive(Clone, Debug)]
pub struct HeardRow {
    /// Whose address it is.
    pub who: Who,
    /// The address; `None` for a unit whose address is not declared.
    pub address: Option<u16>,
    /// How many frames came; from 65,535 on, that many or more.
    pub frames: u16,
    /// When it was first and last heard, if the log's times can be used.
    pub heard_at: Option<(Milliseconds, Milliseconds)>,
    /// The usual time between two signs of life.
    pub period: Option<Milliseconds>,
    /// The role that it told last.
    pub role: Option<Role>,
    /// The unit count that it told last.
    pub count: Option<u16>,
    /// The firmware that it told last: four parts, the first in the high byte.
    pub firmware: Option<u32>,
    /// Its serial number.
    pub serial: Option<u32>,
    /// What tells it from any other; a serial number where it has one.
    pub identity: Option<u64>,
    /// How often it said that it has just started.
    pub starts: u8,
}

impl HeardLog {
    /// What was heard at a site.
    pub(super) fn of(site: &Site, plan: &Plan<'_>, hearing: &Hearing<'_>) -> Self {
        let heard = hearing.heard();
        let has_times = hearing.log().times() == Times::Told;
        let row = |who: Who, speaker: &Speaker| HeardRow {
            who,
            address: speaker.address(),
            frames: speaker.frames(),
            heard_at: (speaker.is_heard() && has_times).then(|| (speaker.first(), speaker.last())),
            period: speaker.rhythm().period().map(Milliseconds),
            role: speaker.role(),
            count: speaker.count(),
            firmware: speaker.firmware(),
            serial: speaker.serial(),
            identity: speaker.identity(),
            starts: speaker.starts(),
        };
        let named = |place: Place| Who::Declared(naming::name(site, place));
        let units = plan.units().filter_map(|(id, _)| {
            heard.unit(id).map(|speaker| row(named(Place::Unit(id)), speaker))
        });
        let device_of = |speaker: &Speaker| {
            let mut devices = plan.devices();
            devices.find(|(_, device)| device.address() == speaker.address()).map(|(id, _)| id)
        };
        let (mut devices, mut strangers) = (Vec::new(), Vec::new());
        for speaker in heard.strangers() {
            match device_of(speaker) {
                Some(id) => devices.push(row(named(Place::Device(id)), speaker)),
                None => strangers.push(row(Who::Stranger, speaker)),
            }
        }
        strangers.sort_by_key(|row| row.address);
        Self {
            dialect: hearing.dialect(),
            frames: heard.frames(),
            log: hearing.log().clone(),
            controller: heard.controller_state().copied(),
            rows: units.chain(devices).chain(strangers).collect(),
            unheeded: heard.unheeded(),
        }
    }

    /// Whether times of the log can be used.
    pub fn has_times(&self) -> bool {
        self.log.times() == Times::Told
    }

    /// Declared units with an address of which nothing was heard, in a few words; `None` if there are
    /// none.
    pub fn silent(&self) -> Option<String> {
        let is_silent = |row: &&HeardRow| row.address.is_some() && row.frames == 0;
        let unit = |row: &HeardRow| match &row.who {
            Who::Declared(place @ NamedPlace::Unit { .. }) => Some(place.phrase()),
            Who::Declared(_) | Who::Stranger => None,
        };
        let names: Vec<String> = self.rows.iter().filter(is_silent).filter_map(unit).collect();
        (!names.is_empty()).then(|| format!("not heard: {}", names.join(", ")))
    }

    /// How many errors the recorder's controller told of; `None` if there were none.
    pub fn errors(&self) -> Option<u32> {
        let controller = self.controller?;
        let kinds = [BusError::Acknowledge, BusError::Bit, BusError::Frame, BusError::Other];
        let count: u32 = kinds.into_iter().map(|kind| u32::from(controller.count(kind))).sum();
        (count > 0).then_some(count)
    }

    /// How many declared units were heard, and how many there are with an address.
    pub fn units_heard(&self) -> (usize, usize) {
        let is_unit = |row: &&HeardRow| {
            matches!(row.who, Who::Declared(NamedPlace::Unit { .. })) && row.address.is_some()
        };
        let units = self.rows.iter().filter(is_unit);
        (units.clone().filter(|row| row.frames > 0).count(), units.count())
    }
}

/// Rules that compare a number that a unit tells with one that is declared.
const NUMBERS: [(RuleId, Datum); 2] =
    [(RuleId::UnitIdentitySwapped, Datum::Serial), (RuleId::FirmwareHeardDiffers, Datum::Firmware)];

/// Declared numbers with which nothing that is heard can be compared, since they are no numbers that
/// the bus can carry: of each rule about them the datum, and units that were heard. A rule for which
/// no other number was left is not met but lacks the datum.
pub(super) fn leave_open_what_is_no_number(
    plan: &Plan<'_>,
    heard: &Heard,
    report: &mut Report<'_>,
) {
    for (rule, datum) in NUMBERS {
        let can_be_compared = plan.units().any(|(id, unit)| {
            is_plain(unit, datum) && heard.unit(id).is_some_and(Speaker::is_heard)
        });
        if report.outcome(rule) == Outcome::Met && !can_be_compared {
            report_reading(rule, report, |sink| {
                sink.open(datum);
            });
        }
    }
}

fn is_plain(unit: &UnitRecord, datum: Datum) -> bool {
    if datum == Datum::Serial {
        unit.plain_serial().is_some()
    } else {
        unit.plain_firmware().is_some()
    }
}

impl Teller<'_, '_> {
    /// Units whose declared number cannot be compared with what is heard, for a rule that does so.
    pub(super) fn no_numbers(&self, rule: RuleId) -> Option<(Datum, Vec<Place>)> {
        let (_, datum) = NUMBERS.into_iter().find(|(known, _)| *known == rule)?;
        let units = self.plan.units();
        let other = units.filter(|(_, unit)| unit.declares(datum) && !is_plain(unit, datum));
        let places: Vec<Place> = other.map(|(id, _)| Place::Unit(id)).collect();
        (!places.is_empty()).then_some((datum, places))
    }

    /// What is declared, and what was heard where something was listened to.
    pub(super) fn known(&self) -> Known {
        let links = Links::build(self.plan);
        match self.heard {
            Some(heard) => Compared::build(&links, heard).known,
            None => links.known,
        }
    }

    /// Units that were heard and did not tell the datum.
    pub(super) fn heard_without(&self, datum: Datum) -> Vec<Place> {
        let Some(heard) = self.heard else { return Vec::new() };
        let lacks = |speaker: &Speaker| speaker.is_heard() && !speaker.told().contains(datum);
        self.plan
            .units()
            .filter(|(id, _)| heard.unit(*id).is_some_and(lacks))
            .map(|(id, _)| Place::Unit(id))
            .collect()
    }
}
