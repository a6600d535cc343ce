//! The power side: battery, AC, neutral, earth, solar inputs.

pub(super) mod battery_banks_separate;
