//! `coldcheck schema`: the form of what commands print for programs.

use super::Failure;
use crate::args::SchemaArgs;
use crate::phrase::one_of;
use crate::read::ReadError;
use std::io::Write;

/// Commands, and the schema of what each prints with `--format json`.
const SCHEMAS: &[(&[&str], &str)] = &[
    (&["check", "hear"], include_str!("../../assets/check.v1.schema.json")),
    (&["batch"], include_str!("../../assets/batch.v1.schema.json")),
    (&["changed"], include_str!("../../assets/changed.v1.schema.json")),
    (&["changeover"], include_str!("../../assets/changeover.v1.schema.json")),
    (&["drill"], include_str!("../../assets/drill.v1.schema.json")),
    (&["mend"], include_str!("../../assets/mend.v1.schema.json")),
    (&["meter"], include_str!("../../assets/meter.v1.schema.json")),
    (&["powerup"], include_str!("../../assets/powerup.v1.schema.json")),
    (&["profile"], include_str!("../../assets/profile.v1.schema.json")),
    (&["read"], include_str!("../../assets/read.v1.schema.json")),
    (&["sensors"], include_str!("../../assets/sensors.v1.schema.json")),
    (&["size"], include_str!("../../assets/size.v1.schema.json")),
];

pub(super) fn run(args: &SchemaArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    let names = || SCHEMAS.iter().flat_map(|(names, _)| names.iter().copied());
    let Some(wanted) = &args.of else {
        for (names, _) in SCHEMAS {
            writeln!(out, "{}", names.join(", "))?;
        }
        return Ok(0);
    };
    let found = SCHEMAS.iter().find(|(names, _)| names.contains(&wanted.as_str()));
    let (_, schema) = found.ok_or_else(|| {
        let expected = one_of(&names().collect::<Vec<_>>());
        ReadError::file(wanted, "no command of that name prints JSON with a schema", expected)
    })?;
    out.write_all(schema.as_bytes())?;
    Ok(0)
}
