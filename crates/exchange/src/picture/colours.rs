//! Colours in the profile of their picture become sRGB.

use moxcms::{ColorProfile, DataColorSpace, Layout, TransformOptions};

/// The same colours in sRGB; as they are where the profile cannot be read or is not one of red, green and blue, since most
/// programs show them so. What a camera says of its colours without a profile (Exif's `ColorSpace`) is not looked at.
pub(super) fn to_srgb(rgb: Vec<u8>, profile: &[u8]) -> Vec<u8> {
    converted(&rgb, profile).unwrap_or(rgb)
}

fn converted(rgb: &[u8], profile: &[u8]) -> Option<Vec<u8>> {
    let profile = ColorProfile::new_from_slice(profile).ok()?;
    if profile.color_space != DataColorSpace::Rgb {
        return None;
    }
    let options = TransformOptions::default();
    let transform =
        profile.create_transform_8bit(Layout::Rgb, &ColorProfile::new_srgb(), Layout::Rgb, options).ok()?;
    let mut srgb = vec![0; rgb.len()];
    transform.transform(rgb, &mut srgb).ok()?;
    Some(srgb)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Display P3 and Adobe RGB (1998) in sRGB, worked out by their published primaries and curves: CSS Color Module Level 4
    /// (sample code, `display-p3` and `a98-rgb` to `srgb`), to within 2 of 255 for tables of 8 bits.
    #[test]
    fn profiles_come_to_srgb() {
        let check = |profile: ColorProfile, colour: [u8; 3], expected: [u8; 3]| {
            let got = to_srgb(colour.to_vec(), &profile.encode().unwrap());
            let near = got.iter().zip(expected).all(|(a, b)| a.abs_diff(b) <= 2);
            assert!(near, "{colour:?} became {got:?} instead of {expected:?}");
        };
        check(ColorProfile::new_srgb(), [200, 100, 50], [200, 100, 50]);
        check(ColorProfile::new_display_p3(), [200, 100, 50], [215, 93, 31]);
        check(ColorProfile::new_display_p3(), [128, 128, 128], [128, 128, 128]);
        check(ColorProfile::new_adobe_rgb(), [128, 128, 128], [129, 129, 129]);
        check(ColorProfile::new_adobe_rgb(), [120, 160, 90], [99, 161, 85]);
    }

    #[test]
    fn what_is_no_profile_of_such_colours_changes_nothing() {
        let grey = ColorProfile::new_gray_with_gamma(2.2).encode().unwrap();
        for profile in [&b""[..], b"not a profile", &grey] {
            assert_eq!(to_srgb(vec![1, 2, 3, 250, 251, 252], profile), [1, 2, 3, 250, 251, 252]);
        }
    }
}
