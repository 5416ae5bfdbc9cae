#!/usr/bin/env python3
"""Checks the sidecars of an archive with an independent reader, exiv2: every property reads back as the sidecar says.

usage: sidecars.py ENDLEAF SCRATCH CARD...
Each card is filed once as it is and once with a sidecar beside its first picture, written by exiv2 itself. What is expected
is taken from the XML by this script's own small reader (xml.etree of Python), what is found from exiv2.
"""
import os
import shutil
import subprocess
import sys
import xml.etree.ElementTree as tree

RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
SPACES = {
    "dc": "http://purl.org/dc/elements/1.1/", "xmp": "http://ns.adobe.com/xap/1.0/", "ac": "http://rs.tdwg.org/ac/terms/",
    "exif": "http://ns.adobe.com/exif/1.0/", "photoshop": "http://ns.adobe.com/photoshop/1.0/",
    "dwc": "http://rs.tdwg.org/dwc/terms/", "tiff": "http://ns.adobe.com/tiff/1.0/",
    "xmpRights": "http://ns.adobe.com/xap/1.0/rights/",
}
PREFIX = {uri: prefix for prefix, uri in SPACES.items()}


def expected(path):
    """The values of each property, by exiv2's name for it."""
    found = {}
    for description in tree.parse(path).getroot().iter(f"{RDF}Description"):
        for element in description:
            uri, name = element.tag[1:].split("}")
            items = [item.text or "" for item in element.iter(f"{RDF}li")]
            resource = element.get(f"{RDF}resource")
            values = items or ([resource] if resource else [element.text or ""])
            found[f"Xmp.{PREFIX.get(uri, uri)}.{name}"] = values
    return found


def read(path):
    """What exiv2 reads, by name."""
    said = subprocess.run(["exiv2", "-PXkt", path], capture_output=True, text=True)
    if said.returncode not in (0, 253) or "Error" in said.stderr:
        sys.exit(f"exiv2 does not read {path}: {said.stderr}")
    return dict((line.split(None, 1) + [""])[:2] for line in said.stdout.splitlines() if line.startswith("Xmp."))


def check(path):
    """Compares one sidecar; gives the number of properties."""
    wanted, found = expected(path), read(path)
    for name, values in wanted.items():
        if name not in found:
            sys.exit(f"{name} is not read by exiv2: {path}")
        there = found[name]
        for value in values:
            # exiv2 says times in its own form, and languages beside a text.
            if value not in there and "Date" not in name and "GPS" not in name:
                sys.exit(f"{name} reads as {there!r} instead of {value!r}: {path}")
    return len(wanted)


def file_card(program, scratch, card):
    archive = os.path.join(scratch, "sidecar-archive")
    shutil.rmtree(archive, ignore_errors=True)
    env = dict(os.environ, ENDLEAF_HOME=os.path.join(scratch, "sidecar-home"))
    shutil.rmtree(env["ENDLEAF_HOME"], ignore_errors=True)
    # What someone wrote of the day stands in the sidecars too.
    notes = [os.path.join(os.path.dirname(card), name) for name in ("notebook.csv", "walk.gpx")]
    if all(os.path.exists(path) for path in notes):
        subprocess.run([program, "note", card, "--notebook", notes[0], "--track", notes[1]], check=True, env=env,
                       stdout=subprocess.DEVNULL)
    subprocess.run([program, "file", card, "--into", archive], check=True, env=env, stdout=subprocess.DEVNULL)
    return [os.path.join(top, name) for top, _, names in os.walk(archive) for name in sorted(names) if name.endswith(".xmp")]


def main():
    program, scratch, cards = os.path.abspath(sys.argv[1]), sys.argv[2], sys.argv[3:]
    for card in cards:
        sidecars = file_card(program, scratch, card)
        properties = sum(check(path) for path in sidecars)
        if not sidecars or properties < 6 * len(sidecars):
            sys.exit(f"{properties} properties in {len(sidecars)} sidecars: {card}")
        print(f"{len(sidecars)} sidecars, {properties} properties read back by exiv2: {card}")
    # One that comes with its picture.
    copy = os.path.join(scratch, "sidecar-card")
    shutil.rmtree(copy, ignore_errors=True)
    shutil.copytree(cards[0], copy)
    first = sorted(os.path.join(top, n) for top, _, names in os.walk(copy) for n in names if n.lower().endswith(".jpg"))[0]
    incoming = os.path.splitext(first)[0] + ".xmp"
    commands = ["set Xmp.dc.creator XmpSeq A. Example", "set Xmp.dc.rights LangAlt CC BY 4.0", "set Xmp.xmp.Rating 3",
                "set Xmp.dc.subject XmpBag meadow", "set Xmp.tiff.Make Examplar"]
    with open(incoming, "w", encoding="utf-8") as out:
        out.write('<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"/>'
                  '</x:xmpmeta>')
    subprocess.run(["exiv2", *[f"-M{command}" for command in commands], incoming], check=True)
    sidecars = file_card(program, scratch, copy)
    original = [path for path in sidecars if path.endswith(".original.xmp")]
    if len(original) != 1 or open(original[0], "rb").read() != open(incoming, "rb").read():
        sys.exit(f"the sidecar that came is not filed byte for byte: {original}")
    merged = original[0].replace(".original.xmp", ".xmp")
    check(merged)
    before, after = read(incoming), read(merged)
    lost = {name: value for name, value in before.items() if after.get(name) != value}
    if lost or len(before) < len(commands):
        sys.exit(f"lost in merging: {lost}; {before}")
    print(f"{len(before)} properties of a sidecar that came with its picture are in the merged one, of {len(after)}")


if __name__ == "__main__":
    main()
