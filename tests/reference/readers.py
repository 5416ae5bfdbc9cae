#!/usr/bin/env python3
"""Compares the camera data that Endleaf reads with what two independent readers make of the same files.

usage: readers.py CAMERA_DATA FOLDER...
CAMERA_DATA is the example of that name of the import crate. Pillow reads JPEGs, exiv2 every format it knows. Compared are
capture time, sub-second, offset, orientation, size, make, model, lens, focal length, focus distance and place, by the tags of CIPA DC-008; and that frames
stand in the order of their times: those of one body by what it said, all of them by the day's common clock.
A file that a reader cannot open is no reference. Prints each difference; ends with status 1 when there is any.
needs: pip install pillow; apt install exiv2
"""
import datetime
import json
import os
import re
import subprocess
import sys

from PIL import Image

# What Endleaf reads otherwise than a reader, and why it stands: (file, reader, field). At most three.
EXCEPTIONS = {}

# The steps of the ladder: date, sub-second and offset of the original, of digitizing, of the file.
LADDER = [(0x9003, 0x9291, 0x9011), (0x9004, 0x9292, 0x9012), (0x0132, 0x9290, 0x9010)]
EXIV2_NAMES = {
    0x9003: "Photo.DateTimeOriginal", 0x9291: "Photo.SubSecTimeOriginal", 0x9011: "Photo.OffsetTimeOriginal",
    0x9004: "Photo.DateTimeDigitized", 0x9292: "Photo.SubSecTimeDigitized", 0x9012: "Photo.OffsetTimeDigitized",
    0x0132: "Image.DateTime", 0x9290: "Photo.SubSecTime", 0x9010: "Photo.OffsetTime",
    0x010F: "Image.Make", 0x0110: "Image.Model", 0x0112: "Image.Orientation",
    0x920A: "Photo.FocalLength", 0x9206: "Photo.SubjectDistance", 0xA434: "Photo.LensModel",
    0xA435: "Photo.LensSerialNumber",
}


def plain(value):
    """Text without padding."""
    return " ".join(str(value if value is not None else "").replace("\0", " ").split())


def capture(tag):
    """Time, sub-second and offset from the first step whose date can be."""
    for date, fraction, offset in LADDER:
        try:
            when = datetime.datetime.strptime(plain(tag(date)), "%Y:%m:%d %H:%M:%S")
        except ValueError:
            continue
        return when.isoformat(), plain(tag(fraction)).rstrip("0"), plain(tag(offset)).replace("Z", "+00:00")
    return "", "", ""


def degrees(parts, hemisphere):
    """Degrees with sign; empty without a hemisphere or when they cannot be reckoned."""
    try:
        value = sum(float(part) / 60**i for i, part in enumerate(parts))
    except (TypeError, ValueError, ZeroDivisionError):
        return ""
    letter = plain(hemisphere).upper()[:1]
    if not parts or letter not in list("NSEW") or value != value:
        return ""
    return f"{-value if letter in 'SW' else value:.5f}"


def length(value):
    """A length above 0 that is finite; empty else. Exif writes infinity as all bits of the numerator."""
    try:
        over, _, under = str(value).partition("/")
        value = float(over) / float(under or 1)
    except (ValueError, ZeroDivisionError):
        return ""
    return f"{value:.4g}" if 0 < value < 0xFFFFFFFF else ""


def fields(tag, size, gps):
    taken, fraction, offset = capture(tag)
    turned = plain(tag(0x0112))
    return {
        "taken": taken, "sub-second": fraction, "offset": offset,
        "orientation": turned if turned in list("12345678") else "1",
        "size": size, "make": plain(tag(0x010F)), "model": plain(tag(0x0110)),
        "lens": plain(f"{tag(0xA434) or ''} {tag(0xA435) or ''}"),
        "focal length": length(tag(0x920A)), "focus distance": length(tag(0x9206)),
        "latitude": degrees(*gps[0]), "longitude": degrees(*gps[1]),
    }


def by_pillow(path):
    if not path.lower().endswith((".jpg", ".jpeg")):
        return None
    try:
        with Image.open(path) as picture:
            size, first = "x".join(map(str, picture.size)), picture.getexif()
        exif, gps = first.get_ifd(0x8769), first.get_ifd(0x8825)
    except (OSError, SyntaxError, ValueError, TypeError, KeyError):
        return None
    return fields(lambda tag: exif.get(tag, first.get(tag)), size, [(gps.get(2), gps.get(1)), (gps.get(4), gps.get(3))])


