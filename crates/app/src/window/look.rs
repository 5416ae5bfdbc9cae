//! Every colour, size and typeface of the window, in one place.
//!
//! [`tokens`] gives the colours of the theme a [`Ui`] is drawn in, [`Type`] the type scale, the constants the
//! sizes; [`install`] hands all of it to egui once at the start. No other file names a colour. Nothing is
//! drawn here.

use std::sync::Arc;

use egui::epaint::text::{FontData, FontDefinitions, FontFamily};
use egui::{
    Color32, Context, CornerRadius, FontId, Margin, Shadow, Stroke, Style, TextStyle, Theme, Ui, Vec2,
};

/// The colours of one theme.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Tokens {
    /// The window.
    pub(crate) ground: Color32,
    /// Side panels, fields, chips.
    pub(crate) sheet: Color32,
    /// Behind pictures, and quiet notes.
    pub(crate) well: Color32,
    /// Hairlines that only separate.
    pub(crate) rule: Color32,
    /// Outlines of controls.
    pub(crate) edge: Color32,
    /// Text.
    pub(crate) ink: Color32,
    /// Secondary text.
    pub(crate) soft: Color32,
    /// Selection, confirmed, main action.
    pub(crate) accent: Color32,
    /// Ground of what is selected.
    pub(crate) accent_ground: Color32,
    /// Inadequate, doubtful.
    pub(crate) warn: Color32,
    /// Ground of a warning.
    pub(crate) warn_ground: Color32,
    /// Missing, refused, past a limit.
    pub(crate) gone: Color32,
    /// Ground of what is missing.
    pub(crate) gone_ground: Color32,
}

const fn hex(rgb: u32) -> Color32 {
    Color32::from_rgb((rgb >> 16) as u8, (rgb >> 8) as u8, rgb as u8)
}

/// Pale mounting sheet and ink.
pub(crate) const LIGHT: Tokens = Tokens {
    ground: hex(0xF6_F2_E8),
    sheet: hex(0xFF_FD_F6),
    well: hex(0xEC_E6_D6),
    rule: hex(0xD8_CF_BA),
    edge: hex(0x85_7C_6A),
    ink: hex(0x24_22_1C),
    soft: hex(0x66_5F_50),
    accent: hex(0x1F_6A_63),
    accent_ground: hex(0xDC_EA_E4),
    warn: hex(0x86_53_09),
    warn_ground: hex(0xF6_E7_C8),
    gone: hex(0xA1_3A_27),
    gone_ground: hex(0xF6_DE_D6),
};

/// The same sheet by lamplight.
pub(crate) const DARK: Tokens = Tokens {
    ground: hex(0x1D_1C_19),
    sheet: hex(0x27_25_21),
    well: hex(0x17_16_13),
    rule: hex(0x3B_38_30),
    edge: hex(0x8A_84_75),
    ink: hex(0xEE_E8_DA),
    soft: hex(0xA9_A0_8C),
    accent: hex(0x79_C2_B6),
    accent_ground: hex(0x24_3B_37),
    warn: hex(0xE0_B1_5E),
    warn_ground: hex(0x3A_30_20),
    gone: hex(0xEE_95_81),
    gone_ground: hex(0x40_26_1F),
};

/// Over the places of a picture that are sharpest. Those over pictures are one for both themes: what is beneath is.
pub(crate) const OVER_SHARP: Color32 = Color32::from_rgba_unmultiplied_const(0x3F, 0xE0, 0xD0, 0x8C);
/// Stripes over what is blown out.
pub(crate) const OVER_BLOWN: Color32 = Color32::from_rgb(0xE8, 0x3A, 0x1C);
/// Stripes over what is lost in black.
pub(crate) const OVER_BLACK: Color32 = Color32::from_rgb(0x6C, 0xB6, 0xFF);

