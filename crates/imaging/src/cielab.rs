//! Colours between sRGB as coded in files, linear light, and CIELAB.
//!
//! sRGB is that of IEC 61966-2-1, CIELAB that of ISO/CIE 11664-4 with the 2° observer. Unless a name says otherwise its
//! white is D65, sRGB's own. Nothing here looks at pictures.

/// sRGB primaries to XYZ of D65: IEC 61966-2-1, with the digits of its primaries worked out to seven places.
const XYZ_OF_RGB: [[f64; 3]; 3] = [
    [0.412_456_4, 0.357_576_1, 0.180_437_5],
    [0.212_672_9, 0.715_152_2, 0.072_175_0],
    [0.019_333_9, 0.119_192_0, 0.950_304_1],
];

/// The other way, worked out from it.
const RGB_OF_XYZ: [[f64; 3]; 3] = inverse(XYZ_OF_RGB);

/// XYZ of the white D65, with Y 1: CIE 15.
const D65: [f64; 3] = [0.950_47, 1.0, 1.088_83];

/// XYZ of the white D50, with Y 1: CIE 15, as ISO 13655 uses it for charts and prints.
const D50: [f64; 3] = [0.964_22, 1.0, 0.825_21];

/// The Bradford cone responses, in which a change of white is a scaling: ICC.1:2022, annex E.
const BRADFORD: [[f64; 3]; 3] =
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]];

/// From here on XYZ over its white has a cube root; below, a straight line (ISO/CIE 11664-4).
const CUBE_FROM: f64 = 216.0 / 24389.0;

/// Slope of that line.
const SLOPE: f64 = 24389.0 / 27.0;

/// Linear light of a coded value, 0..=1 (IEC 61966-2-1).
pub fn linear(coded: u8) -> f64 {
    let v = f64::from(coded) / 255.0;
    if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
}

/// L\*, a\* and b\* of a coded sRGB colour.
pub fn lab(coded: [u8; 3]) -> [f64; 3] {
    of_linear(coded.map(linear))
}

/// L\*, a\* and b\* of linear light of sRGB's primaries, 1 being full; it may lie outside 0..=1.
pub fn of_linear(rgb: [f64; 3]) -> [f64; 3] {
    of_xyz(times(XYZ_OF_RGB, rgb), D65)
}

/// Luminance of linear light of sRGB's primaries, 1 being that of white: Y of XYZ.
pub fn luminance(rgb: [f64; 3]) -> f64 {
    times(XYZ_OF_RGB, rgb)[1]
}

/// Linear light of a colour; outside 0..=1 where sRGB cannot show it.
pub fn to_linear(lab: [f64; 3]) -> [f64; 3] {
    times(RGB_OF_XYZ, to_xyz(lab, D65))
}

/// The coded sRGB colour nearest to this linear light, and whether any of its parts had to be cut to fit.
pub fn to_coded(rgb: [f64; 3]) -> ([u8; 3], bool) {
    let coded = rgb.map(|v| {
        let curved = if v <= 0.003_130_8 { 12.92 * v } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 };
        (255.0 * curved).round()
    });
    (coded.map(|v| v.clamp(0.0, 255.0) as u8), coded.iter().any(|v| !(0.0..=255.0).contains(v)))
}

/// A colour given under D50, as charts are, under D65: Bradford's adaptation (ICC.1:2022, annex E).
pub fn from_d50(lab: [f64; 3]) -> [f64; 3] {
    let (from, to) = (times(BRADFORD, D50), times(BRADFORD, D65));
    let cones = times(BRADFORD, to_xyz(lab, D50));
    let adapted = [0, 1, 2].map(|i| cones[i] * to[i] / from[i]);
    of_xyz(times(inverse(BRADFORD), adapted), D65)
}

