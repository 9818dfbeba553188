//! QR codes as one shape, by the crate `qrcodegen` (ISO/IEC 18004).

use crate::documents::paper::style::Fill;
use crate::documents::paper::{Area, Canvas, Form, spot};
use qrcodegen::{QrCode, QrCodeEcc};

/// White modules that a reader needs round a code: ISO/IEC 18004 (from memory).
const QUIET: i32 = 4;

/// Draws a code with its quiet zone as large as a square allows; words that no code holds, over a thousand bytes, draw none.
pub(super) fn draw(canvas: &mut Canvas, words: &str, square: Area) {
    // A quarter of it may be dirty or torn.
    let Ok(code) = QrCode::encode_text(words, QrCodeEcc::Quartile) else {
        return;
    };
    let size = code.size();
    let module = square.width().min(square.height()) / f64::from(size + 2 * QUIET);
    let at = |x: i32, y: i32| {
        spot(
            square.x0 + f64::from(x + QUIET) * module,
            square.y0 + f64::from(y + QUIET) * module,
        )
    };
    let mut rings = Vec::new();
    for y in 0..size {
        let mut x = 0;
        while x < size {
            let run = (x..size).take_while(|x| code.get_module(*x, y)).count();
            let run = i32::try_from(run).unwrap_or(0);
            if run > 0 {
                rings.push(Area::of(at(x, y), at(x + run, y + 1)).corners().to_vec());
            }
            x += run.max(1);
        }
    }
    canvas.shape(Form::Region(rings), None, Fill::Black);
}
