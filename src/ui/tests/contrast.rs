//! How far two colours are apart to the eye.

use ratatui::style::Color;

/// The contrast ratio of two colours, 1 to 21: WCAG 2.2, (L1 + 0.05) / (L2 + 0.05). None unless both are RGB.
pub fn contrast(a: Color, b: Color) -> Option<f64> {
    let (a, b) = (luminance(a)?, luminance(b)?);
    Some((a.max(b) + 0.05) / (a.min(b) + 0.05))
}

/// Relative luminance, 0 to 1: WCAG 2.2, 0.2126 R + 0.7152 G + 0.0722 B of linear sRGB. None unless it is RGB.
fn luminance(colour: Color) -> Option<f64> {
    let Color::Rgb(r, g, b) = colour else { return None };
    let linear = |c: u8| {
        let c = f64::from(c) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    };
    Some(0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b))
}

fn rgb(hex: u32) -> Color {
    Color::Rgb((hex >> 16) as u8, (hex >> 8) as u8, hex as u8)
}

/// Values by the WCAG 2.2 formula; those of black on white and #767676 on white are published.
#[test]
fn contrast_is_the_published_one() {
    for (a, b, wants) in [
        (0x000000, 0xffffff, 21.0),
        (0x767676, 0xffffff, 4.5422),
        (0x777777, 0xffffff, 4.4781),
        (0xff7f50, 0x000000, 8.4036),
        (0x949494, 0xffffff, 3.0335),
        (0x595959, 0xffffff, 7.0047),
        (0xff0000, 0xffffff, 3.9985),
        (0x0000ff, 0xffffff, 8.5925),
        (0x008000, 0xffffff, 5.1374),
        (0x00ff00, 0x000000, 15.304),
        (0xffff00, 0xffffff, 1.0738),
    ] {
        let is = contrast(rgb(a), rgb(b)).unwrap();
        assert!((is - wants).abs() < 0.001, "{a:06x} on {b:06x}: {is}");
    }
    assert_eq!(contrast(Color::Reset, rgb(0)), None);
}
