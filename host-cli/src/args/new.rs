//! The command line of `new`.

use super::{Form, OutputArgs, units};
use crate::profile::ASSUMED;
use clap::Args;
use std::path::PathBuf;

/// Arguments of `new`.
#[derive(Args, Debug)]
pub struct NewArgs {
    /// How many units the group has.
    #[arg(long, value_name = "N", value_parser = units)]
    pub units: u16,

    /// Profile by name or file.
    #[arg(long, value_name = "NAME|FILE", default_value = ASSUMED)]
    pub profile: String,

    /// Where the units hang, a line each (unit 1 at 0.0 m, 1.2 m), or a table of unit, x (m), y (m):
    /// the link then runs in the order with the least cable.
    #[arg(long, value_name = "FILE")]
    pub positions: Option<PathBuf>,

    /// As one site file, or as a cable list and a settings list.
    #[arg(long, value_enum, default_value_t = Form::Toml)]
    pub form: Form,

    /// Write site.toml, or cables.csv and settings.txt, into this folder; it is made if it is
    /// not there.
    #[arg(long, value_name = "DIR", conflicts_with = "output")]
    pub out_dir: Option<PathBuf>,

    /// Where the site file goes.
    #[command(flatten)]
    pub output: OutputArgs,
}
