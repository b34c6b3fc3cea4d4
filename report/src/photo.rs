//! Pictures: what a report may show, and what must not leave with it.
//!
//! Camera files carry the place and time a picture was taken, serial numbers and thumbnails. [`strip`] keeps what is
//! needed to show the picture and nothing else; a file it can't read to the end is refused, never passed on as it is.

/// A picture without metadata.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stripped {
    kind: &'static str,
    bytes: Vec<u8>,
}

impl Stripped {
    /// The bytes of the picture file.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Media type, `image/jpeg` or `image/png`.
    pub fn media_type(&self) -> &'static str {
        self.kind
    }

    /// As a data address.
    pub fn address(&self) -> String {
        format!("data:{};base64,{}", self.kind, base64(&self.bytes))
    }
}

/// Why a picture is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refused {
    /// Neither JPEG nor PNG.
    Kind,
    /// The file ends early or its segments make no sense.
    Broken,
}

impl std::fmt::Display for Refused {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Kind => "neither a JPEG nor a PNG picture",
            Self::Broken => "the picture file is damaged, so its metadata can't be taken out",
        })
    }
}

impl std::error::Error for Refused {}

/// The picture without metadata.
pub fn strip(bytes: &[u8]) -> Result<Stripped, Refused> {
    if bytes.starts_with(&[0xff, 0xd8]) {
        return jpeg(bytes).map(|bytes| Stripped { kind: "image/jpeg", bytes }).ok_or(Refused::Broken);
    }
    if bytes.starts_with(PNG) {
        return png(bytes).map(|bytes| Stripped { kind: "image/png", bytes }).ok_or(Refused::Broken);
    }
    Err(Refused::Kind)
}

const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";

/// Keeps what decoders need: JFIF and Adobe colour headers, tables, frames and scans. Application segments (Exif, XMP,
/// ICC, maker notes), comments and everything behind the end marker go. Of Exif the orientation stays, in a segment written
/// anew: cameras store pictures as the sensor lies. Segment layout: ITU-T T.81, annex B (memory high).
fn jpeg(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut out = vec![0xff, 0xd8];
    let mut at = 2;
    let mut turned = false;
    loop {
        while bytes.get(at)? == &0xff && bytes.get(at + 1)? == &0xff {
            at += 1;
        }
        let (&0xff, &marker) = (bytes.get(at)?, bytes.get(at + 1)?) else {
            return None;
        };
        match marker {
            0xd9 => {
                out.extend([0xff, 0xd9]);
                return Some(out);
            }
            0x01 | 0xd0..=0xd7 => {
                out.extend([0xff, marker]);
                at += 2;
            }
            _ => {
                let length = usize::from(u16::from_be_bytes([*bytes.get(at + 2)?, *bytes.get(at + 3)?]));
                let end = at + 2 + length;
                let segment = bytes.get(at..end)?;
                let body = segment.get(4..)?;
                if marker == 0xe1
                    && !turned
                    && let Some(tiff) = body.strip_prefix(b"Exif\0\0")
                    && let Some(way) = orientation(tiff).filter(|way| (2..=8).contains(way))
                {
                    turned = true;
                    out.extend_from_slice(&upright(way));
                }
                let keep = match marker {
                    0xe0 => body.starts_with(b"JFIF\0"),
                    0xee => body.starts_with(b"Adobe"),
                    0xe1..=0xef | 0xfe => false,
                    _ => true,
                };
                if marker == 0xe0 && keep {
                    // The header may carry a thumbnail: keep its fixed fields only.
                    let fixed = segment.get(..16)?;
                    out.extend_from_slice(&[0xff, 0xe0, 0, 16]);
                    out.extend_from_slice(&fixed[4..16]);
                    out.extend_from_slice(&[0, 0]);
                } else if keep {
                    out.extend_from_slice(segment);
                }
                at = end;
                if marker == 0xda {
                    let start = at;
                    // Scan data runs to the next marker that is neither stuffing nor a restart.
                    while bytes.get(at)? != &0xff || matches!(bytes.get(at + 1)?, 0x00 | 0xd0..=0xd7) {
                        at += 1;
                    }
                    out.extend_from_slice(&bytes[start..at]);
                }
            }
        }
    }
}

