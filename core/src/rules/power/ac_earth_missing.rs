//! Every unit is joined to the common earth.
use crate::nets::Nets;
use crate::plan::Terminal;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "ac-earth-missing",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::Earth]),
    after: &[],
    check: Check::Power(check),
    shows: Datum::Earth,
    text: Text {
        title: "A unit is not joined to the common earth",
        says: "The protective earth of {places} is not joined to that of the others",
        why: "With a fault inside, its case stands at a deadly voltage and no protection trips.",
        act: "Keep the power off. Join the protective earth of the unit to the common earth bar.",
        prove: "Dead, by eye and by meter: continuity from the case of the unit to the earth bar, \
               less than the ohms that local code allows.",
        source: "IEC 60364-4-41, protective earthing (from memory)",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[
                (
                    r#""U1 frequency""#,
                    "\"U3 ac out\" = \"L1->bar L1; L2->bar L2; N->bar N; PE->none\"\n\"U1 frequency\"",
                ),
                (
                    r#"address = 3, count = 3, terminator = "on", bank = "A", "ac out" = "straight""#,
                    r#"address = 3, count = 3, terminator = "on", bank = "A""#,
                ),
            ],
            with: &[],
        },
    },
};

fn check(nets: &Nets<'_>, sink: &mut Sink<'_, '_>) {
    // The earth may be listed with the output or with the supply of a unit.
    let mut apart = nets.odd_at([Terminal::OutEarth, Terminal::InEarth]);
    if !nets.known.whole.contains(Datum::Earth) {
        for (id, unit) in nets.plan.units() {
            // Whoever lists all poles of an output but the earth has left the earth open.
            if unit.declares(Datum::AcTerminals) && !unit.declares(Datum::Earth) {
                apart.insert(id);
            }
        }
    }
    sink.add_units(apart);
}

#[cfg(test)]
mod tests {
    use crate::plan::Terminal::{InEarth, OutEarth};
    use crate::plan::{Datum, Net};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::AcEarthMissing;

    fn earthed(count: u8) -> Trial {
        (0..count).fold(Trial::line(count), |trial, unit| trial.net(unit, OutEarth, 20))
    }

    #[test]
    fn an_earth_left_out_of_a_full_line_is_missing() {
        let answer = earthed(3).net(1, OutEarth, 0).undeclare(1, Datum::Earth).check();
        assert_eq!(answer.places(RULE), [[unit(1)]]);
    }

    #[test]
    fn an_earth_on_the_supply_side_is_compared_too() {
        let on_supply = |net| earthed(3).net(1, OutEarth, 0).net(1, InEarth, net);
        assert!(on_supply(20).check().broken().is_empty());
        assert_eq!(on_supply(Net::ALONE.0).check().places(RULE), [[unit(1)]]);
    }

    #[test]
    fn an_earth_of_its_own_is_not_the_common_one() {
        let answer = earthed(3).net(2, OutEarth, Net::ALONE.0).check();
        assert_eq!(answer.places(RULE), [[unit(2)]]);
        assert!(earthed(3).check().broken().is_empty());
    }
}
