//! `coldcheck draw`.

use super::{Failure, check, files};
use crate::args::{DrawArgs, PictureFormat};
use crate::draw::{Parts, draw};
use crate::engine::examine;
use std::io::Write;

pub(super) fn run(args: &DrawArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    files::with_request(&args.site, |request| {
        let (site, mut diagnosis) = examine(request)?;
        check::weigh(&site, &mut diagnosis, args.date, args.strict)?;
        let svg = draw(&site, &diagnosis, args.width.width(), Parts::Whole).svg();
        let bytes = match args.format {
            PictureFormat::Svg => svg.into_bytes(),
            #[cfg(feature = "png")]
            PictureFormat::Png => png::of(&svg)?,
        };
        files::write(&files::inputs(&args.site, &site), &args.output, out, &bytes)?;
        Ok(0)
    })
}

#[cfg(feature = "png")]
mod png {
    use crate::read::ReadError;
    use resvg::tiny_skia::{Pixmap, Transform};
    use resvg::usvg::{Options, Tree, fontdb::Database};
    use std::sync::Arc;

    /// Pixels of the picture for one of the drawing.
    const SCALE: u8 = 2;

    /// A drawing as PNG, in the fonts of this machine.
    pub(super) fn of(svg: &str) -> Result<Vec<u8>, ReadError> {
        let cannot = |says: String| ReadError::file("the picture", says, "--format svg");
        let mut fonts = Database::new();
        fonts.load_system_fonts();
        // Words would be left out in silence.
        if fonts.is_empty() {
            return Err(cannot("no font is installed on this machine".to_owned()));
        }
        let options = Options { fontdb: Arc::new(fonts), ..Options::default() };
        let tree = Tree::from_str(svg, &options).map_err(|error| cannot(error.to_string()))?;
        let size = tree.size().to_int_size().scale_by(f32::from(SCALE));
        let pixels = size.and_then(|size| Pixmap::new(size.width(), size.height()));
        let mut pixels = pixels.ok_or_else(|| cannot("it is too large".to_owned()))?;
        let scale = f32::from(SCALE);
        resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
        pixels.encode_png().map_err(|error| cannot(error.to_string()))
    }
}