/// The orientation in the first directory of Exif data, 1 to 8. Layout: TIFF 6.0, section 2; tag 0x0112 is a short (memory
/// high). Only fixed offsets are followed, so nothing else of the data is looked at.
fn orientation(tiff: &[u8]) -> Option<u16> {
    let little = match tiff.get(..4)? {
        b"II*\0" => true,
        b"MM\0*" => false,
        _ => return None,
    };
    let short = |at: usize| {
        let two = tiff.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(if little { u16::from_le_bytes(two) } else { u16::from_be_bytes(two) })
    };
    let four = tiff.get(4..8)?.try_into().ok()?;
    let directory = if little { u32::from_le_bytes(four) } else { u32::from_be_bytes(four) } as usize;
    (0..usize::from(short(directory)?)).find_map(|entry| {
        let at = directory.checked_add(2)?.checked_add(entry * 12)?;
        (short(at)? == 0x0112 && short(at + 2)? == 3).then(|| short(at + 8)).flatten()
    })
}

/// An application segment that says how to turn the picture, and nothing else.
fn upright(way: u16) -> Vec<u8> {
    let mut out = vec![0xff, 0xe1, 0, 34];
    out.extend_from_slice(b"Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01");
    out.extend_from_slice(&way.to_be_bytes());
    out.extend_from_slice(&[0; 6]);
    out
}

/// Keeps chunks that decide how the picture looks (W3C PNG, chunk list; memory high); text, time and Exif go.
fn png(bytes: &[u8]) -> Option<Vec<u8>> {
    const KEEP: [&[u8]; 9] = [b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"sBIT"];
    let mut out = PNG.to_vec();
    let mut at = PNG.len();
    loop {
        let length = u32::from_be_bytes(bytes.get(at..at + 4)?.try_into().ok()?) as usize;
        let name = bytes.get(at + 4..at + 8)?;
        let end = at.checked_add(12)?.checked_add(length)?;
        let chunk = bytes.get(at..end)?;
        if KEEP.contains(&name) {
            out.extend_from_slice(chunk);
        }
        if name == b"IEND" {
            return Some(out);
        }
        at = end;
    }
}

/// A relative path as an address; `None` for addresses of any scheme, absolute paths and ways out of the folder.
pub fn relative(path: &str) -> Option<String> {
    let odd = path.is_empty()
        || path.starts_with(['/', '\\'])
        || path.contains([':', '\\'])
        || path.split('/').any(|p| p == "..")
        || path.chars().any(char::is_control);
    if odd {
        return None;
    }
    let mut out = String::new();
    for byte in path.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    Some(out)
}

/// RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let group = three.iter().fold(0_u32, |n, b| n << 8 | u32::from(*b)) << (8 * (3 - three.len()));
        for i in 0..4 {
            let letter = LETTERS[(group >> (18 - 6 * i) & 63) as usize];
            out.push(if i <= three.len() { char::from(letter) } else { '=' });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    // RFC 4648, section 10, test vectors (memory high).
    #[rstest]
    #[case("", "")]
    #[case("f", "Zg==")]
    #[case("fo", "Zm8=")]
    #[case("foo", "Zm9v")]
    #[case("foob", "Zm9vYg==")]
    #[case("fooba", "Zm9vYmE=")]
    #[case("foobar", "Zm9vYmFy")]
    fn encodes(#[case] text: &str, #[case] code: &str) {
        assert_eq!(base64(text.as_bytes()), code);
    }

    fn segment(marker: u8, body: &[u8]) -> Vec<u8> {
        let length = u16::try_from(body.len() + 2).unwrap().to_be_bytes();
        [&[0xff, marker], &length[..], body].concat()
    }

    fn chunk(name: &[u8], body: &[u8]) -> Vec<u8> {
        [&u32::try_from(body.len()).unwrap().to_be_bytes()[..], name, body, &[0; 4]].concat()
    }

    #[test]
    fn takes_the_place_out_of_jpeg_files() {
        let scan = [
            &[0xff, 0xd8][..],
            &segment(0xe1, b"Exif\0\0GPS 48.1 N"),
            &segment(0xfe, b"by somebody"),
            &segment(0xdb, &[7; 65]),
            &segment(0xda, &[1, 2]),
            &[9, 0xff, 0, 8, 0xff, 0xd0, 7],
            &[0xff, 0xd9],
            b"trailer with GPS",
        ]
        .concat();
        let kept = strip(&scan).unwrap();
        let wanted = [
            &[0xff, 0xd8][..],
            &segment(0xdb, &[7; 65]),
            &segment(0xda, &[1, 2]),
            &[9, 0xff, 0, 8, 0xff, 0xd0, 7],
            &[0xff, 0xd9],
        ]
        .concat();
        assert_eq!(kept.bytes(), wanted);
    }

    /// Exif data with a camera, an orientation and a thumbnail directory, in either byte order.
    fn exif(little: bool, way: u16) -> Vec<u8> {
        let short = |n: u16| if little { n.to_le_bytes() } else { n.to_be_bytes() };
        let long = |n: u32| if little { n.to_le_bytes() } else { n.to_be_bytes() };
        let mark: &[u8] = if little { b"II" } else { b"MM" };
        let mut out = [b"Exif\0\0", mark, &short(42), &long(8), &short(2)].concat();
        out.extend([&short(0x010f)[..], &short(2), &long(4), b"cam\0"].concat());
        out.extend([&short(0x0112)[..], &short(3), &long(1), &short(way), &[0, 0]].concat());
        out.extend([&long(38)[..], &short(0), &long(0), b"GPS 48.1 N"].concat());
        out
    }

    #[rstest]
    #[case(true, 6, Some(6))]
    #[case(false, 8, Some(8))]
    #[case(true, 1, None)]
    #[case(true, 0, None)]
    #[case(false, 9, None)]
    fn keeps_which_way_up_a_picture_is(#[case] little: bool, #[case] way: u16, #[case] kept: Option<u16>) {
        let rest = [&segment(0xdb, &[7; 65])[..], &segment(0xda, &[1, 2]), &[9, 0xff, 0xd9]].concat();
        let file = [&[0xff, 0xd8][..], &segment(0xe1, &exif(little, way)), &rest].concat();
        let head = kept.map_or_else(Vec::new, upright);
        let stripped = strip(&file).unwrap();
        assert_eq!(stripped.bytes(), [&[0xff, 0xd8][..], &head, &rest].concat());
        // What is kept reads as the same orientation, and stripping again changes nothing.
        assert_eq!(kept, head.get(10..).and_then(orientation));
        assert_eq!(strip(stripped.bytes()).unwrap(), stripped);
    }

    #[rstest]
    #[case(b"")]
    #[case(b"II*\0\xff\xff\xff\xff")]
    #[case(b"MM\0*\0\0\0\x08\xff\xff\x01\x12\0\x03")]
    fn broken_exif_has_no_orientation(#[case] tiff: &[u8]) {
        assert_eq!(orientation(tiff), None);
    }

    #[test]
    fn takes_text_out_of_png_files() {
        let file = [
            PNG,
            &chunk(b"IHDR", &[0; 13]),
            &chunk(b"tEXt", b"Location\0here"),
            &chunk(b"eXIf", b"II*"),
            &chunk(b"IDAT", b"x"),
            &chunk(b"IEND", b""),
            b"more",
        ]
        .concat();
        let wanted = [PNG, &chunk(b"IHDR", &[0; 13]), &chunk(b"IDAT", b"x"), &chunk(b"IEND", b"")].concat();
        assert_eq!(strip(&file).unwrap().bytes(), wanted);
    }

    #[rstest]
    #[case(b"GIF89a", Refused::Kind)]
    #[case(b"", Refused::Kind)]
    #[case(b"\xff\xd8\xff\xe1\x00\xffExif", Refused::Broken)]
    #[case(b"\x89PNG\r\n\x1a\n\x00\x00\xff\xffIHDR", Refused::Broken)]
    fn refuses(#[case] bytes: &[u8], #[case] why: Refused) {
        assert_eq!(strip(bytes), Err(why));
    }

    #[rstest]
    #[case("photos/a b.png", Some("photos/a%20b.png"))]
    #[case("../x.png", None)]
    #[case("/etc/x.png", None)]
    #[case("https://example.org/x.png", None)]
    #[case("javascript:alert(1)", None)]
    #[case("\\\\host\\x.png", None)]
    fn shows_relative_paths_only(#[case] path: &str, #[case] address: Option<&str>) {
        assert_eq!(relative(path).as_deref(), address);
    }
}