fn of_xyz(xyz: [f64; 3], white: [f64; 3]) -> [f64; 3] {
    let f = |t: f64| if t > CUBE_FROM { t.cbrt() } else { (SLOPE * t + 16.0) / 116.0 };
    let [x, y, z] = [0, 1, 2].map(|i| f(xyz[i] / white[i]));
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

fn to_xyz([l, a, b]: [f64; 3], white: [f64; 3]) -> [f64; 3] {
    let y = (l + 16.0) / 116.0;
    let back = |f: f64| if f.powi(3) > CUBE_FROM { f.powi(3) } else { (116.0 * f - 16.0) / SLOPE };
    let over_white = [y + a / 500.0, y, y - b / 200.0].map(back);
    [0, 1, 2].map(|i| over_white[i] * white[i])
}

fn times(matrix: [[f64; 3]; 3], v: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

/// The inverse by cofactors; the matrices here are far from singular.
const fn inverse(m: [[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let mut cofactors = [[0.0; 3]; 3];
    let mut row = 0;
    while row < 3 {
        let (r, s) = ((row + 1) % 3, (row + 2) % 3);
        cofactors[row] = [
            m[r][1] * m[s][2] - m[r][2] * m[s][1],
            m[r][2] * m[s][0] - m[r][0] * m[s][2],
            m[r][0] * m[s][1] - m[r][1] * m[s][0],
        ];
        row += 1;
    }
    let c = cofactors;
    let d = m[0][0] * c[0][0] + m[0][1] * c[0][1] + m[0][2] * c[0][2];
    [
        [c[0][0] / d, c[1][0] / d, c[2][0] / d],
        [c[0][1] / d, c[1][1] / d, c[2][1] / d],
        [c[0][2] / d, c[1][2] / d, c[2][2] / d],
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: [f64; 3], expected: [f64; 3], within: f64) -> bool {
        got.iter().zip(expected).all(|(g, e)| (g - e).abs() < within)
    }

    #[test]
    fn colours_by_the_standard() {
        // Worked from IEC 61966-2-1 and ISO/CIE 11664-4 with the D65 white 0.95047, 1, 1.08883.
        for (rgb, expected) in [
            ([255, 0, 0], [53.2408, 80.0925, 67.2032]),
            ([0, 255, 0], [87.7347, -86.1827, 83.1793]),
            ([0, 0, 255], [32.2970, 79.1875, -107.8602]),
            ([128, 128, 128], [53.5850, 0.0, 0.0]),
            ([200, 170, 60], [70.4255, -0.9407, 58.1706]),
            ([30, 25, 20], [9.1719, 1.4012, 4.2886]),
        ] {
            let got = lab(rgb);
            assert!(near(got, expected, 1e-3), "{rgb:?}: {got:?}");
        }
        // Mid grey in the same standards: L* 50 lies at coded 118.9, a reflectance of 18 % at L* 49.50.
        assert_eq!(to_coded(to_linear([50.0, 0.0, 0.0])), ([119; 3], false));
        assert!((of_linear([0.18; 3])[0] - 49.50).abs() < 0.005);
    }

    #[test]
    fn every_coded_value_comes_back() {
        for v in 0..=255u8 {
            let other = 255 - v;
            for coded in [[v; 3], [v, other, 0], [other, 255, v], [0, v, v / 2]] {
                assert_eq!(to_coded(to_linear(lab(coded))), (coded, false));
            }
        }
        assert_eq!(to_coded([1.2, -0.1, 0.5]), ([255, 0, 188], true));
    }

    /// Every patch of the common chart of 24 as its maker, X-Rite, published it in 2016 for charts made since November
    /// 2014, CIELAB of D50, beside its 8-bit sRGB by Bradford's adaptation, rounded and cut. The cyan lies outside sRGB.
    const CHART: [([f64; 3], [u8; 3]); 24] = [
        ([37.54, 14.37, 14.92], [116, 79, 65]),
        ([64.66, 19.27, 17.5], [197, 144, 127]),
        ([49.32, -3.82, -22.54], [91, 120, 155]),
        ([43.46, -12.74, 22.72], [91, 108, 64]),
        ([54.94, 9.61, -24.79], [131, 127, 175]),
        ([70.48, -32.26, -0.37], [95, 189, 172]),
        ([62.73, 35.83, 56.5], [224, 124, 48]),
        ([39.43, 10.75, -45.17], [69, 90, 167]),
        ([50.57, 48.64, 16.67], [197, 80, 95]),
        ([30.1, 22.54, -20.87], [93, 58, 104]),
        ([71.77, -24.13, 58.19], [156, 187, 58]),
        ([71.51, 18.24, 67.37], [227, 161, 39]),
        ([28.37, 15.42, -49.8], [40, 62, 145]),
        ([54.38, -39.72, 32.27], [61, 147, 70]),
        ([42.43, 51.05, 28.62], [178, 54, 57]),
        ([81.8, 2.67, 80.41], [236, 199, 15]),
        ([50.63, 51.28, -14.12], [191, 79, 146]),
        ([49.57, -29.71, -28.32], [0, 133, 165]),
        ([95.19, -1.03, 2.93], [241, 242, 235]),
        ([81.29, -0.57, 0.44], [201, 202, 201]),
        ([66.89, -0.75, -0.06], [161, 163, 163]),
        ([50.76, -0.13, 0.14], [121, 121, 121]),
        ([35.63, -0.46, -0.48], [83, 84, 85]),
        ([20.64, 0.07, -0.46], [50, 50, 50]),
    ];

    #[test]
    fn the_chart_of_24_patches_comes_out_within_one_code_value() {
        for (patch, (d50, expected)) in CHART.into_iter().enumerate() {
            let (coded, cut) = to_coded(to_linear(from_d50(d50)));
            assert!(coded.iter().zip(expected).all(|(g, e)| g.abs_diff(e) <= 1), "{}: {coded:?}", patch + 1);
            assert_eq!(cut, patch + 1 == 18, "{}", patch + 1);
        }
    }

    #[test]
    fn the_white_of_charts_becomes_the_white_of_pictures() {
        assert!(near(from_d50([100.0, 0.0, 0.0]), [100.0, 0.0, 0.0], 1e-9));
        assert!(near(times(XYZ_OF_RGB, times(RGB_OF_XYZ, D65)), D65, 1e-12));
    }
}
