//! A QR code (ISO/IEC 18004) as squares on a page.

use super::Page;
use qrcodegen::{QrCode, QrCodeEcc};

/// Modules of white that must stay free around a code.
pub const QUIET: u8 = 4;

/// Draws a text as a code into a square of this side, quiet zone included. `None` if the text is too
/// long for any code.
pub fn draw(page: &mut Page, text: &str, (x, y): (f32, f32), side: f32) -> Option<()> {
    let squares = QrCode::encode_text(text, QrCodeEcc::Medium).ok()?;
    let count = u8::try_from(squares.size()).ok()?;
    let module = side / f32::from(count + 2 * QUIET);
    let at = |position: u8| f32::from(position + QUIET) * module;
    for row in 0..count {
        let mut column = 0;
        while column < count {
            let dark = |column: u8| squares.get_module(column.into(), row.into());
            // Dark modules side by side are one block, so that no hairline shows between them.
            let run = (column..count).take_while(|column| dark(*column)).count();
            let run = u8::try_from(run).unwrap_or(0);
            if run > 0 {
                page.block((x + at(column), y + at(row)), (f32::from(run) * module, module), 1.0);
            }
            column += run.max(1);
        }
    }
    Some(())
}
