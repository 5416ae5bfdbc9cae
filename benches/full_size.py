#!/usr/bin/env python3
"""Measures how long a picture takes in full, from the file to the pixels that are drawn, against libjpeg-turbo.

usage: full_size.py PICTURE [ROUNDS]
Each round (5) runs `cargo bench -p endleaf --bench window -- PICTURE`, which prints the fastest of fifteen times, and decodes
the same file fifteen times by libjpeg-turbo into the same four bytes a pixel, reading it each time. Prints the fastest of
each and their ratio. Needs libjpeg-turbo and, of Python, PyTurboJPEG. Other work on the machine makes all times longer: the
load is printed.
"""
import os
import platform
import re
import subprocess
import sys
import time

import turbojpeg

TIMES = 15


def ours(path):
    bench = ["cargo", "bench", "--quiet", "--package", "endleaf", "--bench", "window", "--", path]
    said = subprocess.run(bench, check=True, capture_output=True, text=True).stdout
    return float(re.search(r": ([0-9.]+) ms", said).group(1))


def theirs(decoder, path):
    fastest = float("inf")
    for _ in range(TIMES):
        begun = time.perf_counter()
        with open(path, "rb") as file:
            decoder.decode(file.read(), pixel_format=turbojpeg.TJPF_RGBA)
        fastest = min(fastest, time.perf_counter() - begun)
    return fastest * 1000


def main():
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    path, rounds = os.path.abspath(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 5
    decoder = turbojpeg.TurboJPEG()
    both = [(ours(path), theirs(decoder, path)) for _ in range(rounds)]
    own, other = (min(times) for times in zip(*both))
    print(f"{os.cpu_count()} cores, {platform.machine()}, {platform.system()} {platform.release()}; "
          f"load {', '.join(f'{x:.1f}' for x in os.getloadavg())}")
    print(f"in full {own:.1f} ms, libjpeg-turbo {other:.1f} ms, ratio {own / other:.2f}")


if __name__ == "__main__":
    main()
