//! Photos: whether bytes are a picture at all, how large it is, and the same picture without what a camera writes beside it.
//!
//! A phone writes into a photo where it was taken, by which phone, when, and sometimes a second picture. All of that is left out;
//! which way up it was held is kept, and the colours' own description.

#[cfg(test)]
mod tests;

/// Most pixels of a picture that is shown.
const PIXELS_MOST: u64 = 100_000_000;

/// A picture by its head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Picture {
    /// Its media type.
    pub media: &'static str,
    /// Pixels across.
    pub wide: u32,
    /// Pixels down.
    pub high: u32,
}

/// Why bytes are not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PictureError {
    /// No JPEG, PNG or WebP, or a damaged one.
    NotAPicture,
    /// More pixels than are shown.
    TooLarge,
}

/// Reads the head of a picture.
///
/// # Errors
/// When it is none that can be shown.
pub fn look(bytes: &[u8]) -> Result<Picture, PictureError> {
    let (media, size) = if bytes.starts_with(&[0xFF, 0xD8, 0xFF]) {
        ("image/jpeg", jpeg_parts(bytes).and_then(|parts| parts.size))
    } else if bytes.starts_with(PNG) {
        ("image/png", png_size(bytes))
    } else if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        ("image/webp", webp_size(bytes))
    } else {
        return Err(PictureError::NotAPicture);
    };
    let (wide, high) = size.filter(|&(wide, high)| wide > 0 && high > 0).ok_or(PictureError::NotAPicture)?;
    if u64::from(wide) * u64::from(high) > PIXELS_MOST {
        return Err(PictureError::TooLarge);
    }
    Ok(Picture { media, wide, high })
}

/// The same picture without place, time, camera and whatever else was written beside it; `None` when it is damaged.
pub fn bare(bytes: &[u8]) -> Option<Vec<u8>> {
    match look(bytes).ok()?.media {
        "image/jpeg" => jpeg_parts(bytes).map(|parts| parts.kept),
        "image/png" => png_bare(bytes),
        _ => webp_bare(bytes),
    }
}

const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";

struct Jpeg {
    size: Option<(u32, u32)>,
    kept: Vec<u8>,
}

fn two(bytes: &[u8], at: usize) -> Option<usize> {
    Some(usize::from(*bytes.get(at)?) << 8 | usize::from(*bytes.get(at + 1)?))
}

fn four(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_be_bytes(bytes.get(at..at + 4)?.try_into().ok()?))
}

fn four_small(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_le_bytes(bytes.get(at..at + 4)?.try_into().ok()?))
}

/// Walks a JPEG from mark to mark up to its end; a second picture behind it is not followed.
fn jpeg_parts(bytes: &[u8]) -> Option<Jpeg> {
    let mut jpeg = Jpeg { size: None, kept: vec![0xFF, 0xD8] };
    let mut at = 2;
    loop {
        // Any number of filling bytes may stand before a mark.
        while *bytes.get(at)? == 0xFF && *bytes.get(at + 1)? == 0xFF {
            at += 1;
        }
        if *bytes.get(at)? != 0xFF {
            return None;
        }
        let mark = *bytes.get(at + 1)?;
        match mark {
            0xD9 => {
                jpeg.kept.extend([0xFF, 0xD9]);
                return Some(jpeg);
            }
            0x01 | 0xD0..=0xD7 => {
                jpeg.kept.extend([0xFF, mark]);
                at += 2;
                continue;
            }
            _ => {}
        }
        let end = at + 2 + two(bytes, at + 2).filter(|&length| length >= 2)?;
        let part = bytes.get(at..end)?;
        match mark {
            // Heads of frames; C4, C8 and CC are other things.
            0xC0..=0xCF if !matches!(mark, 0xC4 | 0xC8 | 0xCC) => {
                jpeg.size = jpeg.size.or(Some((two(part, 7)? as u32, two(part, 5)? as u32)));
                jpeg.kept.extend(part);
            }
            0xE1 => jpeg.kept.extend(way_up(part).map_or(Vec::new(), way_up_part)),
            0xE2 if part.get(4..15) == Some(b"ICC_PROFILE") => jpeg.kept.extend(part),
            0xE2..=0xED | 0xEF | 0xFE => {}
            _ => jpeg.kept.extend(part),
        }
        at = end;
        if mark == 0xDA {
            // The picture itself: up to the next mark that is none of its own; filling bytes are not yet a mark.
            let rest = &bytes[at..];
            let is_own = |byte: u8| matches!(byte, 0x00 | 0xD0..=0xD7 | 0xFF);
            let ends = rest.windows(2).position(|pair| pair[0] == 0xFF && !is_own(pair[1]))?;
            jpeg.kept.extend(&rest[..ends]);
            at += ends;
        }
    }
}

