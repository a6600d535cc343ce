//! From what was declared and demanded to the plan's bytes, in canonical order.
//!
//! Units by number then name, cables by label, ends in ascending order: the order of lines on the
//! sheets changes no byte. The map says which declared thing each number of the plan stands for.

mod cables;
mod demands;
mod intern;
pub(crate) mod nets;
pub(crate) mod units;

pub use demands::effective_demands;
pub(crate) use demands::stated_demands;

use crate::declared::{Declared, Subject};
use crate::field::Field;
use crate::fold::Folded;
use crate::profile::Profile;
use crate::value::Value;
use coldcheck_core::limits;
use coldcheck_core::place::{CableId, DeviceId, PackId, SensorId, UnitId};
use coldcheck_core::plan::{
    BondRecord, DataSet, Datum, DeviceRecord, FrameRecord, GroupRecord, PackRecord, Plan,
    PlanError, Scope, SensorRecord, YesNo,
};
use compact_str::CompactString;

/// Which declared thing each identifier of the plan stands for.
#[derive(Clone, Debug, Default)]
pub struct Map {
    /// Declared units in the order of the plan.
    pub units: Vec<usize>,
    /// Declared cables in the order of the plan.
    pub cables: Vec<usize>,
    /// Declared packs in the order of the plan.
    pub packs: Vec<usize>,
    /// Declared sensors in the order of the plan.
    pub sensors: Vec<usize>,
    /// Declared devices in the order of the plan.
    pub devices: Vec<usize>,
}

/// Position in the plan of each declared thing: the map the other way round.
#[derive(Clone, Debug, Default)]
struct Positions {
    units: Vec<u8>,
    packs: Vec<u8>,
    sensors: Vec<u8>,
    devices: Vec<u8>,
}

impl Map {
    /// The declared unit.
    pub fn unit(&self, id: UnitId) -> Option<usize> {
        self.units.get(id.index()).copied()
    }

    /// The declared cable.
    pub fn cable(&self, id: CableId) -> Option<usize> {
        self.cables.get(id.index()).copied()
    }

    /// The declared pack.
    pub fn pack(&self, id: PackId) -> Option<usize> {
        self.packs.get(id.index()).copied()
    }

    /// The declared sensor.
    pub fn sensor(&self, id: SensorId) -> Option<usize> {
        self.sensors.get(id.index()).copied()
    }

    /// The declared device.
    pub fn device(&self, id: DeviceId) -> Option<usize> {
        self.devices.get(id.index()).copied()
    }

    /// The cable of the plan that a declared cable became.
    pub fn cable_id(&self, declared: usize) -> Option<CableId> {
        position_of(&self.cables, declared).map(CableId)
    }

    fn positions(&self) -> Positions {
        let inverse = |order: &[usize]| {
            let mut positions = vec![0; order.len()];
            for (position, declared) in (0u8..).zip(order) {
                positions[*declared] = position;
            }
            positions
        };
        Positions {
            units: inverse(&self.units),
            packs: inverse(&self.packs),
            sensors: inverse(&self.sensors),
            devices: inverse(&self.devices),
        }
    }
}

/// The place of a declared thing in an order of the plan.
pub fn position_of(order: &[usize], declared: usize) -> Option<u8> {
    order.iter().position(|other| *other == declared).and_then(|found| u8::try_from(found).ok())
}

/// A plan's bytes and what its numbers stand for.
#[derive(Clone, Debug)]
pub struct Assembled {
    /// The body of the plan.
    pub body: Vec<u8>,
    /// What its numbers stand for.
    pub map: Map,
}

