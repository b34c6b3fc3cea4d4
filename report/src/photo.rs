//! Pictures: what a report may show, and what must not leave with it.
//!
//! Camera files carry the place and time a picture was taken, serial numbers and thumbnails. [`strip`] keeps what is
//! needed to show the picture and nothing else; a file it can't read to the end is refused, never passed on as it is.

use img_parts::Bytes;
use img_parts::jpeg::Jpeg;
use img_parts::png::{Png, PngChunk};
use img_parts::riff::{RiffChunk, RiffContent};
use img_parts::webp::WebP;

use crate::words::english::verify as say;

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

    /// Media type: `image/jpeg`, `image/png` or `image/webp`.
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
    /// Neither JPEG nor PNG nor `WebP`.
    Kind,
    /// It moves.
    Moving,
    /// The file ends early or its segments make no sense.
    Broken,
}

impl std::fmt::Display for Refused {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Kind => say::NO_PICTURE,
            Self::Moving => say::MOVING_PICTURE,
            Self::Broken => say::BROKEN_PICTURE,
        })
    }
}

impl std::error::Error for Refused {}

/// The picture without metadata: what decides how it looks stays, with its colour profile and which way it is turned.
pub fn strip(bytes: &[u8]) -> Result<Stripped, Refused> {
    let (kind, stripped) = if bytes.starts_with(&[0xff, 0xd8]) {
        ("image/jpeg", jpeg(bytes))
    } else if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        ("image/png", png(bytes))
    } else if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        ("image/webp", webp(bytes)?)
    } else {
        return Err(Refused::Kind);
    };
    stripped.map(|bytes| Stripped { kind, bytes }).ok_or(Refused::Broken)
}

/// What Exif data begin with in a JPEG segment.
const EXIF: &[u8] = b"Exif\0\0";

/// Keeps what decoders need: JFIF and Adobe colour headers, colour profiles, tables, frames and scans. Other application
/// segments (Exif, XMP, maker notes), comments and everything behind the end marker go. Of Exif the orientation stays, in
/// a segment written anew: cameras store pictures as the sensor lies. Segment layout: ITU-T T.81, annex B; profiles: ICC
/// specification, annex B.4 (memory high).
fn jpeg(bytes: &[u8]) -> Option<Vec<u8>> {
    let read = Jpeg::from_bytes(Bytes::copy_from_slice(bytes)).ok()?;
    let (last, head) = read.segments().split_last()?;
    let tiff = head.iter().filter(|s| s.marker() == 0xe1).find_map(|s| s.contents().strip_prefix(EXIF));
    let turned = tiff.and_then(orientation).map(|way| [EXIF, &turned(way)].concat());
    let mut out = vec![0xff, 0xd8];
    let mut put = |marker: u8, body: &[u8]| {
        let length = u16::try_from(body.len() + 2).unwrap_or(u16::MAX);
        out.extend([0xff, marker]);
        out.extend(length.to_be_bytes());
        out.extend(body);
    };
    for segment in head {
        let body = segment.contents();
        match segment.marker() {
            // The header may carry a thumbnail: keep its fixed fields only.
            0xe0 if body.starts_with(b"JFIF\0") => put(0xe0, &[body.get(..12)?, &[0, 0]].concat()),
            0xe2 if body.starts_with(b"ICC_PROFILE\0") => put(0xe2, body),
            0xee if body.starts_with(b"Adobe") => put(0xee, body),
            0xe0..=0xef | 0xfe => {}
            marker => put(marker, body),
        }
    }
    if let Some(exif) = turned {
        put(0xe1, &exif);
    }
    put(last.marker(), last.contents());
    let whole = last.clone().encoder().bytes();
    out.extend(scans(whole.get(last.len()..)?)?);
    Some(out)
}

/// Scan data and what stands between scans, up to the end marker; the library leaves them, and all that hangs behind the
/// picture, as they are.
fn scans(rest: &[u8]) -> Option<Vec<u8>> {
    let mut out = Vec::with_capacity(rest.len());
    let mut at = 0;
    loop {
        let start = at;
        // Scan data runs to the next marker that is neither stuffing nor a restart.
        while rest.get(at)? != &0xff || matches!(rest.get(at + 1)?, 0x00 | 0xd0..=0xd7) {
            at += 1;
        }
        out.extend_from_slice(&rest[start..at]);
        match *rest.get(at + 1)? {
            0xff => at += 1,
            0xd9 => {
                out.extend([0xff, 0xd9]);
                return Some(out);
            }
            marker => {
                let length = usize::from(u16::from_be_bytes([*rest.get(at + 2)?, *rest.get(at + 3)?]));
                let segment = rest.get(at..at + 2 + length.max(2))?;
                if !matches!(marker, 0xe0..=0xef | 0xfe) {
                    out.extend_from_slice(segment);
                }
                at += segment.len();
            }
        }
    }
}

