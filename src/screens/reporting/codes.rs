//! Codes for a phone's camera (QR, ISO/IEC 18004), as pictures of one pixel for each square.

use qrcodegen::{QrCode, QrCodeEcc};
use slint::{Image, Rgb8Pixel, SharedPixelBuffer};

/// The white around a code that its standard asks for, in squares.
const QUIET: i32 = 4;

/// A code and how many squares it has from edge to edge, the white around them included. `None` where
/// the text is too long for any code.
pub fn code(text: &str) -> Option<(Image, i32)> {
    // Medium: a drop of water on the glass must not cost a scan.
    let code = QrCode::encode_text(text, QrCodeEcc::Medium).ok()?;
    let squares = code.size() + 2 * QUIET;
    let edge = u32::try_from(squares).ok()?;
    let mut pixels = SharedPixelBuffer::<Rgb8Pixel>::new(edge, edge);
    let places = (0..squares).flat_map(|y| (0..squares).map(move |x| (x, y)));
    for (pixel, (x, y)) in pixels.make_mut_slice().iter_mut().zip(places) {
        // Beside the code there is no dark square.
        let dark = code.get_module(x - QUIET, y - QUIET);
        *pixel = match dark {
            true => Rgb8Pixel::new(0, 0, 0),
            false => Rgb8Pixel::new(255, 255, 255),
        };
    }
    Some((Image::from_rgb8(pixels), squares))
}
