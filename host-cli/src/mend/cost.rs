//! What each kind of act costs: no more than an order that a person would agree with. Ours.

/// A switch is flipped or a value dialled in.
pub const SETTING: u32 = 2;
/// A plug, a terminator or a sensor is moved.
pub const MOVE: u32 = 3;
/// A cable is taken out: two plugs, and nothing goes in.
pub const REMOVE: u32 = 4;
/// A conductor goes to another bar: two joints, with tools.
pub const REJOIN: u32 = 4;
/// Two plugs of one unit change places, or one cable is turned.
pub const EXCHANGE: u32 = 5;
/// A cable is found, run and plugged in.
pub const ADD: u32 = 8;
/// The same, with the old one taken out.
pub const REPLACE: u32 = 9;

/// What acts cost, in one sentence, for constants too.
macro_rules! costs {
    () => {
        "A setting, a switch or a plug taken out costs 2; a plug, a terminator or a sensor moved 3; a \
         cable taken out or a conductor rejoined 4; two plugs exchanged, or a cable turned, 5; a new \
         cable 8; a cable replaced 9."
    };
}
pub(crate) use costs;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_told_is_what_is_counted() {
        let told = costs!().replace(';', ",");
        let costs = [SETTING, MOVE, REMOVE, REJOIN, EXCHANGE, ADD, REPLACE];
        let mut numbers: Vec<u32> = costs.to_vec();
        numbers.dedup();
        let of_text = told.split(|sign: char| !sign.is_ascii_digit());
        assert_eq!(of_text.filter_map(|number| number.parse().ok()).collect::<Vec<u32>>(), numbers);
    }
}
