//! How enums with dozens of members are logged.
//!
//! What `defmt` derives writes the position of the member, found by a branch for each: twelve
//! bytes a member. Here the position is computed from the number, and only the names are derived.

/// `log_by_position! { Enum, |this| position of the member in the list; Member Member … }`
macro_rules! log_by_position {
    ($name:ident, |$this:ident| $position:expr; $($member:ident)+) => {
        #[cfg(feature = "defmt")]
        const _: () = {
            #[derive(defmt::Format)]
            #[allow(dead_code, reason = "only its names are used")]
            enum Names { $($member,)+ }

            impl defmt::Format for $name {
                fn format(&self, formatter: defmt::Formatter<'_>) {
                    defmt::write!(formatter, "{}", self);
                }

                fn _format_tag() -> defmt::Str {
                    <Names as defmt::Format>::_format_tag()
                }

                fn _format_data(&self) {
                    let $this = *self;
                    defmt::export::u8(&$position);
                }
            }
        };
    };
}
pub(crate) use log_by_position;
