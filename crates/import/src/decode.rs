//! Decoding with bounds: no declared size is believed before it is checked.
//!
//! JPEG goes through zune-jpeg, which gives luma without converting; PNG, TIFF and WebP go through `image`, HEIF
//! through `heic`.

use std::io::Cursor;

use bytemuck::Pod;
use image::{DynamicImage, ImageDecoder, ImageReader, Limits, RgbImage};
use imaging::Luma;
use zune_core::bytestream::ZCursor;
use zune_core::colorspace::ColorSpace;
use zune_core::options::DecoderOptions;
use zune_jpeg::JpegDecoder;

use crate::heic::{HeifDecoder, Heifer};
use crate::kind::Content;
use crate::room::{ROOM, Taken};

/// Most pixels along a side. The largest sensors in cameras have some 14 000; stitched pictures more.
const MOST_SIDE_PX: u32 = 30_000;

/// Most pixels in all: the largest sensors in cameras have 151 million. One of this many takes 0.5 GB as it is shown, and
/// three times that for a moment where it is a progressive JPEG.
const MOST_PX: u64 = 160_000_000;

/// Most pixels that a byte of JPEG can hold. Each block of 64 takes a bit at the least, and a progressive one
/// little more (ITU-T T.81), which is 512; twice that leaves room.
const MOST_PX_PER_BYTE: u64 = 1024;

/// Most pixels of a HEIF: twice the largest sensors in phones that write it, and what its decoder takes for each
/// pixel stays within a gigabyte.
pub(crate) const MOST_HEIF_PX: u64 = 120_000_000;

/// Most bytes that decoding a PNG, TIFF or WebP may take beside its result: 16 bits for each of three colours.
const MOST_DECODER_BYTES: u64 = MOST_PX * 6;

/// Luma of an encoded picture, at full size. Of a JPEG that ends early, what could be decoded.
///
/// # Errors
/// Says in words why there is no picture.
pub(crate) fn luma(bytes: &[u8], content: Content) -> Result<Luma, String> {
    if content == Content::Jpeg
        && let Ok(Held { width, height, pixels, .. }) = jpeg(bytes, ColorSpace::Luma)
        && let Some(luma) = Luma::new(width, height, pixels)
    {
        return Ok(luma);
    }
    // A few JPEGs hold RGB or CMYK, which have no luma to hand out.
    let picture = rgb(bytes, content)?;
    let (width, height) = (picture.width() as usize, picture.height() as usize);
    Luma::from_rgb(width, height, picture.as_raw()).ok_or_else(|| NOT_DECODED.to_owned())
}

pub(crate) const NOT_DECODED: &str = "the picture is damaged and could not be decoded";

/// Colours of an encoded picture, at full size.
///
/// # Errors
/// Says in words why there is no picture.
pub(crate) fn rgb(bytes: &[u8], content: Content) -> Result<RgbImage, String> {
    match content {
        Content::Jpeg => {
            let Held { width, height, pixels, .. } = jpeg(bytes, ColorSpace::RGB)?;
            RgbImage::from_raw(width as u32, height as u32, pixels).ok_or_else(|| NOT_DECODED.to_owned())
        }
        Content::Png | Content::Tiff | Content::WebP => by_image(bytes).map(|(picture, ..)| picture),
        Content::Heif => Heifer.rgb(bytes, MOST_HEIF_PX),
        _ => Err("there is no picture in this file that can be decoded".to_owned()),
    }
}

/// Colours of an encoded picture at full size, as red, green, blue and full opacity. `P` holds those four bytes of a pixel,
/// so that none need be copied again.
///
/// # Errors
/// Says in words why there is no picture.
pub(crate) fn rgba<P: Pod>(bytes: &[u8], content: Content) -> Result<(usize, usize, Vec<P>), String> {
    if content == Content::Jpeg
        && let Ok(Held { width, height, pixels, .. }) = jpeg(bytes, ColorSpace::RGBA)
    {
        return Ok((width, height, pixels));
    }
    // A few JPEGs hold colours that are not handed out so.
    let picture = rgb(bytes, content)?;
    let pixels = picture.pixels().map(|p| bytemuck::cast([p.0[0], p.0[1], p.0[2], u8::MAX])).collect();
    Ok((picture.width() as usize, picture.height() as usize, pixels))
}

/// Pixels of a picture with the room that they take.
pub(crate) struct Held<P> {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) pixels: Vec<P>,
    /// The ICC profile that came with it.
    pub(crate) profile: Option<Vec<u8>>,
    pub(crate) room: Taken<'static>,
}

/// Most bytes that decoding takes for a pixel of a HEIF: as handed out with opacity, then without.
const HEIF_BYTES_PER_PX: usize = 7;

/// As [`rgb`], three bytes a pixel, with the room for them held. `size_px` is what the file says of its size. A HEIF comes
/// without a profile: its decoder brings it to sRGB.
///
/// # Errors
/// Says in words why there is no picture.
pub(crate) fn held(bytes: &[u8], content: Content, size_px: Option<(u32, u32)>) -> Result<Held<u8>, String> {
    let (picture, profile, room) = match content {
        Content::Jpeg => return jpeg(bytes, ColorSpace::RGB),
        Content::Png | Content::Tiff | Content::WebP => by_image(bytes)?,
        _ => {
            let px = size_px.map_or(0, |(width, height)| width as usize * height as usize);
            let room = ROOM.take(px.min(MOST_HEIF_PX as usize) * HEIF_BYTES_PER_PX);
            (rgb(bytes, content)?, None, room)
        }
    };
    let (width, height) = (picture.width() as usize, picture.height() as usize);
    Ok(Held { width, height, pixels: picture.into_raw(), profile, room })
}

