#!/usr/bin/env python3
"""Compares pixel mathematics with numpy, scipy and scikit-image on random arrays.

usage: pixels.py PIXELS
PIXELS is the example `pixels` of the crate `imaging` (cargo build -p imaging --example pixels).
Otsu's threshold against skimage.filters.threshold_otsu; the Laplacian against skimage.filters.laplace, which has the
other sign; Sobel's squared gradient against scipy.ndimage.sobel; variance against numpy; grain against a convolution
by scipy; CIELAB against skimage.color.rgb2lab. Ends with status 1 at the first difference.
needs: pip install numpy scipy scikit-image
"""
import subprocess
import sys

import numpy
from scipy import ndimage
from skimage import color, filters

ROUNDS = 40


def ask(program, lines):
    said = subprocess.run([program], input="\n".join(lines) + "\n", capture_output=True, text=True, check=True)
    return [[float(v) for v in line.split()] for line in said.stdout.splitlines()]


def line(word, *parts):
    return " ".join([word] + [str(int(v)) for part in parts for v in numpy.ravel(part)])


def between(values, at):
    low, high = values[values <= at], values[values > at]
    return len(low) * len(high) / len(values) ** 2 * (low.mean() - high.mean()) ** 2


def main():
    random = numpy.random.default_rng(20260614)
    lines, checks = [], []

    def check(text, test):
        lines.append(text)
        checks.append((text[:60], test))

    for _ in range(ROUNDS):
        size = (int(random.integers(3, 40)), int(random.integers(3, 40)))
        picture = random.integers(0, 256, size).astype(numpy.uint8)
        shape = [size[1], size[0]]
        real = picture.astype(float)
        two = numpy.concatenate([random.normal(60, 15, 90), random.normal(170, 20, 40)]).clip(0, 255).astype(numpy.uint8)
        at = filters.threshold_otsu(two)
        check(line("otsu", two), lambda got, two=two, at=at: got[0] <= at < got[1] and numpy.isclose(got[2], between(two, at)))
        check(line("variance", picture), lambda got, p=real: numpy.allclose(got, [p.mean(), p.var()] * 2))
        laplace = -filters.laplace(real, 3)[1:-1, 1:-1]
        check(line("laplacian", shape, picture), lambda got, e=laplace: numpy.allclose(got, e.ravel()))
        sobel = sum(ndimage.sobel(real, axis) ** 2 for axis in (0, 1))[1:-1, 1:-1]
        check(line("tenengrad", shape, picture), lambda got, e=sobel: numpy.allclose(got, e.ravel()))
        mask = numpy.outer([1, -2, 1], [1, -2, 1])
        sigma = numpy.sqrt(numpy.pi / 2) * numpy.abs(ndimage.convolve(real, mask)[1:-1, 1:-1]).mean() / 6
        check(line("grain", shape, picture), lambda got, e=sigma: numpy.isclose(got[0], e))
        rgb = random.integers(0, 256, 3).astype(numpy.uint8)
        lab = color.rgb2lab(rgb[None, None, :])[0, 0]
        check(line("lab", rgb), lambda got, e=lab: numpy.allclose(got, e, atol=0.02))

    said = ask(sys.argv[1], lines)
    wrong = [name for (name, test), got in zip(checks, said, strict=True) if not test(numpy.array(got))]
    print(f"{len(checks) - len(wrong)} of {len(checks)} answers agree")
    for name in wrong[:10]:
        print("differs:", name)
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
