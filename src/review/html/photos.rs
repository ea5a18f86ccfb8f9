//! Photographs on the page: made small, and beside each other in the order they were taken.

use super::axis::format_px;
use crate::text::sanitize;
use crate::units::Stamp;
use data_encoding::BASE64;
use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::{DynamicImage, ImageDecoder, ImageReader, Limits};
use maud::{Markup, html};
use std::io::Cursor;

/// The longer side of a picture on the page, px.
const SIDE_MAX_PX: u32 = 480;
/// The quality of the small picture, of 100.
const JPEG_QUALITY: u8 = 75;
/// A picture that would take more memory is not opened, bytes (assumed; one of 60 million points takes 180 MB).
const MEMORY_MAX: u64 = 512 * 1024 * 1024;

/// A picture made small.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SmallPicture {
    jpeg: Vec<u8>,
    width_px: u32,
    height_px: u32,
}

/// A photograph of a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelPhoto {
    /// When it was looked over.
    pub at: Stamp,
    /// What the maker called the file.
    pub name: String,
    /// What was seen, in a sentence.
    pub seen: String,
    /// The picture; nothing where it was not kept, or is no JPEG or PNG.
    pub picture: Option<SmallPicture>,
}

/// The picture in those bytes made small, turned as the camera was held; nothing where they are no JPEG or PNG.
pub fn shrink_photo(bytes: &[u8]) -> Option<SmallPicture> {
    let mut reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format().ok()?;
    let mut limits = Limits::default();
    limits.max_alloc = Some(MEMORY_MAX);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().ok()?;
    let turned = decoder.orientation().ok();
    let picture = DynamicImage::from_decoder(decoder).ok()?;
    // Small first: turning copies every point.
    let is_small = picture.width().max(picture.height()) <= SIDE_MAX_PX;
    let mut small = if is_small { picture } else { picture.resize(SIDE_MAX_PX, SIDE_MAX_PX, FilterType::Triangle) };
    if let Some(turned) = turned {
        small.apply_orientation(turned);
    }
    let mut jpeg = Vec::new();
    let rgb = small.to_rgb8();
    rgb.write_with_encoder(JpegEncoder::new_with_quality(&mut jpeg, JPEG_QUALITY)).ok()?;
    Some(SmallPicture { jpeg, width_px: rgb.width(), height_px: rgb.height() })
}

/// Photographs beside each other.
pub fn photo_figures(photos: &[PanelPhoto], day: &dyn Fn(Stamp) -> String) -> Markup {
    html! {
        @if !photos.is_empty() {
            h3 { "Photographs" }
            div.photos { @for photo in photos { figure {
                @if let Some(small) = &photo.picture {
                    img src=(format!("data:image/jpeg;base64,{}", BASE64.encode(&small.jpeg))) width=(small.width_px) height=(small.height_px) alt=(format!("Photograph of {}: {}", day(photo.at), sanitize(&photo.seen)));
                    figcaption { (day(photo.at)) ": " (sanitize(&photo.seen)) }
                } @else {
                    p.quiet { (day(photo.at)) ": " (sanitize(&photo.name)) " is not shown here: it was not kept, or is no JPEG or PNG." }
                }
            } } }
        }
    }
}

/// A picture for a label: an arrow that points up, in a box of that height.
pub fn arrow_up(height_px: f64) -> Markup {
    let high = format_px(height_px);
    html! {
        svg viewBox="0 0 40 60" width=(format_px(height_px / 1.5)) height=(high) role="img" aria-label="An arrow: this way up" {
            path.in d="M20 2L38 26H26V58H14V26H2Z" {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{ImageFormat, RgbImage};

    fn encoded(width: u32, height: u32, format: ImageFormat) -> Vec<u8> {
        let mut bytes = Cursor::new(Vec::new());
        DynamicImage::ImageRgb8(RgbImage::new(width, height)).write_to(&mut bytes, format).unwrap();
        bytes.into_inner()
    }

    #[test]
    fn a_picture_is_made_small_and_never_larger() {
        for (width, height, format, to) in [
            (1200, 900, ImageFormat::Jpeg, (480, 360)),
            (300, 960, ImageFormat::Png, (150, 480)),
            (40, 30, ImageFormat::Png, (40, 30)),
        ] {
            let small = shrink_photo(&encoded(width, height, format)).unwrap();
            assert_eq!((small.width_px, small.height_px), to);
            assert_eq!(image::guess_format(&small.jpeg).unwrap(), ImageFormat::Jpeg);
            let again = shrink_photo(&small.jpeg).unwrap();
            assert_eq!((again.width_px, again.height_px), to);
        }
    }

    #[test]
    fn what_is_no_picture_is_told_in_words() {
        let bytes = encoded(40, 30, ImageFormat::Png);
        assert_eq!(shrink_photo(b"GIF89a"), None);
        assert_eq!(shrink_photo(&bytes[..bytes.len() / 2]), None);
        let photo = PanelPhoto { at: Stamp::default(), name: "<a>.gif".into(), seen: "sound".into(), picture: None };
        let told = photo_figures(&[photo], &|_| "a day".to_owned()).into_string();
        assert!(told.contains("&lt;a&gt;.gif is not shown here") && !told.contains("<img"), "{told}");
    }
}
