//! One frame of a CAN bus, as a controller hands it over.

/// The identifier of a frame, with as many bits as the standard gives it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum FrameId {
    /// Eleven bits.
    Standard(u16),
    /// Twenty-nine bits.
    Extended(u32),
}

impl FrameId {
    const MOST_STANDARD: u16 = 0x7FF;
    const MOST_EXTENDED: u32 = 0x1FFF_FFFF;

    /// An identifier of eleven bits; `None` if it has more.
    pub const fn standard(id: u16) -> Option<Self> {
        if id <= Self::MOST_STANDARD { Some(Self::Standard(id)) } else { None }
    }

    /// An identifier of twenty-nine bits; `None` if it has more.
    pub const fn extended(id: u32) -> Option<Self> {
        if id <= Self::MOST_EXTENDED { Some(Self::Extended(id)) } else { None }
    }

    /// Its bits as a number.
    pub fn bits(self) -> u32 {
        match self {
            Self::Standard(id) => id.into(),
            Self::Extended(id) => id,
        }
    }

    /// Its bits, with [`Frame::EXTENDED`] if there are 29 of them.
    fn number(self) -> u32 {
        match self {
            Self::Standard(id) => id.into(),
            Self::Extended(id) => id | Frame::EXTENDED,
        }
    }
}

/// One frame of classic CAN.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Frame {
    /// The identifier's bits; [`Frame::EXTENDED`] says that it has 29 of them.
    id: u32,
    data: [u8; 8],
    length: u8,
    remote: bool,
}

impl Frame {
    /// Says that the identifier has 29 bits, where it stands as a number.
    pub const EXTENDED: u32 = 1 << 31;

    /// Most bytes of data.
    pub const MOST_BYTES: usize = 8;

    /// A frame with data; `None` if there are more than eight bytes.
    ///
    /// ```
    /// use coldcheck_core::frame::{Frame, FrameId};
    ///
    /// let id = FrameId::standard(0x701).ok_or("eleven bits")?;
    /// let frame = Frame::new(id, &[5]).ok_or("one byte")?;
    /// assert_eq!(frame.data(), [5]);
    /// assert_eq!(Frame::new(id, &[0; 9]), None);
    /// # Ok::<(), &str>(())
    /// ```
    pub fn new(id: FrameId, bytes: &[u8]) -> Option<Self> {
        let mut data = [0; Self::MOST_BYTES];
        data.get_mut(..bytes.len())?.copy_from_slice(bytes);
        let length = u8::try_from(bytes.len()).ok()?;
        Some(Self { id: id.number(), data, length, remote: false })
    }

    /// A request for a frame: it has a length, but no data, and tells nothing about who is there.
    pub fn request(id: FrameId, length: u8) -> Option<Self> {
        if length > 8 {
            return None;
        }
        Some(Self { id: id.number(), data: [0; Self::MOST_BYTES], length, remote: true })
    }

    /// Its identifier.
    pub fn id(&self) -> FrameId {
        let bits = self.id & !Self::EXTENDED;
        match u16::try_from(self.id) {
            Ok(id) => FrameId::Standard(id),
            Err(_) => FrameId::Extended(bits),
        }
    }

    /// Its identifier as a number; [`Frame::EXTENDED`] says that it has 29 bits.
    pub(crate) const fn number(&self) -> u32 {
        self.id
    }

    /// Whether it asks for a frame instead of being one.
    pub const fn is_request(&self) -> bool {
        self.remote
    }

    /// How many bytes it has, or asks for.
    pub fn length(&self) -> usize {
        usize::from(self.length)
    }

    /// Its data; none for a request.
    pub fn data(&self) -> &[u8] {
        if self.remote {
            return &[];
        }
        self.data.get(..self.length()).unwrap_or(&[])
    }

    /// All eight bytes; those past the data are zero.
    pub(crate) const fn bytes(&self) -> [u8; 8] {
        self.data
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identifiers_have_as_many_bits_as_they_say() {
        assert_eq!(FrameId::standard(0x7FF).map(FrameId::bits), Some(0x7FF));
        assert_eq!(FrameId::standard(0x800), None);
        assert_eq!(FrameId::extended(0x1FFF_FFFF).map(FrameId::bits), Some(0x1FFF_FFFF));
        assert_eq!(FrameId::extended(0x2000_0000), None);
    }

    #[test]
    fn a_request_has_a_length_and_no_data() {
        let id = FrameId::Standard(0x700);
        let request = Frame::request(id, 8).expect("a length");
        assert_eq!((request.length(), request.data(), request.is_request()), (8, &[][..], true));
        assert_eq!(Frame::request(id, 9), None);
        let full = Frame::new(id, &[1, 2, 3, 4, 5, 6, 7, 8]).expect("eight bytes");
        assert_eq!((full.length(), full.data().len(), full.is_request()), (8, 8, false));
    }
}
