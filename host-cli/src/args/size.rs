//! Arguments of `size`.

use super::{Format, OutputArgs, SiteArgs};
use clap::Args;

pub(super) const ABOUT: &str = "\
Currents, breakers, conductors, earth conductors, busbar, voltage drop, battery fuse and fault \
current, sharing over unequal leads, pre-charge, limits of sources, fault current without the \
supply, strings on the coldest day, sensors, and the settings to dial in: each number with its \
formula, its inputs and its source.

What is not declared is not invented: a number that cannot be computed is listed with the words to \
write what it lacks. The code that applies is the site's choice (code = NEC or code = IEC); without \
it only what hangs on no code is shown. Tables and clauses are second-hand or from memory where it \
says so. The local code, its adopted edition and licensed practice come before all of it.

The findings are those of `coldcheck check`, which gives the verdict.";

/// Arguments of `size`.
#[derive(Args, Debug)]
pub struct SizeArgs {
    /// The site.
    #[command(flatten)]
    pub site: SiteArgs,

    /// Form of the list.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,

    /// Where the list goes.
    #[command(flatten)]
    pub output: OutputArgs,
}
