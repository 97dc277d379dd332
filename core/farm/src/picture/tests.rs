use proptest::prelude::*;

use super::*;

/// A mark with its length and what it holds.
fn part(mark: u8, body: &[u8]) -> Vec<u8> {
    let length = (body.len() + 2) as u16;
    [&[0xFF, mark], &length.to_be_bytes()[..], body].concat()
}

/// What a camera writes: which way up, and a place in words.
fn camera(way: u8) -> Vec<u8> {
    let mut body = b"Exif\0\0II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0".to_vec();
    body.extend([way, 0, 0, 0, 0, 0, 0, 0]);
    body.extend(b"34.7 N 82.8 W");
    part(0xE1, &body)
}

fn jpeg(way: u8) -> Vec<u8> {
    let frame = [8, 0, 40, 0, 60, 1, 1, 0x11, 0];
    let scan = [1, 1, 0, 0, 63, 0];
    [
        vec![0xFF, 0xD8],
        part(0xE0, b"JFIF\0\x01\x01\0\0\x01\0\x01\0\0"),
        camera(way),
        part(0xE2, b"ICC_PROFILE\0\x01\x01colours"),
        part(0xE2, b"MPF\0 a second picture"),
        part(0xED, b"the bank by the creek"),
        part(0xFE, b"taken at home"),
        part(0xC0, &frame),
        part(0xDA, &scan),
        vec![1, 2, 0xFF, 0x00, 3, 0xFF, 0xD0, 4],
        part(0xC4, &[0, 9]),
        part(0xDA, &scan),
        vec![5, 6, 0xFF, 0xD9],
        camera(1),
    ]
    .concat()
}

fn has(bytes: &[u8], text: &[u8]) -> bool {
    bytes.windows(text.len()).any(|some| some == text)
}

#[test]
fn a_jpeg_loses_its_place_and_keeps_the_way_it_was_held() {
    for way in [1, 6, 8] {
        let whole = jpeg(way);
        assert_eq!(look(&whole), Ok(Picture { media: "image/jpeg", wide: 60, high: 40 }));
        let bare = bare(&whole).expect("sound");
        for gone in [&b"34.7 N"[..], b"second", b"creek", b"home"] {
            assert!(has(&whole, gone) && !has(&bare, gone), "{}", String::from_utf8_lossy(gone));
        }
        assert!(has(&bare, b"colours"));
        assert!(bare.ends_with(&[5, 6, 0xFF, 0xD9]), "nothing stands behind the picture");
        assert!(has(&bare, &[1, 2, 0xFF, 0x00, 3, 0xFF, 0xD0, 4]), "the picture itself is untouched");
        assert_eq!(look(&bare), look(&whole));
        let kept = bare.windows(4).position(|some| some == [0xFF, 0xE1, 0x00, 0x22]).and_then(|at| way_up(&bare[at..]));
        assert_eq!(kept, (way > 1).then_some(way));
        assert_eq!(super::bare(&bare).as_ref(), Some(&bare), "twice is once");
    }
}

#[test]
fn a_png_loses_its_words() {
    let chunk = |name: &[u8], body: &[u8]| [&(body.len() as u32).to_be_bytes()[..], name, body, b"crc."].concat();
    let head = [0, 0, 0, 60, 0, 0, 0, 40, 8, 2, 0, 0, 0];
    let whole = [
        PNG.to_vec(),
        chunk(b"IHDR", &head),
        chunk(b"tEXt", b"Place\0home"),
        chunk(b"eXIf", b"34.7 N"),
        chunk(b"IDAT", b"pixels"),
        chunk(b"IEND", b""),
        b"more".to_vec(),
    ]
    .concat();
    assert_eq!(look(&whole), Ok(Picture { media: "image/png", wide: 60, high: 40 }));
    let bare = bare(&whole).expect("sound");
    assert!(has(&bare, b"pixels") && !has(&bare, b"home") && !has(&bare, b"34.7") && bare.ends_with(b"IENDcrc."));
}

#[test]
fn a_webp_loses_its_place() {
    let chunk =
        |name: &[u8], body: &[u8]| [name, &(body.len() as u32).to_le_bytes(), body, &b"\0"[..body.len() % 2]].concat();
    let body = [
        b"WEBP".to_vec(),
        chunk(b"VP8X", &[0x0C, 0, 0, 0, 59, 0, 0, 39, 0, 0]),
        chunk(b"VP8 ", b"pixels!"),
        chunk(b"EXIF", b"34.7 N"),
    ]
    .concat();
    let whole = [b"RIFF".to_vec(), (body.len() as u32).to_le_bytes().to_vec(), body].concat();
    assert_eq!(look(&whole), Ok(Picture { media: "image/webp", wide: 60, high: 40 }));
    let bare = bare(&whole).expect("sound");
    assert!(has(&bare, b"pixels!") && !has(&bare, b"34.7"));
    assert_eq!((bare[20], four_small(&bare, 4)), (0, Some(bare.len() as u32 - 8)));
}

#[test]
fn filling_bytes_within_a_picture_stay_so_that_twice_is_once() {
    let whole = jpeg(1);
    let end = whole.windows(2).position(|pair| pair == b"\xFF\xD9").expect("an end");
    let filled = [&whole[..end], b"\xFF\xFF\xFF\xD1\x07\xFF\xFF\xD9"].concat();
    let once = bare(&filled).expect("sound");
    assert!(has(&once, b"\xFF\xFF\xFF\xD1\x07"));
    assert_eq!(bare(&once), Some(once));
}

#[test]
fn a_webp_is_as_large_as_its_own_chunk_says() {
    // A chunk of four bytes, and behind it some that look like a size: none of it is a picture.
    let beyond = b"RIFF\x32\0\0\0WEBPVP8 \x04\0\0\0\0\0\0\0\x0aez\0\x97\0";
    assert_eq!(look(beyond), Err(PictureError::NotAPicture));
    // The file says that it ends before the chunk does.
    let short = b"RIFF\x08\0\0\0WEBPVP8 \x0a\0\0\0\0\0\0\0\0\0z\0\x97\0";
    assert_eq!((look(short).map(|picture| picture.wide), bare(short)), (Ok(122), None));
}

#[test]
fn what_is_no_picture_or_too_large_is_said() {
    for bytes in [
        &b""[..],
        b"GIF89a",
        b"<svg onload=alert(1)>",
        b"\xFF\xD8\xFF",
        b"\x89PNG\r\n\x1a\n",
        b"RIFF....WEBP",
        &jpeg(1)[..200],
    ] {
        assert_eq!(look(bytes), Err(PictureError::NotAPicture), "{bytes:?}");
    }
    let mut huge = jpeg(1);
    let at = huge.windows(4).position(|some| some == [0, 40, 0, 60]).expect("the size");
    huge[at..at + 4].copy_from_slice(&[0xFF, 0xFE, 0xFF, 0xFE]);
    assert_eq!(look(&huge), Err(PictureError::TooLarge));
}

proptest! {
    #[test]
    fn no_bytes_break_it(start in 0usize..4, bytes in prop::collection::vec(any::<u8>(), 0..300), at in 0usize..300, byte in any::<u8>()) {
        let heads: [&[u8]; 4] = [b"", PNG, b"RIFF\x40\0\0\0WEBPVP8X", b"\xFF\xD8\xFF"];
        let made = [heads[start], &bytes].concat();
        let _ = (look(&made), bare(&made));
        let mut spoilt = jpeg(6);
        let at = at.min(spoilt.len() - 1);
        spoilt[at] = byte;
        if let Some(bare) = bare(&spoilt) {
            prop_assert!(look(&bare).is_ok());
        }
    }
}
