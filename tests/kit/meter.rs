//! Links as plans of plain numbers, for the tests of the meter.

pub mod deck;
pub mod goldens;
pub mod links;

use coldcheck_core::plan::{
    CableKind, CableRecord, Datum, Demand, DemandRecord, DemandSet, EndKind, EndRecord,
    GroupRecord, Plan, Terminator, UnitRecord, Wiring,
};

/// Units in a row of numbers with link cables between them.
#[derive(Clone, Debug, Default)]
pub struct Link {
    demands: DemandRecord,
    group: GroupRecord,
    units: Vec<UnitRecord>,
    cables: Vec<CableRecord>,
}

impl Link {
    /// So many units without terminators and cables.
    pub fn of(units: usize) -> Self {
        let off = UnitRecord { terminator: Terminator::Off.code(), ..UnitRecord::default() };
        let lists = 1_u64 << Datum::CableList.bit() | 1 << Datum::UnitList.bit();
        let group = GroupRecord { declared: lists.into(), ..GroupRecord::default() };
        Self { group, units: vec![off; units], ..Self::default() }
    }

    /// States a demand.
    ///
    /// # Panics
    /// Never: a position fits any number.
    pub fn demand(&mut self, demand: Demand, bits: u32) {
        let stated = self.demands.stated.get() | DemandSet::of(&[demand]).0;
        self.demands.stated = stated.into();
        let position = usize::try_from(demand.position()).expect("few demands");
        self.demands.values[position] = bits.into();
    }

    /// Switches a unit's terminator on.
    pub fn terminate(&mut self, unit: usize, ohms: u16) {
        let unit = &mut self.units[unit];
        unit.terminator = Terminator::On.code();
        unit.terminator_ohms = ohms.into();
        unit.declared = (unit.declared.get() | 1 << Datum::TerminatorOhms.bit()).into();
    }

    /// Says something else of a unit's terminator, or nothing.
    pub fn say(&mut self, unit: usize, terminator: Option<Terminator>) {
        self.units[unit].terminator = terminator.map_or(0, Terminator::code);
    }

    /// Puts a terminator plug into a unit of which no value is stated.
    ///
    /// # Panics
    /// Never: the plug was just put in.
    pub fn plain_plug(&mut self, unit: usize) {
        self.plug(unit, 0);
        self.cables.last_mut().expect("the plug").declared = 0.into();
    }

    /// Puts a terminator plug into a unit.
    pub fn plug(&mut self, unit: usize, ohms: u16) {
        let open = EndRecord { kind: EndKind::Open.code(), ..EndRecord::UNKNOWN };
        let datum = Datum::PlugOhms.bit() - Datum::FIRST_OF_CABLES;
        self.cables.push(CableRecord {
            ends: [end(unit), open],
            kind: CableKind::Terminator.code(),
            plug_ohms: ohms.into(),
            declared: (1_u16 << datum).into(),
            ..CableRecord::default()
        });
    }

    /// Joins two units; gives the position of the cable.
    pub fn join(&mut self, a: usize, b: usize, millimetres: Option<u32>) -> usize {
        let datum = Datum::Length.bit() - Datum::FIRST_OF_CABLES;
        self.cables.push(CableRecord {
            ends: [end(a), end(b)],
            kind: CableKind::Link.code(),
            length: millimetres.unwrap_or(0).into(),
            declared: millimetres.map_or(0, |_| 1_u16 << datum).into(),
            ..CableRecord::default()
        });
        self.cables.len() - 1
    }

    /// States how the plugs of a cable are wired.
    pub fn wire(&mut self, cable: usize, wiring: Wiring) {
        self.cables[cable].wiring = wiring.code();
    }

    /// The plan.
    pub fn plan(&self) -> Plan<'_> {
        Plan { units: &self.units, cables: &self.cables, ..Plan::empty(&self.demands, &self.group) }
    }
}

fn end(unit: usize) -> EndRecord {
    EndRecord {
        kind: EndKind::Unit.code(),
        index: u8::try_from(unit).expect("few units"),
        port: EndRecord::NO_PORT,
    }
}

/// Whether two resistances are the same within a share; both open is the same.
pub fn agree(one: f64, two: f64, share: f64) -> bool {
    const OPEN: f64 = 1e6;
    if one > OPEN || two > OPEN {
        return one > OPEN && two > OPEN;
    }
    (one - two).abs() <= share * one.abs().max(two.abs())
}
