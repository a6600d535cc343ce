//! Current transformers: rating, secondary current, burden, a ratio that is set wrong.

use super::Formula;
use super::table::IEC_SENSOR_CLASSES;

/// Secondary current.
pub const SECONDARY: Formula = Formula {
    id: "sensor.secondary",
    text: "I secondary = I primary / ratio",
    source: "IEC 61869-2:2012",
    mark: "second-hand",
};
/// Load of a transformer.
pub const BURDEN: Formula = Formula {
    id: "sensor.burden",
    text: "VA = I secondary^2 * (2 * length * resistance + meter + contacts)",
    source: "Ohm's law",
    mark: "computed; not for sensors with a voltage output",
};
/// What a transformer must be rated for.
pub const RATING: Formula = Formula {
    id: "sensor.rating",
    text: "primary rating >= the larger one of all units and the breaker at that place (`ct-overrange` \
           looks at the breaker alone, where there is one)",
    source: "current of the place",
    mark: "common practice, no source",
};
/// A ratio that is set wrong.
pub const RATIO: Formula = Formula {
    id: "sensor.ratio",
    text: "true ratio = set ratio * clamp / shown",
    source: "proportion",
    mark: "computed",
};

/// The current that a sensor must be rated for, in amperes: the larger one of what all units give
/// and of the breaker at that place.
pub fn least_rating(units: f64, breaker: f64) -> f64 {
    units.max(breaker)
}

/// Secondary current, in amperes; the ratio as one number, such as 40 for 200:5.
pub fn secondary(primary: f64, ratio: f64) -> f64 {
    primary / ratio
}

/// Load of a transformer, in volt-amperes: `lead_ohms` there and back.
pub fn burden(secondary: f64, lead_ohms: f64, meter_ohms: f64) -> f64 {
    secondary * secondary * (lead_ohms + meter_ohms)
}

/// The ratio that is fitted, from what a clamp reads and what is shown: for readings of sensors.
pub fn true_ratio(set: f64, clamp: f64, shown: f64) -> f64 {
    set * clamp / shown
}

/// How much of the truth is shown.
pub fn shown_part(set: f64, fitted: f64) -> f64 {
    set / fitted
}

/// Ratio error in percent that a class may have at a part of the rated current; `None` if the
/// standard gives none. For readings of sensors: a difference within it is none.
pub fn class_error(class: &str, percent_of_rated: f64) -> Option<f64> {
    let own = |row: &super::table::Row<'_>| {
        row.text("class") == Some(class) && row.number("percent_of_rated") == Some(percent_of_rated)
    };
    IEC_SENSOR_CLASSES.rows().find(own)?.number("ratio_error_percent")
}

/// What two sensors on the legs of a split-phase supply show together, in watts: power of each leg,
/// and how they are fitted. For readings of sensors: what is shown tells how they are fitted.
pub fn shown_power(first: f64, second: f64, fitted: Fitted) -> [f64; 2] {
    let turned = |power: f64, reversed: bool| if reversed { -power } else { power };
    // On the other leg the voltage is opposed, so that the power counts the other way.
    let [first, second] = if fitted.swapped { [-second, -first] } else { [first, second] };
    [turned(first, fitted.reversed[0]), turned(second, fitted.reversed[1])]
}

/// How two sensors are fitted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Fitted {
    /// Each on the other's leg.
    pub swapped: bool,
    /// Which of them look the wrong way.
    pub reversed: [bool; 2],
}