/// Makes the plan.
///
/// # Errors
/// [`PlanError`] if the site does not fit the plan; the readers have refused what is too large
/// before.
pub fn assemble(
    declared: &Declared,
    profile: &Profile,
    scope: Scope,
) -> Result<Assembled, PlanError> {
    let mut map = Map {
        units: order_by(declared.units.len(), |unit| {
            let thing = &declared.units[unit];
            (thing.number.is_none(), thing.number, natural(&thing.key))
        }),
        packs: order_by(declared.packs.len(), |pack| natural(&declared.packs[pack].key)),
        sensors: order_by(declared.sensors.len(), |sensor| {
            natural(&declared.sensors[sensor].0.key)
        }),
        devices: order_by(declared.devices.len(), |device| {
            natural(&declared.devices[device].0.key)
        }),
        cables: Vec::new(),
    };
    let positions = map.positions();
    let (order, cables) = cables::cables(declared, &positions);
    map.cables = order;
    let nets = nets::Nets::of(declared).ok_or(PlanError::NoRoom)?;
    let protocols = protocols(declared, &map);
    let units = units::units(declared, &map, &cables, &protocols);
    let power = nets.power_records(declared, &map);
    let demands = demands::record(declared, profile);
    let group = group(declared, scope);
    let bonds = bonds(declared, &map);
    let plan = Plan {
        demands: &demands,
        group: &group,
        units: &units,
        power: &power,
        cables: &cables,
        packs: &packs(declared, &map, &nets, &protocols),
        sensors: &sensors(declared, &map),
        devices: &devices(declared, &map),
        bonds: &bonds,
        frames: &frames(profile),
    };
    let mut memory = vec![0; limits::BODY_BYTES];
    let body = plan.encode(&mut memory)?.to_vec();
    Ok(Assembled { body, map })
}

/// The frames by which a gateway understands the units.
pub(crate) fn frames(profile: &Profile) -> Vec<FrameRecord> {
    profile.frames.iter().map(|kind| kind.record).collect()
}

/// Positions in the order of a key.
fn order_by<K: Ord>(count: usize, key: impl Fn(usize) -> K) -> Vec<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by_cached_key(|position| key(*position));
    order
}

/// A name in the order in which people sort: `C2` before `C10`.
pub(crate) fn natural(name: &Folded) -> Vec<(u64, CompactString)> {
    let number = |run: &str| run.parse().unwrap_or(u64::MAX);
    name.runs().map(|run| (number(run), CompactString::from(run))).collect()
}

fn group(declared: &Declared, scope: Scope) -> GroupRecord {
    let number = |field| declared.number(Subject::Group, field);
    let mut known = Vec::new();
    if declared.lists_cables && !declared.rows_lost {
        known.push(Datum::CableList);
    }
    if declared.lists_units {
        known.push(Datum::UnitList);
    }
    for field in [
        Field::PacksFitted,
        Field::PacksSet,
        Field::CapacitySet,
        Field::MeterAddressSet,
        Field::ChangeoverNeutral,
    ] {
        if declared.agreed(Subject::Group, field).is_some() {
            known.extend(field.datum());
        }
    }
    // Places alone do not say when neutral and earth are joined: `yes` names one as well.
    if let Some(Value::Bonds(bonds)) = declared.agreed(Subject::Group, Field::Bonds)
        && (bonds.is_empty() || bonds.iter().any(|bond| bond.stated != 0))
    {
        known.push(Datum::Bonds);
    }
    let small = |field| u16::try_from(number(field).unwrap_or(0)).unwrap_or(u16::MAX).into();
    let choice = |field| u8::try_from(number(field).unwrap_or(0)).unwrap_or(0);
    GroupRecord {
        declared: DataSet::of(&known).0.into(),
        scope: scope.0,
        switches_neutral: choice(Field::ChangeoverNeutral),
        interlock: choice(Field::Interlock),
        precharge: choice(Field::Precharge),
        changeover_gap: small(Field::ChangeoverGap),
        packs_fitted: small(Field::PacksFitted),
        packs_set: small(Field::PacksSet),
        questions: u16::try_from(declared.question_count() + declared.unconfirmed().len())
            .unwrap_or(u16::MAX)
            .into(),
        capacity_set: declared.capacity(Subject::Group, Field::CapacitySet).unwrap_or(0).into(),
        meter_address_set: match declared.agreed(Subject::Group, Field::MeterAddressSet) {
            Some(Value::Address(address)) => address.number.into(),
            _ => 0.into(),
        },
        supply_breaker: amperes(number(Field::SupplyBreaker)).into(),
    }
}