/// Width, height and pixels of a JPEG, in as many `P` as hold its bytes.
fn jpeg<P: Pod>(bytes: &[u8], colours: ColorSpace) -> Result<Held<P>, String> {
    let options = DecoderOptions::default()
        .set_max_width(MOST_SIDE_PX as usize)
        .set_max_height(MOST_SIDE_PX as usize)
        .set_strict_mode(false)
        .jpeg_set_out_colorspace(colours);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    // What is wrong inside a JPEG means nothing to a person: it is damaged.
    decoder.decode_headers().ok().ok_or(NOT_DECODED)?;
    let info = decoder.info().ok_or(NOT_DECODED)?;
    check_size(u32::from(info.width), u32::from(info.height))?;
    if u64::from(info.width) * u64::from(info.height) > bytes.len() as u64 * MOST_PX_PER_BYTE {
        return Err(format!(
            "the picture says it is {} × {} px, but next to nothing of it is there",
            info.width, info.height
        ));
    }
    let bytes = decoder.output_buffer_size().ok_or(NOT_DECODED)?;
    let room = ROOM.take(bytes);
    let mut pixels = vec![P::zeroed(); bytes / size_of::<P>()];
    decoder.decode_into(bytemuck::cast_slice_mut(&mut pixels)).ok().ok_or(NOT_DECODED)?;
    let profile = decoder.icc_profile();
    Ok(Held { width: info.width.into(), height: info.height.into(), pixels, profile, room })
}

type WithProfile = (RgbImage, Option<Vec<u8>>, Taken<'static>);

fn by_image(bytes: &[u8]) -> Result<WithProfile, String> {
    let reader = || {
        let mut limits = Limits::default();
        limits.max_image_width = Some(MOST_SIDE_PX);
        limits.max_image_height = Some(MOST_SIDE_PX);
        limits.max_alloc = Some(MOST_DECODER_BYTES);
        let mut reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format().ok()?;
        reader.limits(limits);
        Some(reader)
    };
    let (width, height) = reader().and_then(|r| r.into_dimensions().ok()).ok_or(NOT_DECODED)?;
    check_size(width, height)?;
    let mut decoder = reader().and_then(|r| r.into_decoder().ok()).ok_or(NOT_DECODED)?;
    // As stored, then as three colours.
    let room = ROOM.take(decoder.total_bytes() as usize + width as usize * height as usize * 3);
    let profile = decoder.icc_profile().ok().flatten();
    let picture = DynamicImage::from_decoder(decoder).ok().ok_or(NOT_DECODED)?;
    Ok((picture.into_rgb8(), profile, room))
}

/// Refuses what is too large to be decoded.
///
/// # Errors
/// Says so in words.
pub(crate) fn check_size(width: u32, height: u32) -> Result<(), String> {
    if width > MOST_SIDE_PX || height > MOST_SIDE_PX || u64::from(width) * u64::from(height) > MOST_PX {
        return Err(format!("the picture says it is {width} × {height} px, which is too large to open"));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::Sample;

    #[test]
    fn luma_and_colours_agree() {
        let sample = Sample { subject: true, ..Sample::default() };
        for (bytes, content) in [(sample.jpeg(), Content::Jpeg), (sample.png(), Content::Png)] {
            let (luma, rgb) = (luma(&bytes, content).unwrap(), rgb(&bytes, content).unwrap());
            assert_eq!((luma.width, luma.height), (240, 160));
            let (width, height, rgba) = rgba::<[u8; 4]>(&bytes, content).unwrap();
            assert_eq!((width, height), (240, 160));
            assert!(rgba.iter().zip(rgb.pixels()).all(|(a, b)| a[..3] == b.0 && a[3] == u8::MAX));
            assert!((i16::from(luma.pixels[0]) - 200).abs() < 3);
            assert!((i16::from(luma.row(80)[120]) - 60).abs() < 3);
            assert!(luma.pixels.iter().zip(rgb.pixels()).all(|(l, p)| l.abs_diff(p.0[1]) < 2));
        }
    }

    #[test]
    fn a_declared_size_is_checked_before_it_is_allocated() {
        let mut bytes = Sample::default().jpeg();
        // The frame header (T.81 B.2.2): FFC0, length, precision, height, width.
        let sof = bytes.windows(4).rposition(|w| w == [0xFF, 0xC0, 0, 11]).unwrap();
        bytes[sof + 5..sof + 9].fill(0xFF);
        assert!(luma(&bytes, Content::Jpeg).is_err());
        let mut png = Sample::default().png();
        png[16..24].copy_from_slice(&[0, 1, 0, 0, 0, 1, 0, 0]);
        assert!(rgb(&png, Content::Png).is_err());
        assert!(check_size(29_000, 29_000).unwrap_err().contains("29000 × 29000 px"));
    }

    #[test]
    fn damage_anywhere_is_an_answer_not_a_crash() {
        let whole = Sample { subject: true, width: 64, height: 48, ..Sample::default() }.jpeg();
        for end in (0..whole.len()).step_by(7) {
            if let Ok(luma) = luma(&whole[..end], Content::Jpeg) {
                assert_eq!(luma.pixels.len(), 64 * 48);
            }
        }
        let mut state = 1u32;
        for _ in 0..300 {
            let mut torn = whole.clone();
            for _ in 0..5 {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let at = state as usize % torn.len();
                torn[at] = (state >> 24) as u8;
            }
            if let Ok(luma) = luma(&torn, Content::Jpeg) {
                assert_eq!(luma.pixels.len(), luma.width * luma.height);
            }
        }
        assert!(rgb(b"words", Content::Unknown).is_err());
    }
}