def by_exiv2(path):
    said = [subprocess.run(["exiv2", "-q", *how, path], capture_output=True) for how in (["-PEkv"], ["-ps"])]
    if any(s.returncode not in (0, 253) for s in said):  # 253: read, but without Exif data
        return None
    lines, summary = (s.stdout.decode("utf-8", "replace") for s in said)
    values = {}
    for line in lines.splitlines():
        key, _, value = line.partition(" ")
        if key.startswith("Exif."):
            values.setdefault(key[len("Exif."):], value)
    size = re.search(r"^Image size\s*: (\d+) x (\d+)", summary, re.M)

    def place(of):
        halves = [part.split("/") for part in values.get(f"GPSInfo.GPS{of}", "").split()]
        parts = [float(a) / float(b) if float(b) else float("nan") for a, b in halves]
        return parts, values.get(f"GPSInfo.GPS{of}Ref", "")

    # A raw's sizes include borders, and HEIC says its size unturned: only the others are compared.
    kept = path.lower().endswith((".jpg", ".jpeg", ".png", ".webp")) and size
    return fields(lambda tag: values.get(EXIV2_NAMES[tag]), "x".join(size.groups()) if kept else "",
                  [place("Latitude"), place("Longitude")])


def by_endleaf(frame):
    taken = re.match(r"(.{19})(?:\.(\d+))?(.*)$", frame["taken"] or "")
    date, fraction, offset = taken.groups("") if taken else ("", "", "")
    place = [f"{frame[f'{of}_deg']:.5f}" if frame[f"{of}_deg"] is not None else "" for of in ("latitude", "longitude")]
    return {
        "taken": date, "sub-second": fraction.rstrip("0"), "offset": offset,
        "orientation": str(frame["orientation"]), "size": "x".join(map(str, frame["size_px"] or [])),
        "make": plain(frame["make"]), "model": plain(frame["model"]), "latitude": place[0], "longitude": place[1],
        "lens": plain(frame["lens"]), "focal length": length(frame["focal_length_mm"]),
        "focus distance": length(frame["focus_distance_m"]),
    }


def out_of_order(frames):
    """Says which frames stand before an earlier one."""
    last = {}
    for frame in frames:
        body = (frame["make"], frame["model"], frame["serial"])
        for whose, time in ((body, frame["taken"]), ("the day", frame["when"])):
            # The offset is left out: bodies are compared on one clock, and one body keeps its own.
            if time is not None:
                clock = re.sub(r"[+-]\d\d:\d\d$", "", time)
                if clock < last.get(whose, ""):
                    yield f"{frame['path']}: {clock} stands behind {last[whose]} of {whose}"
                last[whose] = clock


def compare(folder, frames, reader, read):
    values, differences = 0, []
    for frame in frames:
        reference = read(os.path.join(folder, frame["path"]))
        if reference is None:
            continue
        values += sum(value != "" for value in reference.values())
        for field, own in by_endleaf(frame).items():
            # A reader that found no size found no picture.
            if own == reference[field] or (field == "size" and not reference[field]):
                continue
            if (os.path.basename(frame["path"]), reader, field) not in EXCEPTIONS:
                differences.append(f"{folder} {frame['path']}: {field} “{own}”, by {reader} “{reference[field]}”")
    return values, differences


def main():
    program, folders = sys.argv[1], sys.argv[2:]
    differences, compared = [], {"Pillow": 0, "exiv2": 0}
    for folder in folders:
        said = subprocess.run([program, folder], check=True, capture_output=True, text=True).stdout
        frames = [json.loads(line) for line in said.splitlines()]
        for reader, read in (("Pillow", by_pillow), ("exiv2", by_exiv2)):
            values, more = compare(folder, frames, reader, read)
            compared[reader] += values
            differences += more
        # A card is one day; the camera files beside it come from everywhere.
        if os.path.basename(folder.rstrip("/")) == "card":
            differences += out_of_order(frames)
    for difference in differences:
        print(difference)
    for reader, values in compared.items():
        print(f"{values} values compared with {reader}")
    print(f"{len(differences)} differences, {len(EXCEPTIONS)} exceptions")
    sys.exit(1 if differences or 0 in compared.values() or len(EXCEPTIONS) > 3 else 0)


if __name__ == "__main__":
    main()
