//! What one unit has otherwise than all: `except L1<->L2`, `straight except PE->none`.

use super::conductors::{Conductor, Pole, conductors, is_straight};

/// One thing that is otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Exception {
    /// Two terminals are exchanged.
    Exchanged(Pole, Pole),
    /// These terminals go elsewhere.
    Elsewhere(Conductor),
}

/// What stands in front of the word `except`, and what behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Exceptions {
    /// What the unit has otherwise; `None` if that is what all units have.
    pub from: Option<Vec<Conductor>>,
    /// Whether that is the word `straight`: which lines it means is not known here.
    pub is_straight: bool,
    /// What is otherwise.
    pub list: Vec<Exception>,
}

const EXPECTED: &str = "what is otherwise behind the word: except L1<->L2; or except PE->none";
const EXCHANGED: &[&str] = &["<->", "<=>", "<>", "↔", "⇔", "⇄"];

/// Reads exceptions; `None` if the text has no such word.
pub fn exceptions(text: &str) -> Option<Result<Exceptions, String>> {
    let lower = text.to_lowercase();
    let at = lower.find("except")?;
    // Folding to small letters may move what stands behind.
    let (before, rest) = text.split_at_checked(at)?;
    let behind = rest.get("except".len()..)?;
    Some(read(before.trim(), behind.trim()))
}

fn read(before: &str, behind: &str) -> Result<Exceptions, String> {
    let from = match before {
        "" => None,
        before => Some(conductors(before.trim_end_matches([',', ';']))?),
    };
    let behind = behind.strip_prefix(':').unwrap_or(behind);
    let parts = behind.split([';', ',']).map(str::trim).filter(|part| !part.is_empty());
    let list = parts.map(exception).collect::<Result<Vec<_>, _>>()?;
    let is_straight = is_straight(before.trim_end_matches([',', ';']));
    if list.is_empty() {
        Err(EXPECTED.to_owned())
    } else {
        Ok(Exceptions { from, is_straight, list })
    }
}

fn exception(text: &str) -> Result<Exception, String> {
    let exchanged = EXCHANGED.iter().find_map(|sign| text.split_once(sign));
    if let Some((one, two)) = exchanged {
        let poles = Pole::read(one).zip(Pole::read(two)).filter(|(one, two)| one != two);
        return poles.map(|(one, two)| Exception::Exchanged(one, two)).ok_or(EXPECTED.to_owned());
    }
    match conductors(text).as_deref() {
        Ok([conductor]) => Ok(Exception::Elsewhere(conductor.clone())),
        _ => Err(EXPECTED.to_owned()),
    }
}

impl Exceptions {
    /// The conductors of a unit that has otherwise what all have.
    ///
    /// # Errors
    /// In words, if a terminal that is exchanged is joined to nothing that is known.
    pub fn applied_to(&self, all: &[Conductor]) -> Result<Vec<Conductor>, String> {
        let mut list = self.from.as_deref().unwrap_or(all).to_vec();
        for exception in &self.list {
            match exception {
                Exception::Exchanged(one, two) => {
                    let place = |pole| list.iter().position(|conductor| conductor.pole == pole);
                    let (Some(one), Some(two)) = (place(*one), place(*two)) else {
                        return Err(
                            "terminals that are joined to something on all units".to_owned()
                        );
                    };
                    let first = list[one].to.clone();
                    list[one].to = std::mem::replace(&mut list[two].to, first);
                }
                Exception::Elsewhere(conductor) => {
                    list.retain(|other| other.pole != conductor.pole);
                    list.push(conductor.clone());
                }
            }
        }
        list.sort();
        Ok(list)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn applied(text: &str, all: &str) -> Result<Vec<Conductor>, String> {
        let all = conductors(all).expect("conductors");
        exceptions(text).expect("the word is there").and_then(|found| found.applied_to(&all))
    }

    #[test]
    fn what_is_otherwise_is_changed_and_the_rest_is_that_of_all() {
        for text in ["except L1<->L2", "Except: L2 ↔ L1", "straight except L1 <-> L2"] {
            let wanted = conductors("L1->bar L2; L2->bar L1; N->bar N; PE->earth bar");
            assert_eq!(applied(text, "straight"), wanted, "{text}");
        }
        assert_eq!(
            applied("except PE->none, N->bar N 2", "L1->supply L1; N->supply N; PE->earth bar"),
            conductors("L1->supply L1; N->bar N 2; PE->none")
        );
        assert_eq!(
            applied("straight, except L1<->N", "L1->supply L1"),
            conductors("L1->bar N; L2->bar L2; N->bar L1; PE->earth bar")
        );
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for text in
            ["except", "except L1", "except L1<->L1", "except L9<->L1", "odd except L1<->L2"]
        {
            assert!(applied(text, "straight").is_err(), "{text}");
        }
        assert!(applied("except L2<->L1", "L1->bar L1; N->bar N").is_err());
        assert_eq!(exceptions("straight"), None);
    }
}
