//! What is stated of the terminators at each point of the link.

use crate::limits;
use crate::links::Links;
use crate::plan::{Datum, Terminator};
use crate::sets::NodeId;
use crate::units::Ohms;

/// The terminators of one point.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Fitted {
    /// How many are on for sure; two at the most, as [`Links`] counts them.
    pub count: u8,
    /// What is stated of each of them, in order: the one that the settings speak of, then plugs as
    /// the list has them. `None` where no value is stated.
    pub ohms: [Option<Ohms>; 2],
    /// What is stated of the unit's or the device's own, be it on or not.
    pub own: Option<Ohms>,
}

impl Fitted {
    /// The stated values of those that are on.
    pub fn on(&self) -> impl Iterator<Item = Option<Ohms>> + '_ {
        self.ohms.iter().copied().take(usize::from(self.count))
    }
}

/// The terminators of every point.
#[derive(Clone, Copy, Debug)]
pub struct AllFitted {
    at: [Fitted; limits::NODES],
}

impl AllFitted {
    /// Reads them from the tables and records of a plan.
    pub fn of(links: &Links<'_>) -> Self {
        let plan = links.plan;
        let mut all = Self { at: [Fitted::default(); limits::NODES] };
        // How many of a point's places are taken, and whether the next plug is the one that its
        // settings speak of.
        let mut taken = [(0_usize, false); limits::NODES];
        for id in links.units {
            let Some(unit) = plan.unit(id) else { continue };
            let stated = unit.declares(Datum::TerminatorOhms);
            let own = stated.then(|| Ohms(unit.terminator_ohms.get()));
            all.add_own(&mut taken, NodeId::of_unit(id), own, unit.terminator, true);
        }
        for (id, device) in plan.devices() {
            let own = Some(device.terminator_ohms.get()).filter(|ohms| *ohms != 0).map(Ohms);
            all.add_own(&mut taken, NodeId::of_device(id), own, device.terminator, false);
        }
        for id in links.plugs {
            let Some(plug) = plan.cable(id) else { continue };
            let Some(node) = plug.ends.iter().find_map(|end| end.node()) else { continue };
            let Some(fitted) = all.at.get_mut(node.index()) else { continue };
            let Some((places, is_named)) = taken.get_mut(node.index()) else { continue };
            let stated = plug.plug_ohms().filter(|ohms| ohms.0 != 0);
            if *is_named {
                // One terminator, of which settings and list tell.
                *is_named = false;
                let [first, _] = &mut fitted.ohms;
                *first = first.or(stated);
            } else if let Some(place) = fitted.ohms.get_mut(*places) {
                *place = stated;
                *places = places.wrapping_add(1);
            }
        }
        for (index, fitted) in (0..=u8::MAX).zip(&mut all.at) {
            let node = NodeId(index);
            let count = |set: crate::sets::NodeSet| u8::from(set.contains(node));
            fitted.count = count(links.terminated).wrapping_add(count(links.terminated_twice));
        }
        all
    }

    fn add_own(
        &mut self,
        taken: &mut [(usize, bool); limits::NODES],
        node: NodeId,
        own: Option<Ohms>,
        code: u8,
        is_unit: bool,
    ) {
        let Some(fitted) = self.at.get_mut(node.index()) else { return };
        fitted.own = own;
        let (is_on, may_be_plug) = match Terminator::from_code(code) {
            Some(Terminator::On | Terminator::Plug) => (true, is_unit),
            Some(Terminator::BuiltIn) => (true, false),
            Some(Terminator::Off | Terminator::Automatic) | None => (false, false),
        };
        if let Some(taken) = taken.get_mut(node.index()).filter(|_| is_on) {
            let [first, _] = &mut fitted.ohms;
            *first = own;
            *taken = (1, may_be_plug);
        }
    }

    /// Those of a point.
    pub fn at(&self, node: NodeId) -> Fitted {
        self.at.get(node.index()).copied().unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trial::{A, B, Trial};

    fn fitted(trial: &Trial, unit: u8) -> Fitted {
        AllFitted::of(&Links::build(&trial.plan())).at(NodeId(unit))
    }

    #[test]
    fn each_plug_of_a_unit_keeps_its_own_value() {
        let line = Trial::line(3).terminator(1, Terminator::Off);
        let line = line.plug_of(1, A, None).plug_of(1, B, Some(150));
        assert_eq!((fitted(&line, 1).count, fitted(&line, 1).ohms), (2, [None, Some(Ohms(150))]));
        let line = Trial::line(3).terminator(1, Terminator::Off);
        let line = line.plug_of(1, A, Some(100)).plug_of(1, B, Some(150));
        assert_eq!(fitted(&line, 1).ohms, [Some(Ohms(100)), Some(Ohms(150))]);
    }

    #[test]
    fn a_plug_that_the_settings_speak_of_is_the_same_terminator() {
        let line = Trial::line(3).plug_of(0, B, Some(150));
        assert_eq!((fitted(&line, 0).count, fitted(&line, 0).ohms), (1, [Some(Ohms(150)), None]));
        let twice = line.plug_of(0, A, Some(100));
        assert_eq!(fitted(&twice, 0).ohms, [Some(Ohms(150)), Some(Ohms(100))]);
        assert_eq!(fitted(&twice, 0).count, 2);
        let built_in = Trial::line(3).terminator(0, Terminator::BuiltIn);
        let both = built_in.plug_of(0, B, Some(150));
        assert_eq!((fitted(&both, 0).count, fitted(&both, 0).ohms[1]), (2, Some(Ohms(150))));
    }
}
