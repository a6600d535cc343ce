//! Each solar array feeds one unit.
use crate::nets::Nets;
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
        act: "Cover or open the array under licensed practice and prove dead. Join it to one unit \
             only.",
        prove: "Dead, the string connectors open: no continuity from the conductors of this array to \
               the other unit.",
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
    let mut shared = ArraySet::default();
    let mut seen = ArraySet::default();
    for power in nets.plan.power {
        let own = ArraySet::of(power);
        shared.add(seen.and(own));
        seen.add(own);
    }
    if shared.is_empty() {
        return;
    }
    let units = nets.plan.units().zip(nets.plan.power);
    let sharing: UnitSet = units
        .filter(|(_, power)| !ArraySet::of(power).and(shared).is_empty())
        .map(|((id, _), _)| id)
        .collect();
    sink.add().at_units(sharing);
}

/// Nets of arrays, one bit each.
#[derive(Clone, Copy, Default)]
struct ArraySet([u64; 4]);

impl ArraySet {
    /// The arrays that a unit shares a net with.
    fn of(power: &PowerRecord) -> Self {
        let mut set = Self::default();
        for input in [Terminal::Solar1, Terminal::Solar2, Terminal::Solar3, Terminal::Solar4] {
            if let Some(Net(net)) = power.net(input).filter(|net| *net != Net::ALONE)
                && let Some(word) = set.0.get_mut(usize::from(net.wrapping_shr(6)))
            {
                *word |= 1u64.wrapping_shl(u32::from(net & 63));
            }
        }
        set
    }

    fn and(self, other: Self) -> Self {
        let mut both = self;
        for (word, other) in both.0.iter_mut().zip(other.0) {
            *word &= other;
        }
        both
    }

    fn add(&mut self, other: Self) {
        for (word, other) in self.0.iter_mut().zip(other.0) {
            *word |= other;
        }
    }

    fn is_empty(self) -> bool {
        self.0 == [0; 4]
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::Terminal::{Solar1, Solar2};
    use crate::plan::{Datum, Net};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::PvArrayShared;

    #[test]
    fn two_inputs_of_one_unit_may_share_an_array() {
        let declare = |trial: Trial| {
            (0..3).fold(trial, |trial, index| {
                trial.unit(index, |unit| {
                    unit.declared = (unit.declared.get() | 1 << Datum::SolarInputs.bit()).into();
                })
            })
        };
        let own = declare(Trial::line(3)).net(0, Solar1, 40).net(0, Solar2, 40);
        assert!(own.clone().net(1, Solar1, Net::ALONE.0).check().broken().is_empty());
        let answer = own.net(2, Solar1, 40).check();
        assert_eq!(answer.places(RULE), [[unit(0), unit(2)]]);
    }
}
