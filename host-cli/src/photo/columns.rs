//! The columns of a cable list, and the orders in which they can stand.

/// A column.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Column {
    /// The cable's own label.
    Label,
    /// The unit at its one end.
    FromUnit,
    /// The socket there.
    FromPort,
    /// The unit at its other end.
    ToUnit,
    /// The socket there.
    ToPort,
    /// What the cable is for.
    Kind,
    /// Its length.
    Length,
}

impl Column {
    /// All columns in the order in which they are told.
    pub const ALL: [Self; 7] = [
        Self::Label,
        Self::FromUnit,
        Self::FromPort,
        Self::ToUnit,
        Self::ToPort,
        Self::Kind,
        Self::Length,
    ];

    /// Its name in JSON.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Label => "label",
            Self::FromUnit => "from_unit",
            Self::FromPort => "from_port",
            Self::ToUnit => "to_unit",
            Self::ToPort => "to_port",
            Self::Kind => "kind",
            Self::Length => "length_m",
        }
    }

    /// Its heading in a cable list.
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Label => "cable",
            Self::FromUnit => "from",
            Self::FromPort => "from port",
            Self::ToUnit => "to",
            Self::ToPort => "to port",
            Self::Kind => "kind",
            Self::Length => "length",
        }
    }
}

/// The order of the columns of one list, from left to right.
pub(super) type Order = Vec<Column>;

/// Every order that a list can have: both ends, unit before socket, and around them any of label,
/// kind and length; both units may stand before both sockets, and sockets may be left out. Which
/// end comes first is told by headings, else it is the first.
pub(super) fn orders() -> Vec<Order> {
    use Column::{FromPort, FromUnit, Kind, Label, Length, ToPort, ToUnit};
    let ends: [&[&[Column]]; 3] = [
        &[&[FromUnit, FromPort], &[ToUnit, ToPort]],
        &[&[FromUnit, ToUnit, FromPort, ToPort]],
        &[&[FromUnit], &[ToUnit]],
    ];
    let others: [&[Column]; 3] = [&[Label], &[Kind], &[Length]];
    let mut orders = Vec::new();
    for ends in ends {
        for set in 0..8_u8 {
            let extra = others.iter().enumerate().filter(|(at, _)| set & (1 << at) != 0);
            let blocks: Vec<&[Column]> =
                ends.iter().copied().chain(extra.map(|(_, block)| *block)).collect();
            permuted(&blocks, &mut Vec::new(), &mut orders);
        }
    }
    orders.retain(|order: &Order| {
        let place = |column| order.iter().position(|own| *own == column);
        place(FromUnit) < place(ToUnit)
    });
    orders
}

fn permuted<'b>(blocks: &[&'b [Column]], taken: &mut Vec<&'b [Column]>, orders: &mut Vec<Order>) {
    if taken.len() == blocks.len() {
        orders.push(taken.concat());
        return;
    }
    for block in blocks {
        if !taken.contains(block) {
            taken.push(block);
            permuted(blocks, taken, orders);
            taken.pop();
        }
    }
}

/// The same order with the ends exchanged.
pub(super) fn turned(order: &Order) -> Order {
    let turn = |column: &Column| match column {
        Column::FromUnit => Column::ToUnit,
        Column::FromPort => Column::ToPort,
        Column::ToUnit => Column::FromUnit,
        Column::ToPort => Column::FromPort,
        other @ (Column::Label | Column::Kind | Column::Length) => *other,
    };
    order.iter().map(turn).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orders_are_all_different_and_have_both_ends() {
        let all = orders();
        assert_eq!(all.len(), 106 + 49 + 106);
        for (at, order) in all.iter().enumerate() {
            assert!(!all[..at].contains(order), "{order:?}");
            assert!(order.contains(&Column::FromUnit) && order.contains(&Column::ToUnit));
            assert_eq!(turned(&turned(order)), *order);
        }
    }
}
