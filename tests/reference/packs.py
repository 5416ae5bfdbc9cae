#!/usr/bin/env python3
"""Checks a pack for a specialist with outside readers: exiv2 for what each picture says of itself, html5lib for the page.

usage: packs.py ENDLEAF SCRATCH CARD
The card is noted with the notebook and walk beside it, filed and packed. Of each picture the XMP is compared with the table of
the pack, and there is no Exif or IPTC; the page names no address and every picture it shows is there.
"""
import csv
import os
import shutil
import subprocess
import sys

import html5lib


def run(*words, env=None):
    done = subprocess.run(words, env=env, capture_output=True, text=True)
    if done.returncode not in (0, 253):  # 253: exiv2 found no metadata of that kind
        sys.exit(f"{' '.join(words)}: {done.stdout}{done.stderr}")
    return done.stdout


def xmp(path):
    values = {}
    for line in run("exiv2", "-q", "-PXkv", path).splitlines():
        key, _, value = line.partition(" ")
        values.setdefault(key, []).append(value.strip())
    return values


def main():
    program, scratch, card = sys.argv[1:]
    work = os.path.join(scratch, "packs")
    shutil.rmtree(work, ignore_errors=True)
    os.makedirs(work)
    archive, pack = os.path.join(work, "archive"), os.path.join(work, "pack")
    env = dict(os.environ, ENDLEAF_HOME=os.path.join(work, "home"))
    beside = os.path.dirname(os.path.abspath(card))
    run(program, "note", card, "--notebook", os.path.join(beside, "notebook.csv"),
        "--track", os.path.join(beside, "walk.gpx"), env=env)
    run(program, "file", card, "--into", archive, env=env)
    run(program, "export", archive, "--pack", pack, "--people", env=env)

    wrong, read = [], 0
    with open(os.path.join(pack, "summary.csv"), encoding="utf-8-sig", newline="") as table:
        rows = list(csv.DictReader(table))
    for row in rows:
        for name in row["pictures"].split(" | "):
            path = os.path.join(pack, name)
            said = xmp(path)
            expected = {"Xmp.dwc.occurrenceID": row["occurrenceID"], "Xmp.dwc.eventDate": row["date"],
                        "Xmp.xmpRights.WebStatement": row["license"]}
            for key, value in expected.items():
                if said.get(key, [""]) != [value]:
                    wrong.append(f"{name}: {key} is {said.get(key)}, not {value}")
                read += bool(value)
            title = said.get("Xmp.dc.title", [""])[0]
            if row["specimen"] not in title:
                wrong.append(f"{name}: the title is {title}")
            for kind in ("-PEkv", "-PIkv"):
                if run("exiv2", "-q", kind, path).strip():
                    wrong.append(f"{name}: more than XMP is in it")
    with open(os.path.join(pack, "index.html"), "rb") as page:
        tree = html5lib.HTMLParser(strict=True).parse(page.read())
    shown = 0
    for element in tree.iter():
        for attribute, value in element.attrib.items():
            if attribute in ("src", "href") and not value.startswith("#"):
                shown += attribute == "src"
                if ":" in value or not os.path.exists(os.path.join(pack, value)):
                    wrong.append(f"the page leads to {value}")
    if wrong or not rows or not read or not shown:
        sys.exit("\n".join(wrong) or "nothing was compared")
    print(f"{len(rows)} specimens, {shown} pictures on the page, {read} properties read back by exiv2")


if __name__ == "__main__":
    main()