/// The orientation in the first directory of Exif data, 2 to 8 (1 is as it lies). Layout: TIFF 6.0, section 2; tag 0x0112 is a short (memory
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
    (0..usize::from(short(directory)?))
        .find_map(|entry| {
            let at = directory.checked_add(2)?.checked_add(entry * 12)?;
            (short(at)? == 0x0112 && short(at + 2)? == 3).then(|| short(at + 8)).flatten()
        })
        .filter(|way| (2..=8).contains(way))
}

/// Exif data that say how to turn the picture, and nothing else.
fn turned(way: u16) -> Vec<u8> {
    let mut out = b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01".to_vec();
    out.extend_from_slice(&way.to_be_bytes());
    out.extend_from_slice(&[0; 6]);
    out
}

/// Keeps chunks that decide how the picture looks (W3C PNG, chunk list; memory high); text and time go, and of Exif all but
/// the orientation.
fn png(bytes: &[u8]) -> Option<Vec<u8>> {
    const KEEP: [&[u8; 4]; 11] =
        [b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"sBIT", b"iCCP", b"cICP"];
    let mut read = Png::from_bytes(Bytes::copy_from_slice(bytes)).ok()?;
    let way = read.chunk_by_type(*b"eXIf").and_then(|c| orientation(c.contents()));
    let chunks = read.chunks_mut();
    chunks.retain(|c| KEEP.contains(&&c.kind()));
    if chunks.first()?.kind() != *b"IHDR" || chunks.last()?.kind() != *b"IEND" {
        return None;
    }
    if let Some(way) = way {
        chunks.insert(1, PngChunk::new(*b"eXIf", turned(way).into()));
    }
    Some(read.encoder().bytes().to_vec())
}