/// Lines of marks over a picture.
pub(crate) const MARK_LINE: Color32 = Color32::from_rgb(0xFF, 0xE8, 0x6B);
/// Lines of the mark that is chosen.
pub(crate) const MARK_CHOSEN: Color32 = Color32::from_rgb(0x6F, 0xF0, 0xE2);
/// Around those lines and behind their words, so that they stand out on light and on dark.
pub(crate) const MARK_HALO: Color32 = Color32::from_black_alpha(190);

impl Tokens {
    /// Text on a filled control of the accent or of ink.
    pub(crate) fn on_fill(&self) -> Color32 {
        if self.ground == LIGHT.ground { self.sheet } else { self.ground }
    }

    /// What lies over the window while a floating panel is open.
    pub(crate) fn veil(&self) -> Color32 {
        Color32::from_black_alpha(if self.ground == LIGHT.ground { 60 } else { 120 })
    }

    /// Outline that only separates.
    pub(crate) fn rule_stroke(&self) -> Stroke {
        Stroke::new(1.0, self.rule)
    }

    /// Outline of a control.
    pub(crate) fn edge_stroke(&self) -> Stroke {
        Stroke::new(1.0, self.edge)
    }
}

/// The colours of the theme this is drawn in.
pub(crate) fn tokens(ui: &Ui) -> &'static Tokens {
    tokens_of(ui.visuals().dark_mode)
}

fn tokens_of(dark: bool) -> &'static Tokens {
    if dark { &DARK } else { &LIGHT }
}

/// The type scale: size in points and weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Type {
    /// Secondary lines, 13.
    Small,
    /// Secondary lines that stand out, 13, medium.
    SmallMedium,
    /// Text, 14.
    Body,
    /// Text that stands out, 14, medium.
    Medium,
    /// Text that stands out most, 14, semibold.
    Strong,
    /// Section heads, 15, semibold.
    Section,
    /// Specimen numbers, 20, semibold.
    Number,
    /// The program's name, 19, semibold.
    Name,
    /// Letters on keys, 12.5, medium.
    Key,
    /// Lines to be read at arm's length, 32, semibold.
    Far,
    /// Lines beside those, 32, regular.
    FarLight,
}

const MEDIUM: &str = "medium";
const SEMIBOLD: &str = "semibold";

impl Type {
    /// The font it is set in.
    pub(crate) fn font(self) -> FontId {
        let family = |name: &str| FontFamily::Name(name.into());
        match self {
            Self::Small => FontId::new(13.0, FontFamily::Proportional),
            Self::SmallMedium => FontId::new(13.0, family(MEDIUM)),
            Self::Body => FontId::new(14.0, FontFamily::Proportional),
            Self::Medium => FontId::new(14.0, family(MEDIUM)),
            Self::Strong => FontId::new(14.0, family(SEMIBOLD)),
            Self::Section => FontId::new(15.0, family(SEMIBOLD)),
            Self::Number => FontId::new(20.0, family(SEMIBOLD)),
            Self::Name => FontId::new(19.0, family(SEMIBOLD)),
            Self::Key => FontId::new(12.5, family(MEDIUM)),
            Self::Far => FontId::new(32.0, family(SEMIBOLD)),
            Self::FarLight => FontId::new(32.0, FontFamily::Proportional),
        }
    }
}

/// Space between the window's edge and what stands in it, px.
pub(crate) const MARGIN_PX: f32 = 20.0;
/// Height of the bar with the steps, px.
pub(crate) const BAR_PX: f32 = 52.0;
/// Height of the line below it, px.
pub(crate) const LINE_PX: f32 = 44.0;
/// Height of buttons, px.
pub(crate) const BUTTON_PX: f32 = 28.0;
/// Height of buttons that are pressed at arm's length, px.
pub(crate) const FAR_BUTTON_PX: f32 = 48.0;
/// Height of one-line text fields, px.
pub(crate) const FIELD_PX: f32 = 28.0;
/// Corners of pictures, px.
pub(crate) const PICTURE_CORNER: CornerRadius = CornerRadius::same(3);
/// Corners of controls and panels, px.
pub(crate) const CONTROL_CORNER: CornerRadius = CornerRadius::same(6);
/// Corners of keycaps, px.
pub(crate) const KEY_CORNER: CornerRadius = CornerRadius::same(4);

