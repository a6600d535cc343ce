//! The meter plan: steps with bands, what each fault would show, every port.

use super::blind::{Blind, blind};
use super::words;
use crate::meter::circuit::Where;
use crate::meter::expect::{self, Band, Picture, Station};
use crate::meter::fault::Kind;
use crate::meter::fit::Spot;
use crate::meter::names::Names;
use crate::meter::topology::{Fitted, Topology};
use coldcheck_core::plan::{PinPair, Plan, Shape};

/// One numbered reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its number, from 1.
    pub number: usize,
    /// What to do before it, if anything: stand somewhere, pull or plug in a cable.
    pub act: Option<String>,
    /// Where the leads go.
    pub leads: String,
    /// The place as `--read` takes it.
    pub place: String,
    /// What must be read.
    pub band: Band,
    /// The band as text.
    pub band_text: String,
}

/// What one kind of fault shows at every step.
#[derive(Clone, Debug, PartialEq)]
pub struct TableRow {
    /// The kind's word; `as-declared` for a right site.
    pub kind: &'static str,
    /// The kind in words, with the unit of a terminator.
    pub says: String,
    /// What it shows at each step, in order: least and most.
    pub shows: Vec<(f64, f64)>,
}

/// What must be read at a point with all plugged.
#[derive(Clone, Debug, PartialEq)]
pub struct PortBand {
    /// The points, neighbours that read alike together.
    pub points: Vec<String>,
    /// What.
    pub band: Band,
    /// The band as text.
    pub band_text: String,
}

/// The whole plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Units and other devices on the link.
    pub units: usize,
    /// The shape: line, ring, branched, or pieces.
    pub shape: &'static str,
    /// The pins of the pair, if the profile states them.
    pub pins: Option<(u8, u8)>,
    /// What makes the bands wide, or the plan doubtful.
    pub remarks: Vec<String>,
    /// The readings.
    pub steps: Vec<Step>,
    /// The steps that decide fastest, each with the share of all pairs of states told apart by
    /// then.
    pub fastest: Vec<(Vec<usize>, f64)>,
    /// What each fault shows.
    pub table: Vec<TableRow>,
    /// Every port.
    pub ports: Vec<PortBand>,
    /// What the readings cannot see.
    pub blind: Vec<Blind>,
}

/// Makes the plan.
pub fn sheet(plan: &Plan<'_>, topology: &Topology, names: &Names<'_>) -> Sheet {
    let stations = expect::stations(topology);
    let steps = steps(plan, topology, names, &stations);
    let spots: Vec<Spot> = stations.iter().flat_map(Station::spots).collect();
    let pictures = expect::pictures(plan, topology, &spots);
    let is_plugged: Vec<bool> = spots.iter().map(|spot| spot.pulled.is_none()).collect();
    let plugged: Vec<Picture> = pictures
        .iter()
        .map(|picture| Picture { fault: picture.fault, shows: kept(&picture.shows, &is_plugged) })
        .collect();
    let blind = blind(plan, topology, names, &plugged, &pictures);
    Sheet {
        units: topology.points.len(),
        shape: shape(plan, topology),
        pins: plan.demands.pair_pins().map(|PinPair(one, two)| (one, two)),
        remarks: remarks(plan, topology, names),
        fastest: fastest(plan, topology, &stations),
        steps,
        table: table(names, &pictures),
        ports: ports(plan, topology, names),
        blind,
    }
}

fn kept<T: Copy>(list: &[T], keep: &[bool]) -> Vec<T> {
    list.iter().zip(keep).filter(|(_, keep)| **keep).map(|(one, _)| *one).collect()
}

fn shape(plan: &Plan<'_>, topology: &Topology) -> &'static str {
    if topology.points.len() == 1 {
        "one unit"
    } else if topology.is_line() {
        "line"
    } else if !topology.is_tree() {
        if plan.demands.link_shape() == Some(Shape::Ring) { "ring" } else { "closed to a ring" }
    } else if topology.cables.len() + 1 == topology.points.len() {
        "branched"
    } else {
        "in pieces"
    }
}

fn steps(
    plan: &Plan<'_>,
    topology: &Topology,
    names: &Names<'_>,
    stations: &[Station],
) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    let mut out: Option<usize> = None;
    for station in stations {
        for spot in station.spots() {
            let at = names.point(station.point);
            let act = match (spot.pulled, spot.place, out) {
                (None, _, None) => Some(format!("At {at}, all plugged in")),
                (None, _, Some(cable)) => {
                    Some(format!("Plug {} in again. At {at}, all plugged in", names.cable(cable)))
                }
                (Some(pulled), Where::Point(_), _) => {
                    Some(format!("Pull {} at {at}", names.cable(pulled.cable)))
                }
                (Some(_), Where::Plug, _) => None,
            };
            let leads = match (spot.pulled, spot.place) {
                (None, _) => match names.free_socket(plan, topology, station.point) {
                    Some(socket) => format!("socket {socket} of {at}"),
                    None => format!("a link socket of {at}"),
                },
                (Some(_), Where::Point(_)) => format!("its socket in {at}"),
                (Some(pulled), Where::Plug) => {
                    format!("the loose plug of {}", names.cable(pulled.cable))
                }
            };
            let band = expect::band(plan, topology, spot);
            steps.push(Step {
                number: steps.len() + 1,
                act,
                leads,
                place: names.spot(topology, spot),
                band,
                band_text: words::band(band),
            });
            out = spot.pulled.map(|pulled| pulled.cable);
        }
    }
    steps
}

