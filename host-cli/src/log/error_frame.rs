//! Error frames: what a recorder's controller says about the bus.
//!
//! Bits are those of SocketCAN (Linux, `include/uapi/linux/can/error.h`): the classes, the
//! controller's states and wrong bits as read there; places of an error and counters from memory.

use coldcheck_core::heard::{BusError, BusState, Controller};

/// An error frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ErrorFrame {
    classes: u32,
    data: [u8; 8],
}

/// Marks an identifier as an error frame.
pub(super) const FLAG: u32 = 0x2000_0000;

const TIMEOUT: u32 = 0x001;
const CONTROLLER: u32 = 0x004;
const PROTOCOL: u32 = 0x008;
const TRANSCEIVER: u32 = 0x010;
const NO_ACKNOWLEDGE: u32 = 0x020;
const OFF: u32 = 0x040;
const BUS_ERROR: u32 = 0x080;
const RESTARTED: u32 = 0x100;
const COUNTERS: u32 = 0x200;

/// Bits of the second byte, under [`CONTROLLER`].
const OVERRUN: u8 = 0x03;
const WARNING: u8 = 0x0C;
const PASSIVE: u8 = 0x30;

/// Bits of the third byte, under [`PROTOCOL`].
const WRONG_BIT: u8 = 0x01 | 0x08 | 0x10;
const WRONG_FRAME: u8 = 0x02 | 0x04;

/// Values of the fourth byte, under [`PROTOCOL`]: the acknowledge slot and its delimiter, the
/// checksum and its delimiter.
const AT_ACKNOWLEDGE: [u8; 2] = [0x19, 0x1B];
const AT_CHECKSUM: [u8; 2] = [0x08, 0x18];

impl ErrorFrame {
    /// One with these classes and data; short data are filled up with zeros.
    pub fn new(classes: u32, data: &[u8]) -> Self {
        let mut bytes = [0; 8];
        for (byte, own) in bytes.iter_mut().zip(data) {
            *byte = *own;
        }
        Self { classes: classes & !FLAG, data: bytes }
    }

    /// Hands it on. An error frame of any kind shows that the log would tell of errors.
    pub fn tell(&self, controller: &mut Controller) {
        let [_, status, protocol, place, _, _, transmit, receive] = self.data;
        let has = |class: u32| self.classes & class != 0;
        if has(OFF | RESTARTED) {
            controller.state(BusState::Off);
        }
        if has(CONTROLLER) {
            if status & PASSIVE != 0 {
                controller.state(BusState::Passive);
            } else if status & WARNING != 0 {
                controller.state(BusState::Warning);
            }
            if status & OVERRUN != 0 {
                controller.error(BusError::Overrun);
            }
        }
        if has(COUNTERS) {
            controller.state(BusState::of(receive.into(), transmit.into()));
        }
        if has(NO_ACKNOWLEDGE) {
            controller.error(BusError::Acknowledge);
        }
        if has(PROTOCOL) {
            if AT_ACKNOWLEDGE.contains(&place) {
                controller.error(BusError::Acknowledge);
            } else if protocol & WRONG_FRAME != 0 || AT_CHECKSUM.contains(&place) {
                controller.error(BusError::Frame);
            } else if protocol & WRONG_BIT != 0 {
                controller.error(BusError::Bit);
            } else {
                controller.error(BusError::Other);
            }
        } else if has(BUS_ERROR | TIMEOUT | TRANSCEIVER) && !has(NO_ACKNOWLEDGE) {
            controller.error(BusError::Other);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(classes: u32, data: &[u8]) -> (BusState, bool, bool) {
        let mut controller = Controller::default();
        ErrorFrame::new(classes | FLAG, data).tell(&mut controller);
        (controller.worst(), controller.is_troubled(), controller.is_unanswered())
    }

    #[test]
    fn classes_mean_what_the_header_of_the_kernel_says() {
        use BusState::{Active, Off, Passive, Warning};
        for (classes, data, state, troubled, unanswered) in [
            (0x020, &[][..], Active, true, true),
            (0x040, &[], Off, true, false),
            (0x100, &[], Off, true, false),
            (0x004, &[0, 0x04], Warning, true, false),
            (0x004, &[0, 0x08], Warning, true, false),
            (0x004, &[0, 0x10], Passive, true, false),
            (0x004, &[0, 0x20], Passive, true, false),
            (0x004, &[0, 0x40], Active, false, false),
            (0x004, &[0, 0x01], Active, false, false),
            (0x200, &[0; 8], Active, false, false),
            (0x200, &[0, 0, 0, 0, 0, 0, 128, 0], Passive, true, false),
            (0x200, &[0, 0, 0, 0, 0, 0, 0, 96], Warning, true, false),
            (0x088, &[0, 0, 0x04], Active, true, false),
            (0x088, &[0, 0, 0x80, 0x19], Active, true, true),
            (0x0A8, &[0, 0, 0x80, 0x19], Active, true, true),
            (0x080, &[], Active, true, false),
            // Another sender was first: that is how the bus works.
            (0x002, &[], Active, false, false),
        ] {
            let wanted = (state, troubled, unanswered);
            assert_eq!(told(classes, data), wanted, "{classes:#x} {data:?}");
        }
    }
}
