//! Conductors of the AC side: which terminal may go to which bar, and how a sheet says so.

use super::act::Act;
use super::bars::{self, POLES};
use super::model::Model;
use crate::assemble::nets::SIDES;
use crate::declared::{Declared, Subject};
use crate::field::Field;
use crate::tidy;
use crate::value::{self, Conductor, Pole, Value};

/// Every conductor of every unit to every bar of its side that carries what it does. What is not
/// listed is not rejoined, but the earth of a unit of which the other poles are.
pub(super) fn acts(model: &Model, acts: &mut Vec<Act>) {
    for (side, (_, terminals)) in SIDES.into_iter().enumerate() {
        for (unit, power) in (0_u8..).zip(&model.power) {
            let is_listed = terminals.iter().any(|one| power.nets[one.position()] != 0);
            for (terminal, pole) in terminals.iter().zip(POLES) {
                let own = power.nets[terminal.position()];
                if own == 0 && (pole != Pole::Earth || !is_listed) {
                    continue;
                }
                let terminal = u8::try_from(terminal.position()).unwrap_or(u8::MAX);
                let others = model.bars.open_to(side, pole).filter(|bar| bar.net != own);
                acts.extend(others.map(|bar| Act::Rejoin { unit, terminal, net: bar.net }));
            }
        }
    }
}

/// What a person must say before a conductor is rejoined: of which bars nobody can tell what they
/// carry, side by side.
pub(super) fn unclear(model: &Model) -> Vec<String> {
    let asked = |(side, (field, _)): (usize, (Field, _))| {
        let bars = model.bars.unclear(side);
        let names: Vec<String> = bars.iter().map(|bar| format!("\u{201c}{bar}\u{201d}")).collect();
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        (!names.is_empty()).then(|| {
            format!(
                "which bar is the neutral's ({})? What {} carries cannot be told from its name and \
                 the conductors of most units. Look at the plant, name each bar in the sheets by \
                 what it carries (bar L1, bar N, earth bar), and ask again.",
                field.key(),
                crate::phrase::all_of(&names)
            )
        })
    };
    SIDES.into_iter().enumerate().filter_map(asked).collect()
}

/// The bar of a conductor as the sheet has it, else as it is compared.
pub(super) fn as_written(
    declared: &Declared,
    unit: usize,
    field: Field,
    own: &Conductor,
) -> String {
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
    behind.unwrap_or_else(|| own.to.spoken())
}

/// One side of a unit as a sheet has it, with one of its conductors rejoined.
pub(super) fn rejoined(before: &Model, written: &str, (terminal, net): (u8, u8)) -> Option<String> {
    let (side, pole) = bars::side_of(terminal)?;
    let field = bars::field_of(side);
    let to = before.bars.name(net)?;
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
    bars::side_of(terminal).map(|(side, _)| bars::field_of(side))
}

/// The side, the pole and the bar in words.
pub(super) fn words(before: &Model, terminal: u8, net: u8) -> Option<[String; 3]> {
    let (side, pole) = bars::side_of(terminal)?;
    let to = before.bars.name(net)?.to_owned();
    Some([bars::field_of(side).key().to_owned(), tidy::values::pole(pole).to_owned(), to])
}
