//! Writes a tiny sound note: RIFF/WAVE, 8 kHz, 8 bits, one channel, a fifth of a second.

use crate::maths::sine;

/// Samples in a second.
const RATE: u32 = 8_000;
/// Length of the note in samples.
const SAMPLES: u32 = RATE / 5;

/// The bytes of the file. It holds a hum of 220 Hz, about the wing beat of a bumble bee, that swells and ends.
pub(crate) fn file() -> Vec<u8> {
    let samples: Vec<u8> = (0..SAMPLES)
        .map(|index| {
            let share = index as f32 / SAMPLES as f32;
            let hum = sine(std::f32::consts::TAU * 220.0 * index as f32 / RATE as f32);
            (128.0 + 60.0 * share * (1.0 - share) * 4.0 * hum) as u8
        })
        .collect();
    let mut bytes = b"RIFF".to_vec();
    bytes.extend((36 + SAMPLES).to_le_bytes());
    bytes.extend(b"WAVEfmt ");
    bytes.extend(16_u32.to_le_bytes());
    // Plain samples (1), one channel, rate, bytes a second, bytes a sample, bits a sample.
    bytes.extend([1, 0, 1, 0]);
    bytes.extend(RATE.to_le_bytes());
    bytes.extend(RATE.to_le_bytes());
    bytes.extend([1, 0, 8, 0]);
    bytes.extend(b"data");
    bytes.extend(SAMPLES.to_le_bytes());
    bytes.extend(samples);
    bytes
}
