//! The form of every record: fixed stride, little-endian, alignment 1.
//!
//! Alignment 1 lets a slice of records be viewed at any offset of an image in flash. A field that
//! was not declared holds zero, and its [`Datum`](super::Datum) bit is not set; where zero is a
//! value of its own (an address), the bit decides.

macro_rules! record {
    ($(#[$doc:meta])* $name:ident, $stride:literal bytes { $($(#[$field_doc:meta])* $field:ident: $kind:ty,)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        #[derive(zerocopy::FromBytes, zerocopy::IntoBytes, zerocopy::Immutable)]
        #[derive(zerocopy::KnownLayout, zerocopy::Unaligned)]
        #[repr(C)]
        pub struct $name {
            $($(#[$field_doc])* pub $field: $kind,)+
        }

        const _: () = assert!(size_of::<$name>() == $stride);

        impl Default for $name {
            /// A record that declares nothing.
            fn default() -> Self {
                zerocopy::FromZeros::new_zeroed()
            }
        }
    };
}
pub(crate) use record;
