//! A drawing as PNG, for services that take no SVG. It is drawn with a font kept with the program, so that no machine's own
//! fonts decide what it looks like.

use std::sync::Arc;

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};

/// `DejaVu` Sans, regular and bold, cut down to Latin, Greek, Cyrillic and common signs; see `report/fonts/`.
const FONTS: [&[u8]; 2] =
    [include_bytes!("../../fonts/DejaVuSans.ttf"), include_bytes!("../../fonts/DejaVuSans-Bold.ttf")];
const FAMILY: &str = "DejaVu Sans";

/// A drawing of our own as PNG, in its own size; `None` where it is none.
pub fn png(svg: &str) -> Option<Vec<u8>> {
    let mut fonts = fontdb::Database::new();
    for font in FONTS {
        fonts.load_font_data(font.to_vec());
    }
    // Whatever family a drawing asks for, it gets this one.
    fonts.set_serif_family(FAMILY);
    fonts.set_sans_serif_family(FAMILY);
    let options = Options { fontdb: Arc::new(fonts), font_family: FAMILY.to_owned(), ..Options::default() };
    let tree = Tree::from_str(svg, &options).ok()?;
    let size = tree.size().to_int_size();
    let mut picture = Pixmap::new(size.width(), size.height())?;
    resvg::render(&tree, Transform::identity(), &mut picture.as_mut());
    picture.encode_png().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The size and the signature of PNG (W3C, Portable Network Graphics, 5.2 and 11.2.2); letters leave dots.
    #[test]
    fn a_drawing_has_its_size_and_letters() {
        let with = |text: &str| {
            let svg = format!(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1200\" height=\"630\" viewBox=\"0 0 1200 630\">\
                 <rect width=\"1200\" height=\"630\" fill=\"#fff\"/><text x=\"60\" y=\"120\" font-size=\"50\" \
                 font-family=\"system-ui\">{text}</text></svg>"
            );
            png(&svg).unwrap()
        };
        let picture = with("Ärmelschoner, 5.0 to 6.0");
        assert_eq!(&picture[..8], b"\x89PNG\r\n\x1a\n");
        let number = |at: usize| u32::from_be_bytes(picture[at..at + 4].try_into().unwrap());
        assert_eq!((number(16), number(20)), (1200, 630));
        assert_ne!(picture, with(""));
        assert_eq!(picture, with("Ärmelschoner, 5.0 to 6.0"));
        assert_eq!(png("no drawing"), None);
    }
}