/// Width of the side panel in a window of this width.
pub(crate) fn side_px(window_px: f32) -> f32 {
    (window_px * 0.244).clamp(272.0, 400.0).round()
}

/// Hands fonts and both themes to egui. `dark` fixes the theme; `None` follows the system.
pub(crate) fn install(ctx: &Context, dark: Option<bool>) {
    ctx.set_fonts(fonts());
    ctx.set_style_of(Theme::Light, style(false));
    ctx.set_style_of(Theme::Dark, style(true));
    match dark {
        Some(true) => ctx.set_theme(Theme::Dark),
        Some(false) => ctx.set_theme(Theme::Light),
        None => ctx.set_theme(egui::ThemePreference::System),
    }
    ctx.options_mut(|o| {
        // The window has keys of its own for picture size.
        o.zoom_with_keyboard = false;
        o.fallback_theme = Theme::Light;
    });
}

/// Lowers all letters by this share of their size: Lato's stand high in their line, seen on screen beside marks.
const LOWER: f32 = 0.08;

fn fonts() -> FontDefinitions {
    let files: [(&str, &'static [u8]); 4] = [
        ("regular", include_bytes!("../../../../assets/fonts/Lato-Regular.ttf")),
        (MEDIUM, include_bytes!("../../../../assets/fonts/Lato-Medium.ttf")),
        (SEMIBOLD, include_bytes!("../../../../assets/fonts/Lato-Semibold.ttf")),
        // Supplies the signs that the first three lack.
        ("signs", include_bytes!("../../../../assets/fonts/DejaVuSans.ttf")),
    ];
    let mut fonts = FontDefinitions::empty();
    for (name, bytes) in files {
        let mut data = FontData::from_static(bytes);
        data.tweak.y_offset_factor = LOWER;
        fonts.font_data.insert(name.to_owned(), Arc::new(data));
    }
    for (family, first) in [
        (FontFamily::Proportional, "regular"),
        (FontFamily::Monospace, "regular"),
        (FontFamily::Name(MEDIUM.into()), MEDIUM),
        (FontFamily::Name(SEMIBOLD.into()), SEMIBOLD),
    ] {
        fonts.families.insert(family, vec![first.to_owned(), "signs".to_owned()]);
    }
    fonts
}

/// Most of the window is drawn by our own widgets; this covers text fields, scroll bars and tips.
fn style(dark: bool) -> Style {
    let t = tokens_of(dark);
    let mut style = if dark { Theme::Dark.default_style() } else { Theme::Light.default_style() };
    style.text_styles = [
        (TextStyle::Small, Type::Small),
        (TextStyle::Body, Type::Body),
        (TextStyle::Button, Type::Body),
        (TextStyle::Heading, Type::Section),
        (TextStyle::Monospace, Type::Body),
    ]
    .map(|(style, kind)| (style, kind.font()))
    .into();
    let v = &mut style.visuals;
    v.override_text_color = Some(t.ink);
    v.panel_fill = t.ground;
    v.window_fill = t.sheet;
    v.window_stroke = t.edge_stroke();
    v.window_corner_radius = CONTROL_CORNER;
    v.menu_corner_radius = CONTROL_CORNER;
    v.window_shadow = shadow(dark);
    v.popup_shadow = shadow(dark);
    v.extreme_bg_color = t.ground;
    v.text_edit_bg_color = Some(t.ground);
    v.faint_bg_color = t.well;
    v.code_bg_color = t.well;
    v.weak_text_color = Some(t.soft);
    v.hyperlink_color = t.accent;
    v.warn_fg_color = t.warn;
    v.error_fg_color = t.gone;
    v.selection.bg_fill = t.accent_ground;
    v.selection.stroke = Stroke::new(1.0, t.ink);
    v.text_cursor.stroke = Stroke::new(2.0, t.accent);
    // A steady cursor: the window draws nothing while nothing happens.
    v.text_cursor.blink = false;
    // Under letters that an input method is still composing.
    v.ime_composition.active_underline_stroke = Stroke::new(2.0, t.accent);
    v.ime_composition.inactive_underline_stroke = Stroke::new(2.0, t.edge);
    let w = &mut v.widgets;
    for part in [&mut w.noninteractive, &mut w.inactive, &mut w.hovered, &mut w.active, &mut w.open] {
        part.corner_radius = CONTROL_CORNER;
        part.bg_fill = t.edge;
        part.weak_bg_fill = t.sheet;
        part.bg_stroke = t.edge_stroke();
        part.fg_stroke = Stroke::new(1.0, t.ink);
        part.expansion = 0.0;
    }
    w.noninteractive.bg_stroke = t.rule_stroke();
    style.spacing.item_spacing = Vec2::new(8.0, 4.0);
    style.spacing.button_padding = Vec2::new(10.0, 4.0);
    style.spacing.window_margin = Margin::same(16);
    style.spacing.menu_margin = Margin::same(12);
    style.spacing.scroll.bar_width = 8.0;
    style.spacing.scroll.floating_width = 4.0;
    style.spacing.scroll.dormant_handle_opacity = 0.5;
    style.interaction.selectable_labels = false;
    style.interaction.tooltip_delay = 0.2;
    style.animation_time = 0.0;
    style
}

/// The only shadow there is: under a floating panel.
pub(crate) fn shadow(dark: bool) -> Shadow {
    let color = Color32::from_black_alpha(if dark { 120 } else { 50 });
    Shadow { offset: [0, 6], blur: 20, spread: 0, color }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    /// Relative luminance after WCAG 2.2.
    fn luminance(color: Color32) -> f32 {
        let linear = |c: u8| {
            let c = f32::from(c) / 255.0;
            if c <= 0.040_45 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(color.r()) + 0.7152 * linear(color.g()) + 0.0722 * linear(color.b())
    }

    fn contrast(a: Color32, b: Color32) -> f32 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn the_measure_agrees_with_wcag() {
        // WCAG 2.2: black on white is 21 : 1; #767676 on white is the well-known 4.54 : 1.
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 0.01);
        assert!((contrast(hex(0x76_76_76), Color32::WHITE) - 4.54).abs() < 0.01);
    }

    #[test]
    fn text_and_outlines_can_be_seen_on_every_ground() {
        for t in [LIGHT, DARK] {
            for ground in [t.ground, t.sheet, t.well, t.accent_ground] {
                for text in [t.ink, t.soft, t.accent, t.gone, t.warn] {
                    assert!(contrast(text, ground) >= 4.5, "{text:?} on {ground:?}");
                }
                assert!(contrast(t.edge, ground) >= 3.0, "edge on {ground:?}");
            }
            assert!(contrast(t.warn, t.warn_ground) >= 4.5);
            assert!(contrast(t.gone, t.gone_ground) >= 4.5);
            assert!(contrast(t.on_fill(), t.accent) >= 4.5);
            for ground in [t.ground, t.sheet, t.accent_ground] {
                assert!(contrast(t.ink, ground) >= 7.0, "the far list and the line's handle");
            }
        }
        // On white paper the halo is a dark grey.
        let grey = u32::from(255 - MARK_HALO.a());
        for line in [MARK_LINE, MARK_CHOSEN] {
            assert!(contrast(line, hex(grey << 16 | grey << 8 | grey)) >= 4.5, "{line:?}");
        }
    }

    #[test]
    fn no_type_is_under_twelve_and_a_half() {
        for kind in [Type::Small, Type::SmallMedium, Type::Key, Type::Body] {
            assert!(kind.font().size >= 12.5);
        }
        for kind in [Type::Far, Type::FarLight] {
            assert!(kind.font().size >= 32.0);
        }
    }

    /// Every colour that a style holds, wherever in it: egui writes them as `#RR_GG_BB_AA`.
    fn colors(style: &Style) -> BTreeSet<String> {
        let all = format!("{:?}", style.visuals);
        let after = all.split('#').skip(1);
        after.map(|rest| rest.chars().take_while(|c| c.is_ascii_hexdigit() || *c == '_').collect()).collect()
    }

    #[test]
    fn no_stock_colour_corner_or_font_is_left() {
        for dark in [false, true] {
            let (style, t) = (style(dark), tokens_of(dark));
            let own = [
                t.ground,
                t.sheet,
                t.well,
                t.rule,
                t.edge,
                t.ink,
                t.soft,
                t.accent,
                t.accent_ground,
                t.warn,
                t.gone,
                shadow(dark).color,
                Color32::TRANSPARENT,
            ];
            let own: BTreeSet<String> =
                own.iter().map(|c| format!("{c:?}").trim_start_matches('#').into()).collect();
            let found = colors(&style);
            assert!(found.len() > 6, "the walk sees colours: {found:?}");
            let stock: Vec<&String> = found.difference(&own).collect();
            assert_eq!(stock, Vec::<&String>::new(), "dark {dark}: {:#?}", style.visuals);
            let v = &style.visuals;
            let parts =
                [&v.widgets.noninteractive, &v.widgets.inactive, &v.widgets.hovered, &v.widgets.active];
            for corner in parts
                .map(|p| p.corner_radius)
                .into_iter()
                .chain([v.window_corner_radius, v.menu_corner_radius])
            {
                assert_eq!(corner, CONTROL_CORNER);
            }
            for font in style.text_styles.values() {
                let ours = [Type::Small, Type::Body, Type::Section].map(Type::font);
                assert!(ours.contains(font), "{font:?}");
            }
            assert!(style.animation_time == 0.0 && !v.text_cursor.blink, "nothing moves by itself");
        }
    }

    #[test]
    fn the_fonts_hold_what_names_and_places_are_written_with() {
        // Latin with diacritics, Greek and Cyrillic as in names of people and places; the signs of sexes; and all that the
        // window itself says.
        let words = include_str!("../../../../assets/words/en.ftl");
        let names = "ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏÐÑÒÓÔÕÖØÙÚÛÜÝÞßàáâãäåæçèéêëìíîïðñòóôõöøùúûüýþÿĀāĂăĄąĆćČčĎďĐđĒēĘęĚěĞğĢģĪīĮįİıĶķĹĺĽľŁł\
                     ŃńŅņŇňŐőŒœŔŕŘřŚśŞşŠšŢţŤťŪūŮůŰűŲųŴŵŶŷŸŹźŻżŽžȘșȚțΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩάέήίόύώαβγδεζηθικλμνξοπρςστυφχψω\
                     АБВГДЕЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯабвгдежзийклмнопрстуфхцчшщъыьэюяЁёЄєІіЇїҐґЈјЉљЊњЋћЏџ♀♂☿×°′″µ±→–—“”‘’…";
        let ctx = Context::default();
        install(&ctx, None);
        // Fonts are there once a first frame begins.
        ctx.run_ui(egui::RawInput::default(), |_| {}).textures_delta.clear();
        for kind in [Type::Body, Type::Medium, Type::Strong] {
            for c in names.chars().chain(words.chars()).filter(|c| !c.is_whitespace()) {
                assert!(ctx.fonts_mut(|fonts| fonts.has_glyph(&kind.font(), c)), "{kind:?}: {c}");
            }
        }
    }
}