/// Which way up the camera of a JPEG was held, 1 (upright) to 8 as cameras count.
pub fn held(bytes: &[u8]) -> u8 {
    let mut at = 2;
    while bytes.get(at) == Some(&0xFF) && bytes.starts_with(&[0xFF, 0xD8]) {
        let Some(end) = two(bytes, at + 2).map(|length| at + 2 + length.max(2)) else { break };
        match bytes.get(at + 1) {
            Some(0xE1) => {
                if let Some(way) = bytes.get(at..end).and_then(way_up) {
                    return way;
                }
            }
            Some(0xDA) => break,
            _ => {}
        }
        at = end;
    }
    1
}

/// Which way up a camera was held (1 to 8), from the part that cameras write.
fn way_up(part: &[u8]) -> Option<u8> {
    let tiff = part.get(4..)?.strip_prefix(b"Exif\0\0")?;
    let little = tiff.starts_with(b"II");
    let short = |at: usize| {
        let pair: [u8; 2] = tiff.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(if little { u16::from_le_bytes(pair) } else { u16::from_be_bytes(pair) })
    };
    let start = if little { four_small(tiff, 4)? } else { four(tiff, 4)? } as usize;
    let count = usize::from(short(start)?);
    (0..count.min(200))
        .find_map(|n| {
            let entry = start.checked_add(2 + 12 * n)?;
            (short(entry)? == 0x0112).then(|| short(entry + 8))?
        })
        .and_then(|way| u8::try_from(way).ok())
        .filter(|way| (2..=8).contains(way))
}

/// A part that says which way up, and nothing else.
fn way_up_part(way: u8) -> Vec<u8> {
    let mut part = vec![0xFF, 0xE1, 0x00, 0x22];
    part.extend(b"Exif\0\0MM\0\x2A\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0");
    part.extend([way, 0, 0, 0, 0, 0, 0]);
    part
}

fn png_size(bytes: &[u8]) -> Option<(u32, u32)> {
    (bytes.get(12..16)? == b"IHDR").then_some(())?;
    Some((four(bytes, 16)?, four(bytes, 20)?))
}

fn png_bare(bytes: &[u8]) -> Option<Vec<u8>> {
    const KEPT: [&[u8]; 11] =
        [b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT", b"bKGD"];
    let mut kept = PNG.to_vec();
    let mut at = PNG.len();
    loop {
        let end = at.checked_add(four(bytes, at)? as usize)?.checked_add(12)?;
        let chunk = bytes.get(at..end)?;
        let name = &chunk[4..8];
        if KEPT.contains(&name) {
            kept.extend(chunk);
        }
        if name == b"IEND" {
            return Some(kept);
        }
        at = end;
    }
}

fn webp_size(bytes: &[u8]) -> Option<(u32, u32)> {
    // What stands behind the first chunk is none of its figures.
    let body = bytes.get(20..20_usize.checked_add(four_small(bytes, 16)? as usize)?)?;
    let small = |at: usize| Some(u32::from(*body.get(at)?) | u32::from(*body.get(at + 1)?) << 8);
    match bytes.get(12..16)? {
        b"VP8X" => {
            let wide = |at: usize| Some(small(at)? | u32::from(*body.get(at + 2)?) << 16);
            Some((wide(4)? + 1, wide(7)? + 1))
        }
        b"VP8L" => {
            let bits = four_small(body, 1)?;
            Some(((bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1))
        }
        b"VP8 " => Some((small(6)? & 0x3FFF, small(8)? & 0x3FFF)),
        _ => None,
    }
}

fn webp_bare(bytes: &[u8]) -> Option<Vec<u8>> {
    let whole = usize::try_from(four_small(bytes, 4)?).ok()?.checked_add(8)?.min(bytes.len());
    let mut kept = bytes.get(..12)?.to_vec();
    let mut at = 12;
    while at + 8 <= whole {
        let size = four_small(bytes, at + 4)? as usize;
        let end = at.checked_add(8)?.checked_add(size)?.checked_add(size % 2)?;
        let chunk = bytes.get(at..end.min(bytes.len()))?;
        match &chunk[..4] {
            b"EXIF" | b"XMP " => {}
            b"VP8X" => {
                let mut chunk = chunk.to_vec();
                // It no longer holds either.
                *chunk.get_mut(8)? &= !0x0C;
                kept.extend(chunk);
            }
            _ => kept.extend(chunk),
        }
        at = end;
    }
    let size = u32::try_from(kept.len() - 8).ok()?;
    kept[4..8].copy_from_slice(&size.to_le_bytes());
    // A file that says it ends within its first chunk would keep no picture.
    (webp_size(&kept) == webp_size(bytes)).then_some(kept)
}
