//! Each solar array feeds one unit.
use crate::nets::Nets;
use crate::place::UnitId;
use crate::plan::{Net, PowerRecord, Terminal};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "pv-array-shared",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::SolarInputs]),
    after: &[],
    check: Check::Power(check),
    shows: Datum::SolarInputs,
    text: Text {
        title: "One solar array is joined to two units",
        says: "One solar array is joined to the inputs of {places}",
        why: "The two inputs fight over the array, and current flows back into a unit that is \
             switched off.",
        act: "Have licensed people open and lock off the isolator of the array and join it to one \
              unit only. Conductors of an array stay live in daylight, whatever is switched off.",
        prove: "Isolator open and locked: no volts of the array at the inputs of the other unit, \
                measured by licensed people; by eye, its conductors go to one unit.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[("roof west -> U2", "roof south -> U2")],
            with: &[],
        },
    },
};

fn check(nets: &Nets<'_>, sink: &mut Sink<'_, '_>) {
    // An array at one input only is alone on its net, so mostly there is nothing to compare.
    let inputs = |power: &PowerRecord| {
        let nets = power.nets.get(Terminal::Solar1.position()..).and_then(<[u8]>::first_chunk);
        nets.is_some_and(|nets: &[u8; INPUTS.len()]| {
            let word = u32::from_le_bytes(*nets);
            // Each byte 0 or 255: nothing declared, or alone.
            word != (word & 0x0101_0101).wrapping_mul(0xFF)
        })
    };
    if !nets.plan.power.iter().any(inputs) {
        return;
    }
    // For each net the first unit on it, from 1.
    let mut first = [0u8; 256];
    let mut sharing = UnitSet::EMPTY;
    for ((unit, _), power) in nets.plan.units().zip(nets.plan.power) {
        for input in &INPUTS {
            // Inputs that lie on a net with another one.
            let Some(net) = power.net(*input).filter(|net| *net != Net::ALONE) else { continue };
            let Some(first) = first.get_mut(usize::from(net.0)) else { continue };
            let own = unit.0.wrapping_add(1);
            if *first == 0 {
                *first = own;
            } else if *first != own {
                sharing.insert(UnitId(first.wrapping_sub(1)));
                sharing.insert(unit);
            }
        }
    }
    sink.add_units(sharing);
}

const INPUTS: [Terminal; 4] =
    [Terminal::Solar1, Terminal::Solar2, Terminal::Solar3, Terminal::Solar4];

#[cfg(test)]
mod tests {
    use crate::plan::Terminal::{Solar1, Solar2};
    use crate::plan::{Datum, Net};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::PvArrayShared;

    /// Units whose solar inputs are declared.
    fn line(units: u8) -> Trial {
        (0..usize::from(units)).fold(Trial::line(units), |trial, index| {
            trial.unit(index, |unit| {
                unit.declared = (unit.declared.get() | 1 << Datum::SolarInputs.bit()).into();
            })
        })
    }

    #[test]
    fn an_array_that_every_unit_has_is_shared_by_all() {
        let line = line(2).net(0, Solar1, 40).net(1, Solar1, 40);
        assert_eq!(line.check().places(RULE), [[unit(0), unit(1)]]);
    }

    #[test]
    fn two_inputs_of_one_unit_may_share_an_array() {
        let own = line(3).net(0, Solar1, 40).net(0, Solar2, 40);
        assert!(own.clone().net(1, Solar1, Net::ALONE.0).check().broken().is_empty());
        let answer = own.net(2, Solar1, 40).check();
        assert_eq!(answer.places(RULE), [[unit(0), unit(2)]]);
    }
}
