//! Conductors of the AC side: which terminal may go to which bar, and how a sheet says so.

use super::act::Act;
use super::model::Model;
use crate::assemble::nets::SIDES;
use crate::declared::{Declared, Subject};
use crate::engine::Site;
use crate::field::Field;
use crate::tidy;
use crate::value::{self, Conductor, Pole, Value};
use coldcheck_core::plan::{Net, Terminal};

const POLES: [Pole; 5] = [Pole::L1, Pole::L2, Pole::L3, Pole::N, Pole::Earth];

/// The side and the pole of a terminal, by its position.
fn side_of(terminal: u8) -> Option<(Field, Pole, [Terminal; 5])> {
    SIDES.into_iter().find_map(|(field, terminals)| {
        let is_it = |one: &Terminal| one.position() == usize::from(terminal);
        let at = terminals.iter().position(is_it)?;
        Some((field, POLES[at], terminals))
    })
}

/// Every conductor of every unit to every bar that another terminal of the same side is joined to.
/// Earth goes to earth only, and nothing else does; what is not listed is not rejoined, but the
/// earth of a unit of which the other poles are.
pub(super) fn acts(model: &Model, acts: &mut Vec<Act>) {
    for (_, terminals) in SIDES {
        let is_joined = |net: u8| net != 0 && net != Net::ALONE.0;
        let nets = |earth: bool| {
            let of = terminals.iter().zip(POLES);
            let of = of.filter(move |(_, pole)| (*pole == Pole::Earth) == earth);
            let positions: Vec<usize> = of.map(|(terminal, _)| terminal.position()).collect();
            let mut nets: Vec<u8> = model
                .power
                .iter()
                .flat_map(|unit| positions.iter().map(|at| unit.nets[*at]))
                .filter(|net| is_joined(*net))
                .collect();
            nets.sort_unstable();
            nets.dedup();
            nets
        };
        let (live, earth) = (nets(false), nets(true));
        for (unit, power) in (0_u8..).zip(&model.power) {
            let is_listed = terminals.iter().any(|one| power.nets[one.position()] != 0);
            for (terminal, pole) in terminals.iter().zip(POLES) {
                let own = power.nets[terminal.position()];
                if own == 0 && (pole != Pole::Earth || !is_listed) {
                    continue;
                }
                let to = if pole == Pole::Earth { &earth } else { &live };
                let position = u8::try_from(terminal.position()).unwrap_or(u8::MAX);
                let others = to.iter().filter(|net| **net != own);
                acts.extend(others.map(|net| Act::Rejoin { unit, terminal: position, net: *net }));
            }
        }
    }
}

/// What a net is called on a side: as the first conductor that the sheets join to it.
fn bar(
    site: &Site,
    before: &Model,
    (field, terminals): (Field, &[Terminal; 5]),
    net: u8,
) -> Option<String> {
    let units = site.assembled.map.units.iter().zip(&before.power);
    units.into_iter().find_map(|(declared, power)| {
        let poles = terminals.iter().zip(POLES);
        let (_, pole) = poles.into_iter().find(|(one, _)| power.nets[one.position()] == net)?;
        let listed = conductors(&site.declared, *declared, field)?;
        let own = listed.iter().find(|one| one.pole == pole)?;
        Some(as_written(&site.declared, *declared, field, own))
    })
}

/// The bar of a conductor as the sheet has it, else as it is compared.
fn as_written(declared: &Declared, unit: usize, field: Field, own: &Conductor) -> String {
    let facts = declared.stated(Subject::Unit(unit), field);
    let written = facts.iter().flat_map(|fact| &fact.origins);
    let mut written = written.filter_map(|origin| declared.quotable(*origin));
    let part = written.find_map(|text| {
        let is_it = |part: &&str| match value::parse(field.form(), part) {
            Ok(Value::Conductors(one)) => one.first() == Some(own),
            Ok(_) | Err(_) => false,
        };
        text.split(';').map(str::trim).find(is_it)
    });
    let behind = part.and_then(|part| part.rsplit_once('>')).map(|(_, bar)| bar.trim().to_owned());
    behind.unwrap_or_else(|| own.to.to_string())
}

fn conductors(declared: &Declared, unit: usize, field: Field) -> Option<&[Conductor]> {
    match declared.agreed(Subject::Unit(unit), field) {
        Some(Value::Conductors(conductors)) => Some(conductors),
        Some(_) | None => None,
    }
}

/// One side of a unit as a sheet has it, with one of its conductors rejoined.
pub(super) fn rejoined(
    site: &Site,
    before: &Model,
    written: &str,
    (terminal, net): (u8, u8),
) -> Option<String> {
    let (field, pole, terminals) = side_of(terminal)?;
    let to = bar(site, before, (field, &terminals), net)?;
    let own = |part: &str| match value::parse(field.form(), part) {
        Ok(Value::Conductors(conductors)) => conductors,
        Ok(_) | Err(_) => Vec::new(),
    };
    // A word that stands for several conductors is written out.
    let whole = if written.contains('>') || written.is_empty() {
        written.to_owned()
    } else {
        tidy::values::text(field.form(), &Value::Conductors(own(written)), None)?
    };
    let is_own = |part: &str| own(part).first().is_some_and(|one| one.pole == pole);
    let mut parts: Vec<String> = whole
        .split(';')
        .map(|part| part.trim().to_owned())
        .filter(|part| !part.is_empty() && !is_own(part))
        .collect();
    parts.push(format!("{}->{to}", tidy::values::pole(pole)));
    parts.sort_by_key(|part| own(part).first().map(|one| one.pole));
    Some(parts.join("; "))
}

/// The side of a terminal.
pub(super) fn field_of(terminal: u8) -> Option<Field> {
    side_of(terminal).map(|(field, ..)| field)
}

/// The side, the pole and the bar in words.
pub(super) fn words(site: &Site, before: &Model, terminal: u8, net: u8) -> Option<[String; 3]> {
    let (field, pole, terminals) = side_of(terminal)?;
    let to = bar(site, before, (field, &terminals), net)?;
    Some([field.key().to_owned(), tidy::values::pole(pole).to_owned(), to])
}
