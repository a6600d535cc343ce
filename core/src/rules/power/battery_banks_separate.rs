//! All units stand on one battery bank, where one is demanded.
use crate::nets::Nets;
use crate::plan::{BatteryBanks, Terminal};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "battery-banks-separate",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::value(Demand::BatteryBanks, BatteryBanks::One.code()).some(&[Datum::Bank]),
    after: &[],
    check: Check::Power(check),
    shows: Datum::Bank,
    text: Text {
        title: "Units stand on different battery banks",
        says: "Not all units stand on one battery bank; look at {places}",
        why: "Units of one group share one battery. With two, one bank charges the other through \
              the units, currents circulate, and protection trips or fails under load.",
        act: "Keep the power off and every battery switch open. Have the units joined to one \
              battery busbar; two banks are never joined before their volts agree.",
        prove: "Every battery switch open and locked, then volts between the two bars, plus to plus \
                and minus to minus: near zero. Only then continuity between the same points. Equal \
                volts alone prove nothing: two full batteries match.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::LINE,
            edits: &[(
                "address = 3, count = 3, terminator = \"on\", bank = \"A\"",
                "address = 3, count = 3, terminator = \"on\", bank = \"B\"",
            )],
            with: &[],
        },
    },
};

fn check(nets: &Nets<'_>, sink: &mut Sink<'_, '_>) {
    let plus = nets.odd_units(Terminal::BatteryPlus);
    sink.add_units(plus.or(nets.odd_units(Terminal::BatteryMinus)));
}

#[cfg(test)]
mod tests {
    use crate::plan::{Net, Terminal};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::BatteryBanksSeparate;

    #[test]
    fn two_units_each_alone_are_both_named() {
        let answer = Trial::line(2)
            .net(0, Terminal::BatteryPlus, Net::ALONE.0)
            .net(1, Terminal::BatteryPlus, Net::ALONE.0)
            .check();
        assert_eq!(answer.places(RULE), [[unit(0), unit(1)]]);
    }

    #[test]
    fn a_minus_on_another_bar_is_enough() {
        let answer = Trial::line(4).net(2, Terminal::BatteryMinus, 7).check();
        assert_eq!(answer.places(RULE), [[unit(2)]]);
    }

    #[test]
    fn a_plus_here_and_a_minus_there_are_both_named() {
        let answer = Trial::line(4)
            .net(1, Terminal::BatteryPlus, 7)
            .net(2, Terminal::BatteryMinus, 7)
            .check();
        assert_eq!(answer.places(RULE), [[unit(1), unit(2)]]);
    }
}
