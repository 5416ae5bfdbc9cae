#!/usr/bin/env python3
"""Compares capture times, order and sizes as Endleaf reads them with what Pillow reads.

usage: exif_times.py ENDLEAF CARD...
Reads `ENDLEAF split CARD --json` and, for each JPEG frame, the Exif tags DateTimeOriginal (9003), SubSecTimeOriginal
(9291) and OffsetTimeOriginal (9011) by Pillow (CIPA DC-008). Prints each difference; ends with status 1 if there is any.
needs: pip install pillow
"""
import json
import os
import subprocess
import sys

from PIL import Image


def pillow_time(path):
    with Image.open(path) as picture:
        exif = picture.getexif().get_ifd(0x8769)
    when = str(exif.get(0x9003, "")).strip("\0 ")
    if not when:
        return None
    date, time = when.split(" ")
    fraction = str(exif.get(0x9291, "")).strip("\0 ")
    offset = str(exif.get(0x9011, "")).strip("\0 ")
    return date.replace(":", "-") + "T" + time + ("." + fraction if fraction else "") + offset


def main():
    program, cards = sys.argv[1], sys.argv[2:]
    compared = differences = 0
    for card in cards:
        result = json.loads(subprocess.run([program, "split", card, "--json"], check=True, capture_output=True).stdout)
        times = []
        for frame in result["frames"]:
            if not frame["path"].lower().endswith((".jpg", ".jpeg")):
                continue
            try:
                expected = pillow_time(os.path.join(card, frame["path"]))
            except (OSError, SyntaxError):
                continue  # what Pillow cannot open is no reference
            if expected is None:
                continue
            compared += 1
            times.append(expected)
            if frame["taken"] != expected:
                differences += 1
                print(f"{card} {frame['path']}: {frame['taken']} is not {expected}")
        if times != sorted(times):
            differences += 1
            print(f"{card}: frames are not in the order of their capture times")
    print(f"{compared} capture times compared with Pillow, {differences} differences")
    sys.exit(1 if differences or not compared else 0)


if __name__ == "__main__":
    main()
