//! Inks: what each part of a picture is for, and how that looks in a terminal's own colours, in ours, or in none.
//!
//! A thing is told by its word and its shape; colour only repeats it. Whatever must be read is in [`Ink::Text`] or
//! [`Ink::Strong`], which in the terminal's own colours are its default foreground.

use ratatui::style::{Color, Modifier, Style};

/// A colour scheme.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ColorScheme {
    /// The terminal's own colours; only accents are coloured.
    Terminal,
    /// Our own, chalk on dark.
    Dark,
    /// Our own, dark on chalk.
    Light,
    /// No colour at all.
    Mono,
}

/// What a mark on the screen is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ink {
    /// Words and digits that must be read.
    Text,
    /// The same, heavier.
    Strong,
    /// The strokes of the act called for.
    Stroke,
    /// A layer that lies there.
    Laid,
    /// Outlines of what is not there yet.
    Coming,
    /// The wood.
    Wood,
    /// What will want the maker soon.
    Soon,
    /// What is over its time.
    Overdue,
    /// What must not be overlooked: turned inside out.
    Alert,
}

/// How everything looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Theme {
    /// The colours.
    pub color_scheme: ColorScheme,
    /// Whether only ASCII may reach the screen.
    pub ascii: bool,
}

impl Theme {
    /// The ground everything stands on.
    pub fn ground(&self) -> Style {
        match self.color_scheme {
            ColorScheme::Terminal | ColorScheme::Mono => Style::new(),
            ColorScheme::Dark => Style::new().fg(DARK.text).bg(DARK.ground),
            ColorScheme::Light => Style::new().fg(LIGHT.text).bg(LIGHT.ground),
        }
    }

    /// The style of an ink.
    pub fn style(&self, ink: Ink) -> Style {
        let base = match self.color_scheme {
            ColorScheme::Terminal => Style::new().fg(terminal_color(ink)),
            ColorScheme::Dark => Style::new().fg(DARK.color_of(ink)).bg(DARK.ground),
            ColorScheme::Light => Style::new().fg(LIGHT.color_of(ink)).bg(LIGHT.ground),
            ColorScheme::Mono => Style::new(),
        };
        match ink {
            Ink::Strong | Ink::Overdue => base.add_modifier(Modifier::BOLD),
            Ink::Alert => base.add_modifier(Modifier::BOLD | Modifier::REVERSED),
            Ink::Text | Ink::Stroke | Ink::Laid | Ink::Coming | Ink::Wood | Ink::Soon => base,
        }
    }
}

fn terminal_color(ink: Ink) -> Color {
    match ink {
        Ink::Text | Ink::Strong | Ink::Laid | Ink::Coming | Ink::Alert => Color::Reset,
        Ink::Stroke => Color::Cyan,
        Ink::Wood => Color::Yellow,
        Ink::Soon => Color::Magenta,
        Ink::Overdue => Color::Red,
    }
}

struct Palette {
    ground: Color,
    text: Color,
    stroke: Color,
    laid: Color,
    coming: Color,
    wood: Color,
    soon: Color,
    overdue: Color,
}

impl Palette {
    fn color_of(&self, ink: Ink) -> Color {
        match ink {
            Ink::Text | Ink::Strong | Ink::Alert => self.text,
            Ink::Stroke => self.stroke,
            Ink::Laid => self.laid,
            Ink::Coming => self.coming,
            Ink::Wood => self.wood,
            Ink::Soon => self.soon,
            Ink::Overdue => self.overdue,
        }
    }
}

const DARK: Palette = Palette {
    ground: Color::Rgb(0x17, 0x15, 0x13),
    text: Color::Rgb(0xf6, 0xf0, 0xe4),
    stroke: Color::Rgb(0x9f, 0xd8, 0xe8),
    laid: Color::Rgb(0xe4, 0xdb, 0xc8),
    coming: Color::Rgb(0xa8, 0xa0, 0x94),
    wood: Color::Rgb(0xd0, 0x9c, 0x5e),
    soon: Color::Rgb(0xff, 0xc4, 0x4d),
    overdue: Color::Rgb(0xff, 0x9a, 0x80),
};

const LIGHT: Palette = Palette {
    ground: Color::Rgb(0xfb, 0xf8, 0xf1),
    text: Color::Rgb(0x1a, 0x17, 0x14),
    stroke: Color::Rgb(0x0b, 0x4a, 0x5e),
    laid: Color::Rgb(0x40, 0x39, 0x30),
    coming: Color::Rgb(0x57, 0x50, 0x47),
    wood: Color::Rgb(0x6a, 0x42, 0x0c),
    soon: Color::Rgb(0x6b, 0x45, 0x00),
    overdue: Color::Rgb(0x96, 0x1c, 0x0a),
};

/// The ASCII sign that stands for a sign of ours.
pub fn to_ascii(sign: char) -> char {
    match sign {
        c if c.is_ascii() => c,
        '─' | '╌' | '┄' => '-',
        '━' | '▀' | '═' | '▆' => '=',
        '▄' | '▁' | '▔' => '_',
        '│' | '┃' | '┆' | '▊' => '|',
        '┌' | '┐' | '└' | '┘' | '┼' | '╋' => '+',
        '█' | '▓' => '#',
        '▒' => '%',
        '░' => '.',
        '▚' | '▞' | '▖' | '▗' | '▘' | '▝' => ':',
        '▲' | '↑' => '^',
        '↓' => 'v',
        '←' => '<',
        '→' => '>',
        '…' => '~',
        '·' => '.',
        '↕' => '|',
        '↔' => '=',
        _ => '?',
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::tests::contrast::contrast;

    const INKS: [Ink; 9] =
        [Ink::Text, Ink::Strong, Ink::Stroke, Ink::Laid, Ink::Coming, Ink::Wood, Ink::Soon, Ink::Overdue, Ink::Alert];

    #[test]
    fn our_own_colours_keep_seven_to_one() {
        for scheme in [ColorScheme::Dark, ColorScheme::Light] {
            let theme = Theme { color_scheme: scheme, ascii: false };
            for ink in INKS {
                let style = theme.style(ink);
                let is = contrast(style.fg.unwrap(), style.bg.unwrap()).unwrap();
                assert!(is >= 7.0, "{scheme:?} {ink:?}: {is:.2}");
            }
            let ground = theme.ground();
            assert!(contrast(ground.fg.unwrap(), ground.bg.unwrap()).unwrap() >= 7.0);
        }
    }

    #[test]
    fn what_must_be_read_has_the_terminals_own_foreground() {
        let theme = Theme { color_scheme: ColorScheme::Terminal, ascii: false };
        for ink in [Ink::Text, Ink::Strong, Ink::Alert] {
            assert_eq!(theme.style(ink).fg, Some(Color::Reset), "{ink:?}");
        }
    }
}
