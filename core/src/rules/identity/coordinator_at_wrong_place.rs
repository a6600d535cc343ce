//! The coordinator has the place and the address that are demanded.
use crate::plan::{CoordinatorPlace, Coordinators};
use crate::rule::prelude::*;
use crate::rules::termination::ends_of_line;

pub(crate) const RULE: Rule = Rule {
    slug: "coordinator-at-wrong-place",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::any(&[Demand::CoordinatorPlace, Demand::CoordinatorAddress]).some(&[Datum::Role]),
    after: &[
        RuleId::CoordinatorNone,
        RuleId::UnitNotOnLink,
        RuleId::LinkRingClosed,
        RuleId::LinkStar,
    ],
    check: Check::Link(check),
    shows: Datum::Role,
    text: Text {
        title: "The coordinator is at the wrong place",
        says: "{places} leads and is not where the coordinator must be[: address {value} instead of \
              {wanted}]",
        why: "Some designs tie the lead to an end of the line or to an address. Elsewhere the \
             group reports errors of output voltage or feed-back at once.",
        act: "Make the unit at the demanded place the coordinator, with battery link and sensors, \
             or move or renumber this one.",
        prove: "Read role and address back on every unit; by eye, power off: the coordinator is \
               where it must be on the line.",
        source: "demand of the profile or the site; what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[
                (r#"role = "coordinator""#, r#"role = "follower""#),
                (r#"role = "follower", address = 2"#, r#"role = "coordinator", address = 2"#),
                (r#"to = "U1 battery""#, r#"to = "U2 battery""#),
                (r#""CT L1", to = "U1 CT""#, r#""CT L1", to = "U2 CT""#),
                (r#""CT L2", to = "U1 CT""#, r#""CT L2", to = "U2 CT""#),
            ],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let demands = links.plan.demands;
    if demands.coordinators() == Some(Coordinators::One) && links.coordinators.is_plural() {
        // Which of them should not lead is the question then.
        sink.blocked_by(RuleId::CoordinatorTwo);
        return;
    }
    if let Some(wanted) = demands.coordinator_address() {
        let wanted = u16::try_from(wanted).unwrap_or(u16::MAX);
        for id in links.coordinators {
            let address = links.plan.unit(id).and_then(|unit| unit.address());
            match address {
                Some(address) if address != wanted => {
                    sink.add()
                        .at(Place::Unit(id))
                        .value(Quantity::Address(address))
                        .wanted(Quantity::Address(wanted));
                }
                Some(_) => {}
                None => {
                    sink.gap(Datum::Address).at(Place::Unit(id));
                }
            }
        }
    }
    if demands.coordinator_place() == Some(CoordinatorPlace::End)
        && let Some(ends) = ends_of_line(links, sink)
    {
        sink.add_units(links.coordinators.without(ends.units()));
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::{Outcome, Quantity};
    use crate::plan::{CoordinatorPlace, Datum, Demand, EndRecord, Role};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::CoordinatorAtWrongPlace;

    #[test]
    fn the_end_is_the_end_of_the_line_and_not_of_the_numbers() {
        let end = CoordinatorPlace::End.code().into();
        let line = Trial::line(3).demand(Demand::CoordinatorPlace, end);
        assert_eq!(line.check().outcome(RULE), Outcome::Met);
        let moved = line
            .unit(0, |unit| unit.role = Role::Follower.code())
            .unit(1, |unit| unit.role = Role::Coordinator.code());
        assert_eq!(moved.check().places(RULE), [[unit(1)]]);
    }

    #[test]
    fn a_unit_under_two_names_hides_the_ends() {
        let end = CoordinatorPlace::End.code().into();
        let line = Trial::line(3).without_cables(|index| index == 1);
        let twice = (0..3).fold(line.demand(Demand::CoordinatorPlace, end), |trial, index| {
            trial.unit(index, |unit| {
                unit.serial = [7, 8, 8][index].into();
                unit.declared = (unit.declared.get() | 1 << Datum::Serial.bit()).into();
            })
        });
        let answer = twice.check();
        for rule in [RULE, RuleId::TermMissingOneEnd, RuleId::TermOnMiddleUnit] {
            assert_eq!(answer.outcome(rule), Outcome::Blocked(RuleId::UnitListedTwice), "{rule:?}");
        }
    }

    #[test]
    fn a_cable_that_nobody_knows_hides_the_ends() {
        let end = CoordinatorPlace::End.code().into();
        let line = Trial::line(3).demand(Demand::CoordinatorPlace, end);
        let lost = line.clone().move_end(1, 1, EndRecord::UNKNOWN);
        assert_eq!(lost.check().outcome(RULE), Outcome::Missing(Datum::CableEnds));
        let unlisted = line.group(|group| group.declared = 0.into());
        assert_eq!(unlisted.check().outcome(RULE), Outcome::Missing(Datum::CableList));
    }

    #[test]
    fn an_address_can_be_demanded_instead() {
        let answer = Trial::line(3).demand(Demand::CoordinatorAddress, 2).check();
        let address = |number| Some(Quantity::Address(number));
        assert_eq!(answer.places(RULE), [[unit(0)]]);
        assert_eq!(answer.values(RULE), [(address(1), address(2))]);
    }
}