/// Keeps chunks that decide how the picture looks, and of Exif the orientation (`WebP` Container Specification; memory
/// high). What moves has frames with chunks of their own, and is no still of a part.
fn webp(bytes: &[u8]) -> Result<Option<Vec<u8>>, Refused> {
    const KEEP: [&[u8; 4]; 5] = [b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ICCP"];
    /// Flags of the extended header: Exif and XMP.
    const FLAGS: [u8; 2] = [0x08, 0x04];
    let Ok(mut read) = WebP::from_bytes(Bytes::copy_from_slice(bytes)) else { return Ok(None) };
    if read.has_chunk(*b"ANIM") || read.has_chunk(*b"ANMF") {
        return Err(Refused::Moving);
    }
    let data = read.chunk_by_id(*b"EXIF").and_then(|c| c.content().data());
    // Some writers put the mark of JPEG before it.
    let way = data.and_then(|d| orientation(d.strip_prefix(EXIF).unwrap_or(d)));
    let chunks = read.chunks_mut();
    chunks.retain(|c| KEEP.contains(&&c.id()) && c.content().data().is_some());
    if !chunks.iter().any(|c| matches!(&c.id(), b"VP8 " | b"VP8L")) {
        return Ok(None);
    }
    let header = chunks.iter_mut().find(|c| c.id() == *b"VP8X").map(RiffChunk::content_mut);
    if let Some(RiffContent::Data(data)) = header {
        let mut fields = data.to_vec();
        let Some(flags) = fields.first_mut() else { return Ok(None) };
        *flags &= !(FLAGS[0] | FLAGS[1]);
        if let Some(way) = way {
            *flags |= FLAGS[0];
            *data = fields.into();
            chunks.push(RiffChunk::new(*b"EXIF", RiffContent::Data(turned(way).into())));
        } else {
            *data = fields.into();
        }
    }
    Ok(Some(read.encoder().bytes().to_vec()))
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

    /// A chunk with its checksum, by a library of its own.
    fn chunk(name: [u8; 4], body: &[u8]) -> Vec<u8> {
        PngChunk::new(name, Bytes::copy_from_slice(body)).encoder().bytes().to_vec()
    }

    const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";

    #[test]
    fn takes_the_place_out_of_jpeg_files() {
        let scan = [
            &[0xff, 0xd8][..],
            &segment(0xe0, b"JFIF\0\x01\x01\0\0\x01\0\x01\x01\x01rgb"),
            &segment(0xe1, b"Exif\0\0GPS 48.1 N"),
            &segment(0xe2, b"ICC_PROFILE\0\x01\x01profile"),
            &segment(0xe2, b"MPF\0other pictures"),
            &segment(0xfe, b"by somebody"),
            &segment(0xdb, &[7; 65]),
            &segment(0xda, &[1, 2]),
            &[9, 0xff, 0, 8, 0xff, 0xd0, 7],
            &segment(0xfe, b"between scans"),
            &segment(0xc4, &[3; 9]),
            &[0xff],
            &segment(0xda, &[1, 3]),
            &[5],
            &[0xff, 0xd9],
            b"trailer with GPS",
        ]
        .concat();
        let kept = strip(&scan).unwrap();
        let wanted = [
            &[0xff, 0xd8][..],
            &segment(0xe0, b"JFIF\0\x01\x01\0\0\x01\0\x01\0\0"),
            &segment(0xe2, b"ICC_PROFILE\0\x01\x01profile"),
            &segment(0xdb, &[7; 65]),
            &segment(0xda, &[1, 2]),
            &[9, 0xff, 0, 8, 0xff, 0xd0, 7],
            &segment(0xc4, &[3; 9]),
            &segment(0xda, &[1, 3]),
            &[5],
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
        let table = segment(0xdb, &[7; 65]);
        let scan = [&segment(0xda, &[1, 2])[..], &[9, 0xff, 0xd9]].concat();
        let file = [&[0xff, 0xd8][..], &segment(0xe1, &exif(little, way)), &table, &scan].concat();
        let head = kept.map_or_else(Vec::new, |way| segment(0xe1, &[EXIF, &turned(way)].concat()));
        let stripped = strip(&file).unwrap();
        assert_eq!(stripped.bytes(), [&[0xff, 0xd8][..], &table, &head, &scan].concat());
        // What is kept reads as the same orientation, and stripping again changes nothing.
        assert_eq!(kept, head.get(10..).and_then(orientation));
        assert_eq!(strip(stripped.bytes()).unwrap(), stripped);
        // The same in the other two kinds.
        let tiff = &exif(little, way)[EXIF.len()..];
        let file = [PNG, &chunk(*b"IHDR", &[0; 13]), &chunk(*b"eXIf", tiff), &chunk(*b"IEND", b"")].concat();
        let turns = kept.map_or_else(Vec::new, |way| chunk(*b"eXIf", &turned(way)));
        let wanted = [PNG, &chunk(*b"IHDR", &[0; 13]), &turns, &chunk(*b"IEND", b"")].concat();
        assert_eq!(strip(&file).unwrap().bytes(), wanted);
        let turns = kept.map_or_else(Vec::new, |way| riff(b"EXIF", &turned(way)));
        let flags = if kept.is_some() { 0x28 } else { 0x20 };
        let file = [riff(b"VP8X", &[0x2c, 0, 0, 0, 1, 0, 0, 1, 0, 0]), riff(b"VP8 ", b"xyz"), riff(b"EXIF", tiff)];
        let wanted = [riff(b"VP8X", &[flags, 0, 0, 0, 1, 0, 0, 1, 0, 0]), riff(b"VP8 ", b"xyz"), turns];
        assert_eq!(strip(&picture(&file)).unwrap().bytes(), picture(&wanted));
    }

    /// A chunk of a RIFF file: name, length, content, padded to even length.
    fn riff(name: &[u8], body: &[u8]) -> Vec<u8> {
        let length = u32::try_from(body.len()).unwrap().to_le_bytes();
        [name, &length, body, &[0][..body.len() % 2]].concat()
    }

    fn picture(chunks: &[Vec<u8>]) -> Vec<u8> {
        riff(b"RIFF", &[b"WEBP".to_vec(), chunks.concat()].concat())
    }

    #[test]
    fn takes_text_out_of_webp_files() {
        let head = riff(b"VP8X", &[0x24, 0, 0, 0, 1, 0, 0, 1, 0, 0]);
        let shown = [riff(b"ICCP", b"profile"), riff(b"VP8L", b"/xyz")].concat();
        let hidden = [riff(b"XMP ", b"by somebody"), riff(b"note", b"here"), b"trailer".to_vec()];
        let mut file = picture(&[head, shown.clone(), hidden[0].clone(), hidden[1].clone()]);
        file.extend(&hidden[2]);
        let wanted = picture(&[riff(b"VP8X", &[0x20, 0, 0, 0, 1, 0, 0, 1, 0, 0]), shown]);
        let stripped = strip(&file).unwrap();
        assert_eq!((stripped.media_type(), stripped.bytes()), ("image/webp", &wanted[..]));
        let moving = picture(&[riff(b"VP8X", &[2; 10]), riff(b"ANIM", &[0; 6]), riff(b"ANMF", &[0; 20])]);
        assert_eq!(strip(&moving), Err(Refused::Moving));
        assert_eq!(strip(&picture(&[riff(b"EXIF", b"II*")])), Err(Refused::Broken));
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
            &chunk(*b"IHDR", &[0; 13]),
            &chunk(*b"iCCP", b"name\0\0profile"),
            &chunk(*b"tEXt", b"Location\0here"),
            &chunk(*b"eXIf", b"II*"),
            &chunk(*b"IDAT", b"x"),
            &chunk(*b"IEND", b""),
            b"more",
        ]
        .concat();
        let profile = chunk(*b"iCCP", b"name\0\0profile");
        let wanted =
            [PNG, &chunk(*b"IHDR", &[0; 13]), &profile, &chunk(*b"IDAT", b"x"), &chunk(*b"IEND", b"")].concat();
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
