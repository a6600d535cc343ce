//! JSON under the schema `coldcheck.sensors.v1`.

use crate::sensors::{Answer, Channel, Import, Left, Next, Ratio, Silence, candidate, verdict};
use crate::words::{CAUTIONS, NEVER_OPEN};
use serde_json::{Value, json};

/// The schema's name; a change that is no addition makes the next version.
pub const SCHEMA: &str = "coldcheck.sensors.v1";

/// What is left of every channel, and what to read next.
pub fn told(channels: &[Channel], answer: &Answer, import: Option<Import>) -> Value {
    let of = |(at, (channel, left)): (usize, (&Channel, &Vec<Left>))| {
        json!({
            "sensor": channel.name,
            "leg": format!("L{}", channel.own + 1),
            "says": verdict(channel, left, answer.silent[at]),
            "silent": answer.silent[at] == Silence::Sure,
            "may_be_silent": answer.silent[at] == Silence::Perhaps,
            "left": left.iter().map(|one| json!({
                "says": candidate(channel, one, import.is_none() && left.len() > 1),
                "import": one.import.word(),
                "faults": one.faults(channel.own),
                "sits_on": format!("L{}", one.leg() + 1),
                "ways": one.ways.iter().map(|way| json!({
                    "reversed": way.reversed,
                    "reference": format!("L{}", way.reference + 1),
                })).collect::<Vec<_>>(),
                "ratio": ratio(one.ratio),
            })).collect::<Vec<_>>(),
        })
    };
    json!({
        "schema": SCHEMA,
        "result": if answer.has_fault(channels) {
            "not-right"
        } else if answer.is_sure(channels) {
            "reads-right"
        } else {
            "open"
        },
        "import": import.map(Import::word),
        "channels": channels.iter().zip(&answer.left).enumerate().map(of).collect::<Vec<_>>(),
        "too_small": answer.too_small.iter().map(|(test, channel)| json!({
            "test": test + 1,
            "sensor": channels[*channel].name,
        })).collect::<Vec<_>>(),
        "next": answer.next.as_ref().map(|next| json!({
            "kind": next.word(),
            "says": next.says(),
            "leg": if let Next::Load { leg, .. } = next { Some(format!("L{}", leg + 1)) } else { None },
        })),
        "never": NEVER_OPEN,
        "cautions": CAUTIONS,
    })
}

fn ratio(ratio: Ratio) -> Value {
    match ratio {
        Ratio::Right => json!({ "state": "right" }),
        Ratio::Open => json!({ "state": "open" }),
        Ratio::Wrong { times, fitted } => {
            json!({ "state": "wrong", "times": (times * 1000.0).round() / 1000.0, "fitted": fitted })
        }
    }
}
