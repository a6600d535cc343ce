//! Listening on a CAN interface of Linux. Nothing is ever sent.
//!
//! What comes is written down as candump writes it, so that there is one way into the program.

#[cfg(all(feature = "live", target_os = "linux"))]
pub(super) use on_linux::open;

use crate::read::ReadError;

/// Where this program cannot listen.
#[cfg(not(all(feature = "live", target_os = "linux")))]
pub(super) fn open(interface: &str) -> Result<Ears, ReadError> {
    let expected = if cfg!(target_os = "linux") {
        "a program built with it: cargo build --release --features live; or a log"
    } else {
        "Linux, where CAN interfaces are part of the system; or a log"
    };
    Err(ReadError::file(interface, "this program was built without listening to it", expected))
}

/// Nobody listens.
#[cfg(not(all(feature = "live", target_os = "linux")))]
pub(super) enum Ears {}

#[cfg(not(all(feature = "live", target_os = "linux")))]
impl Ears {
    pub(super) const fn hear(&mut self) -> Result<Vec<u8>, ReadError> {
        match *self {}
    }
}

#[cfg(all(feature = "live", target_os = "linux"))]
mod on_linux {
    use super::ReadError;
    use socketcan::{CanSocket, EmbeddedFrame, Frame, Socket, SocketOptions};
    use std::fmt::Write;
    use std::io;
    use std::time::Instant;

    /// Listens on an interface.
    pub(crate) struct Ears {
        socket: CanSocket,
        interface: String,
        began: Instant,
    }

    /// Marks of an identifier (Linux, `include/uapi/linux/can.h`): 29 bits, request, error.
    const LONG: u32 = 0x8000_0000;
    const REQUEST: u32 = 0x4000_0000;
    const ERROR: u32 = 0x2000_0000;

    /// Begins to listen.
    pub(crate) fn open(interface: &str) -> Result<Ears, ReadError> {
        let cannot = |error: io::Error| {
            let says = format!("it cannot be listened to: {error}");
            let expected = "a CAN interface that is up; `ip link show type can` lists them";
            ReadError::file(interface, says, expected)
        };
        let socket = CanSocket::open(interface).map_err(cannot)?;
        socket.set_error_filter_accept_all().map_err(cannot)?;
        Ok(Ears { socket, interface: interface.to_owned(), began: Instant::now() })
    }

    impl Ears {
        /// The next frame, as a line.
        pub(crate) fn hear(&mut self) -> Result<Vec<u8>, ReadError> {
            let frame = loop {
                match self.socket.read_frame() {
                    Ok(frame) => break frame,
                    Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                    Err(error) => {
                        let says = format!("it was listened to until: {error}");
                        let expected = "an interface that stays up";
                        return Err(ReadError::file(&self.interface, says, expected));
                    }
                }
            };
            let since = self.began.elapsed();
            let word = frame.id_word();
            let mut line = format!("({}.{:06}) ", since.as_secs(), since.subsec_micros());
            line.push_str(&self.interface);
            let bits = word & !(LONG | REQUEST);
            // Writing to a text does not fail.
            let _ = match word & (LONG | ERROR) {
                0 => write!(line, " {bits:03X}#"),
                _ => write!(line, " {bits:08X}#"),
            };
            if word & REQUEST == 0 {
                for byte in frame.data() {
                    let _ = write!(line, "{byte:02X}");
                }
            } else {
                let _ = write!(line, "R{}", frame.dlc());
            }
            line.push('\n');
            Ok(line.into_bytes())
        }
    }
}
