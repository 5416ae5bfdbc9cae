//! Vectors and the few curves the drawing needs, in plain arithmetic only.
//!
//! Sine is worked out here from sums and products, because the system's own may differ in the last bit from computer to
//! computer, and the pictures must not.

use std::ops::{Add, Mul, Sub};

/// A point, a direction or a colour (red, green, blue coded 0..=1).
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct V3(pub(crate) f32, pub(crate) f32, pub(crate) f32);

impl Add for V3 {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0, self.1 + other.1, self.2 + other.2)
    }
}

impl Sub for V3 {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0, self.1 - other.1, self.2 - other.2)
    }
}

impl Mul<f32> for V3 {
    type Output = Self;
    fn mul(self, by: f32) -> Self {
        Self(self.0 * by, self.1 * by, self.2 * by)
    }
}

impl V3 {
    pub(crate) fn dot(self, other: Self) -> f32 {
        self.0 * other.0 + self.1 * other.1 + self.2 * other.2
    }

    pub(crate) fn cross(self, other: Self) -> Self {
        Self(
            self.1 * other.2 - self.2 * other.1,
            self.2 * other.0 - self.0 * other.2,
            self.0 * other.1 - self.1 * other.0,
        )
    }

    pub(crate) fn length(self) -> f32 {
        self.dot(self).sqrt()
    }

    /// The same direction with length 1; a vector of no length stays as it is.
    pub(crate) fn unit(self) -> Self {
        let length = self.length();
        if length > 1e-9 { self * (1.0 / length) } else { self }
    }

    /// From `self` at 0 to `other` at 1.
    pub(crate) fn mix(self, other: Self, share: f32) -> Self {
        self + (other - self) * share
    }
}

/// From 0 below `low` to 1 above `high`, with soft ends.
pub(crate) fn ramp(low: f32, high: f32, x: f32) -> f32 {
    let t = ((x - low) / (high - low)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// Sine of an angle in radians, to about 4e-6: folded to a quarter turn, then the Taylor sum to the ninth power.
pub(crate) fn sine(angle: f32) -> f32 {
    use std::f32::consts::{FRAC_PI_2, PI, TAU};
    let mut x = angle - TAU * (angle / TAU + 0.5).floor();
    if x > FRAC_PI_2 {
        x = PI - x;
    } else if x < -FRAC_PI_2 {
        x = -PI - x;
    }
    let s = x * x;
    x * (1.0 - s / 6.0 * (1.0 - s / 20.0 * (1.0 - s / 42.0 * (1.0 - s / 72.0))))
}

/// Cosine of an angle in radians.
pub(crate) fn cosine(angle: f32) -> f32 {
    sine(angle + std::f32::consts::FRAC_PI_2)
}

/// `x` (0..=1) to the power of 2 to the `doublings`: a highlight that narrows with each.
pub(crate) fn sharpened(x: f32, doublings: u32) -> f32 {
    (0..doublings).fold(x.max(0.0), |power, _| power * power)
}

/// Turns `a` towards `b` (both of length 1 and square to each other) by `angle` radians.
pub(crate) fn turned(a: V3, b: V3, angle: f32) -> V3 {
    a * cosine(angle) + b * sine(angle)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sine_agrees_with_the_known_one() {
        for step in -40..40 {
            let x = step as f32 * 0.25;
            assert!((sine(x) - x.sin()).abs() < 1e-5, "sine of {x}");
        }
    }
}
