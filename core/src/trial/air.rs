//! What a gateway hears of a trial's site, for the edge tests of the rules about it.
//!
//! ```ignore
//! let answer = Trial::line(4).hear(|air| air.keep(|_, address| address != 3));
//! assert_eq!(answer.places(RuleId::UnitSilent), [[unit(2)]]);
//! ```

use super::{Answer, Trial};
use crate::frame::{Frame, FrameId};
use crate::heard::{Controller, Heard, Listener};
use crate::plan::{Demand, Dialect, FieldRecord, FrameRecord, Milliseconds, Plan, UnitRecord};

/// Frames that are heard, by time in milliseconds; each tells everything about its sender.
pub(crate) struct Air {
    said: Vec<Said>,
    /// When listening ends, in milliseconds.
    pub(crate) until: u32,
    /// What the gateway's controller says, if it is asked.
    pub(crate) controller: Option<Controller>,
}

/// One sign of life.
#[derive(Clone, Copy)]
pub(crate) struct Said {
    pub(crate) at: u32,
    pub(crate) address: u8,
    /// 1 leads, 2 follows, anything else says nothing.
    pub(crate) role: u8,
    pub(crate) count: u8,
    pub(crate) serial: u32,
    /// Two parts of a version; who tells them tells a serial number, too.
    pub(crate) firmware: Option<[u8; 2]>,
}

/// Where these facts lie in a frame.
fn map() -> [FrameRecord; 1] {
    let field = |start, width| FieldRecord { start, width };
    [FrameRecord {
        id: 0x300.into(),
        mask: 0x700.into(),
        address: field(FieldRecord::FIRST_OF_ID, 8),
        role: field(0, 8),
        count: field(8, 8),
        serial: field(16, 32),
        firmware: field(48, 16 | FieldRecord::MOST_SIGNIFICANT_FIRST),
        coordinator: 1,
        follower: 2,
    }]
}

impl Air {
    /// Ten signs of life of each unit, a second apart.
    fn of(plan: &Plan<'_>) -> Self {
        let mut said = Vec::new();
        for beat in 0..10 {
            for (at, unit) in (0u32..).zip(plan.units) {
                let Some(address) = unit.address() else { continue };
                said.push(Said {
                    at: beat * 1000 + at * 20,
                    address: u8::try_from(address).expect("a trial's address"),
                    role: unit.role,
                    count: unit.count().and_then(|count| u8::try_from(count).ok()).unwrap_or(0),
                    serial: unit.serial.get(),
                    firmware: None,
                });
            }
        }
        Self { said, until: 9500, controller: None }
    }

    /// Keeps what is heard at these times of these addresses.
    pub(crate) fn keep(&mut self, wanted: impl Fn(u32, u8) -> bool) {
        self.said.retain(|said| wanted(said.at, said.address));
    }

    /// Changes everything that an address says.
    pub(crate) fn change(&mut self, address: u8, edit: impl Fn(&mut Said)) {
        self.said.iter_mut().filter(|said| said.address == address).for_each(edit);
    }

    /// Adds what another would say who copies an address, so many milliseconds later.
    pub(crate) fn copy(&mut self, address: u8, later: u32, edit: impl Fn(&mut Said)) {
        let copies: Vec<Said> =
            self.said.iter().filter(|said| said.address == address).copied().collect();
        for mut said in copies {
            said.at += later;
            edit(&mut said);
            self.said.push(said);
        }
        self.said.sort_by_key(|said| said.at);
    }

    fn tell(&self, plan: &Plan<'_>) -> Heard {
        let mut heard = Heard::of(plan);
        let listener = Listener::of(plan);
        for said in &self.said {
            let id = FrameId::standard(0x300 | u16::from(said.address)).expect("11 bits");
            let [a, b, c, d] = said.serial.to_le_bytes();
            let [major, minor] = said.firmware.unwrap_or_default();
            let bytes = [said.role, said.count, a, b, c, d, major, minor];
            // Who has no serial number or no version leaves it out.
            let length = match (said.serial, said.firmware) {
                (_, Some(_)) => 8,
                (0, None) => 2,
                (_, None) => 6,
            };
            let frame = Frame::new(id, &bytes[..length]).expect("short");
            heard.hear(Milliseconds(said.at), &frame, listener.as_ref());
        }
        heard.pass(Milliseconds(self.until));
        if let Some(controller) = self.controller {
            *heard.controller() = controller;
        }
        heard
    }
}

impl Trial {
    /// Checks the site, and what is heard of it after an edit.
    pub(crate) fn hear(self, edit: impl FnOnce(&mut Air)) -> Answer {
        let trial = self.demand(Demand::Dialect, Dialect::FrameMap.code().into());
        let frames = map();
        let plan = Plan { frames: &frames, ..trial.plan() };
        let mut air = Air::of(&plan);
        edit(&mut air);
        Answer::of(&plan, Some(&air.tell(&plan)))
    }

    /// Gives each unit a serial number, 1001 and up.
    pub(crate) fn with_serials(mut self) -> Self {
        let declare = |unit: &mut UnitRecord| {
            let bit = 1 << crate::plan::Datum::Serial.bit();
            unit.declared = (unit.declared.get() | bit).into();
        };
        for (serial, unit) in (1001u32..).zip(&mut self.units) {
            unit.serial = serial.into();
            declare(unit);
        }
        self
    }
}