/// Protocols of units and packs together: what is compared must be numbered together.
fn protocols<'d>(declared: &'d Declared, map: &Map) -> intern::Interner<'d> {
    let units = map.units.iter().map(|unit| (Subject::Unit(*unit), Field::Protocol));
    let packs = map.packs.iter().map(|pack| (Subject::Pack(*pack), Field::PackProtocol));
    intern::Interner::of(
        units.chain(packs).filter_map(|(subject, field)| declared.agreed(subject, field)),
    )
}

/// Whole amperes of a current in thousandths.
fn amperes(milliamperes: Option<u32>) -> u16 {
    u16::try_from(milliamperes.unwrap_or(0) / 1000).unwrap_or(u16::MAX)
}

fn packs(
    declared: &Declared,
    map: &Map,
    nets: &nets::Nets,
    protocols: &intern::Interner<'_>,
) -> Vec<PackRecord> {
    let lead = declared.number(Subject::Group, Field::LeadPack);
    map.packs
        .iter()
        .map(|pack| {
            let subject = Subject::Pack(*pack);
            let address = match declared.agreed(subject, Field::PackAddress) {
                Some(Value::Address(address)) => Some(address.number),
                _ => None,
            };
            let number = declared.packs[*pack].number;
            let leads = lead.map(|lead| u32::from(number.unwrap_or(0)) == lead);
            PackRecord {
                number: number.unwrap_or(0).into(),
                address: address.unwrap_or(0).into(),
                has_address: address.is_some().into(),
                lead: leads.map_or(0, |lead| if lead { YesNo::Yes } else { YesNo::No }.code()),
                protocol: protocols.number(declared.agreed(subject, Field::PackProtocol)).into(),
                charge_limit: declared.number(subject, Field::PackChargeLimit).unwrap_or(0).into(),
                capacity: declared.capacity(subject, Field::PackCapacity).unwrap_or(0).into(),
                net: nets.only_bank(),
                ..PackRecord::default()
            }
        })
        .collect()
}

fn sensors(declared: &Declared, map: &Map) -> Vec<SensorRecord> {
    map.sensors
        .iter()
        .map(|sensor| {
            let subject = Subject::Sensor(*sensor);
            let number = |field| declared.number(subject, field).unwrap_or(0);
            let choice = |field| u8::try_from(number(field)).unwrap_or(0);
            SensorRecord {
                leg: declared.sensors[*sensor].1.map_or(0, |leg| leg.code()),
                input: choice(Field::SensorInput),
                arrow: choice(Field::Arrow),
                place: choice(Field::SensorPlace),
                ratio_fitted: number(Field::RatioFitted).into(),
                ratio_set: number(Field::RatioSet).into(),
                rating: amperes(declared.number(subject, Field::SensorRating)).into(),
                reference: choice(Field::VoltageReference),
                ..SensorRecord::default()
            }
        })
        .collect()
}

fn devices(declared: &Declared, map: &Map) -> Vec<DeviceRecord> {
    map.devices
        .iter()
        .map(|device| {
            let subject = Subject::Device(*device);
            let choice =
                |field| u8::try_from(declared.number(subject, field).unwrap_or(0)).unwrap_or(0);
            let address = match declared.agreed(subject, Field::DeviceAddress) {
                Some(Value::Address(address)) => Some(address.number),
                _ => None,
            };
            DeviceRecord {
                kind: declared.devices[*device].1.code(),
                terminator: choice(Field::DeviceTerminator),
                terminator_ohms: u16::try_from(
                    declared.number(subject, Field::DeviceTerminatorOhms).unwrap_or(0),
                )
                .unwrap_or(u16::MAX)
                .into(),
                address: address.unwrap_or(0).into(),
                has_address: address.is_some().into(),
                asks: choice(Field::DeviceAsks),
            }
        })
        .collect()
}

fn bonds(declared: &Declared, map: &Map) -> Vec<BondRecord> {
    let Some(Value::Bonds(bonds)) = declared.agreed(Subject::Group, Field::Bonds) else {
        return Vec::new();
    };
    bonds
        .iter()
        .map(|bond| {
            let unit = declared.unit_named_in(&bond.place);
            BondRecord {
                place: bond.kind.code(),
                unit: unit.and_then(|unit| position_of(&map.units, unit)).unwrap_or(u8::MAX),
                closed: bond.closed,
                declared: bond.stated,
            }
        })
        .collect()
}
