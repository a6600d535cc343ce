//! A sensor is rated for the largest current of its conductor.
use crate::rule::prelude::*;
use crate::units::Milliamperes;

pub(crate) const RULE: Rule = Rule {
    slug: "ct-overrange",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::SensorRating]).also_demands(&[Demand::RatedCurrent]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::SensorRating,
    text: Text {
        title: "A sensor is rated below the largest current",
        says: "Rated {value} where {wanted} can flow: {places}",
        why: "Above its rating the sensor reads flat at the top, so the largest loads are not \
             seen.",
        act: "Fit a sensor of a higher rating.",
        prove: "At full load a clamp meter beside the sensor and the value shown agree.",
        source: "largest current: breaker of the supply, else rated current of the units added up; what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""supply breaker" = "63 A""#, r#""supply breaker" = "125 A""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let breaker = u32::from(links.plan.group.supply_breaker.get()).wrapping_mul(1000);
    let rated = links.plan.demands.rated_current().map_or(0, |current| current.0);
    let largest = if breaker != 0 { breaker } else { rated.saturating_mul(links.units.len()) };
    if largest == 0 {
        sink.undemanded(Demand::RatedCurrent);
        return;
    }
    let small = links.sensors_where(
        |sensor, largest| {
            let rating = u32::from(sensor.rating.get()).wrapping_mul(1000);
            rating != 0 && rating < largest
        },
        largest,
    );
    let Some(first) = small.iter().next().and_then(|id| links.plan.sensors.get(id.index())) else {
        return;
    };
    let rating = u32::from(first.rating.get()).wrapping_mul(1000);
    sink.add()
        .at_sensors(small)
        .value(Quantity::Current(Milliamperes(rating)))
        .wanted(Quantity::Current(Milliamperes(largest)));
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::rules::RuleId;
    use crate::trial::Trial;

    const RULE: RuleId = RuleId::CtOverrange;

    #[test]
    fn a_rating_that_equals_the_breaker_is_enough() {
        let breaker = Trial::line(3).group(|group| group.supply_breaker = 100.into());
        let rated = |amperes| breaker.clone().sensors_rated(amperes).check().outcome(RULE);
        assert_eq!(rated(100), Outcome::Met);
        assert_eq!(rated(99), Outcome::Broken);
    }
}