/// The acts of the stations, in the order that decides fastest, as numbers of steps.
fn fastest(plan: &Plan<'_>, topology: &Topology, stations: &[Station]) -> Vec<(Vec<usize>, f64)> {
    let mut acts: Vec<Vec<Spot>> = Vec::new();
    let mut numbers: Vec<Vec<usize>> = Vec::new();
    let mut next = 1;
    for station in stations {
        let spots = station.spots();
        let (plugged, pulled) = spots.split_at(1);
        for act in [plugged, pulled] {
            if !act.is_empty() {
                acts.push(act.to_vec());
                numbers.push((next..next + act.len()).collect());
                next += act.len();
            }
        }
    }
    let order = expect::fastest(plan, topology, &acts);
    order.into_iter().map(|(act, share)| (numbers[act].clone(), share)).collect()
}

/// The states that a person tells apart by the table.
fn table(names: &Names<'_>, pictures: &[Picture]) -> Vec<TableRow> {
    pictures
        .iter()
        .filter(|picture| {
            // Swapped wires read as right; one wire open has its own row only where it differs.
            let kind = picture.fault.map(|(kind, _)| kind);
            kind != Some(Kind::Swapped)
                || pictures.first().is_some_and(|right| {
                    right
                        .shows
                        .iter()
                        .zip(&picture.shows)
                        .any(|(a, b)| words::range(a.0, a.1) != words::range(b.0, b.1))
                })
        })
        .map(|picture| {
            let (kind, says) = match picture.fault {
                None => ("as-declared", "as declared".to_owned()),
                Some((kind, None)) => (kind.word(), words::kind(kind).to_owned()),
                Some((kind @ Kind::Missing, Some(point))) => {
                    (kind.word(), format!("{} terminator off", names.point(point)))
                }
                Some((kind, Some(point))) => {
                    (kind.word(), format!("{} terminator moved", names.point(point)))
                }
            };
            TableRow { kind, says, shows: picture.shows.clone() }
        })
        .collect()
}

/// Every port with all plugged; neighbours whose bands read alike stand together.
fn ports(plan: &Plan<'_>, topology: &Topology, names: &Names<'_>) -> Vec<PortBand> {
    let mut ports: Vec<PortBand> = Vec::new();
    for point in 0..topology.points.len() {
        let spot = Spot { place: Where::Point(point), pulled: None };
        let band = expect::band(plan, topology, spot);
        let band_text = words::band(band);
        let name = names.point(point).to_owned();
        match ports.last_mut() {
            Some(last)
                if last.band_text == band_text
                    && words::ohms(last.band.typical) == words::ohms(band.typical) =>
            {
                last.points.push(name);
            }
            _ => ports.push(PortBand { points: vec![name], band, band_text }),
        }
    }
    ports
}

fn remarks(plan: &Plan<'_>, topology: &Topology, names: &Names<'_>) -> Vec<String> {
    let mut remarks = Vec::new();
    let those = |fitted: Fitted| -> Vec<&str> {
        let has = |point: &usize| {
            topology.points[*point].terminators.iter().any(|one| one.fitted == fitted)
        };
        (0..topology.points.len()).filter(has).map(|point| names.point(point)).collect()
    };
    let unknown = those(Fitted::Unknown);
    if !unknown.is_empty() {
        remarks.push(format!(
            "no sheet says whether a terminator is on at {}: the bands allow both",
            crate::phrase::all_of(&unknown)
        ));
    }
    let automatic = those(Fitted::Automatic);
    if !automatic.is_empty() {
        remarks.push(format!(
            "{} switch their terminators by themselves; what they do without power is not known, \
             and the bands allow both",
            crate::phrase::all_of(&automatic)
        ));
    }
    let unmeasured = topology.cables.iter().filter(|cable| cable.metres.is_none()).count();
    if unmeasured > 0 {
        let longest = coldcheck_core::ohms::Conditions::high(plan).unknown_length / 1000;
        remarks.push(format!(
            "{} without a length: taken as 0.2 to {longest} m each",
            crate::phrase::counted(unmeasured, "cable")
        ));
    }
    if !topology.left_out.is_empty() {
        remarks.push(format!(
            "{} with an end that is not known: left out of all that follows",
            crate::phrase::counted(topology.left_out.len(), "link cable")
        ));
    }
    remarks
}
