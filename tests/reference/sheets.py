#!/usr/bin/env python3
"""Checks contact sheets, labels and the retake list with outside readers: qpdf, poppler, zxing-cpp, html5lib.

usage: sheets.py ENDLEAF EXAMPLE SCRATCH CARD
EXAMPLE is the built example `sheets` of the crate `exchange`. The card is noted with the notebook and walk beside it and filed;
its views are confirmed as the card's maker drew them, but for those of the last animal. Each reader is shown to miss nothing by
a planted mistake: see `caught`.
"""
import csv
import glob
import hashlib
import io
import json
import os
import re
import shutil
import subprocess
import sys
from html.parser import HTMLParser

import html5lib
import zxingcpp
from PIL import Image

PAPERS = {"A4": (595.276, 841.89), "Letter": (612.0, 792.0)}


def run(words, env=None):
    done = subprocess.run(words, env=env, capture_output=True)
    if done.returncode != 0:
        sys.exit(f"{' '.join(words)}: {done.stdout.decode(errors='replace')}{done.stderr.decode(errors='replace')}")
    return done.stdout.decode("utf-8", errors="replace")


def confirm(session_path, truth):
    """Confirms the views of all but the last animal, as drawn; writes them into the session's text."""
    text = open(session_path, encoding="utf-8").read()
    frames = [f for f in truth["frames"]]
    last = max(f["set"] for f in frames if f["set"])
    ids = dict((path, int(n)) for n, path in re.findall(r'id: (\d+),\s+files: \[\s*\(path: "([^"]+)"', text))
    anchors = re.findall(r"id: (\d+),\s+anchors: \[([\d, ]+)\]", text)
    owner = {int(frame): int(specimen) for specimen, own in anchors for frame in own.split(",")}
    labels = [f'{ids[f["path"]]}: (view: "{f["view"]}", specimen: {owner[ids[f["path"]]]})'
              for f in frames if f["set"] and f["set"] != last and f["view"] and owner.get(ids.get(f["path"])) is not None]
    if not labels:
        sys.exit("no view to confirm was found in the session")
    changed = text.replace("labels: {}", "labels: {" + ", ".join(labels) + "}", 1)
    names = ('determinations: [(name: "Bombus lucorum", qualifier: "cf.", by: "C. Example", date: "2026-07-02", standing: Accepted), '
             '(name: "Bombus hortorum", by: "D. Example", ground: "long face"), '
             '(name: "Bombus jonellus", by: "E. Example", standing: Superseded("worn"))], ')
    first = re.search(r"anchors: \[[\d, ]+\],\s+number: Some\(1\),[^\n]*\n", changed)
    changed = changed[: first.end()] + names + changed[first.end():]
    open(session_path, "w", encoding="utf-8").write(changed)
    return len(labels)


def is_sound(path):
    return subprocess.run(["qpdf", "--check", path], capture_output=True).returncode == 0


def fonts_embedded(path):
    """How many fonts there are; all of them embedded, subset and with a table of what their glyphs say."""
    rows = run(["pdffonts", path]).splitlines()[2:]
    for row in rows:
        if not re.search(r"yes\s+yes\s+yes\s+\d+\s+\d+$", row):
            sys.exit(f"{path}: {row}")
    return len(rows)


def page_sizes(path, paper):
    size = re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", run(["pdfinfo", path]))
    found = tuple(float(v) for v in size.groups())
    if any(abs(a - b) > 0.01 for a, b in zip(found, PAPERS[paper])):
        sys.exit(f"{path} is {found}, not {paper}")


def words_of(path, page=None, raw=True):
    pages = ["-f", str(page), "-l", str(page)] if page else []
    return run(["pdftotext", *pages, *(["-raw"] if raw else []), path, "-"]).replace("\u00a0", " ").split()


def in_order(words, wanted):
    """Whether the words stand in the text one after the other, without others between them."""
    wanted = wanted.split()
    return any(words[at : at + len(wanted)] == wanted for at in range(len(words) - len(wanted) + 1))


def codes(path, work, dpi=200):
    """Texts of all QR codes on all pages, by an independent reader."""
    stem = os.path.join(work, "page")
    for old in glob.glob(stem + "*"):
        os.remove(old)
    run(["pdftoppm", "-r", str(dpi), "-gray", "-png", path, stem])
    found = []
    for page in sorted(glob.glob(stem + "*.png")):
        found += [code.text for code in zxingcpp.read_barcodes(Image.open(page), formats=zxingcpp.BarcodeFormat.QRCode)]
    return found


class Addresses(HTMLParser):
    """All addresses in a page."""

    def __init__(self):
        super().__init__()
        self.found, self.pictures, self.scripts = [], [], 0

    def handle_starttag(self, tag, attrs):
        self.scripts += tag == "script"
        for name, value in attrs:
            if name in ("src", "href", "srcset", "data", "action", "poster"):
                (self.pictures if tag == "img" else self.found).append(value)


def outward(text):
    page = Addresses()
    page.feed(text)
    out = [a for a in page.found if not a.startswith("#")] + [a for a in page.pictures if not a.startswith("data:image/jpeg;base64,")]
    return out + re.findall(r"url\([^)]*\)|@import[^;]*", text) + ["script"] * page.scripts


def told(out, folder):
    """All that a reader is told by the contact sheets: words, titles, bookmarks, and the page for browsers."""
    said = open(os.path.join(out, f"{folder}-sheets.html"), encoding="utf-8").read()
    for paper in PAPERS:
        path = os.path.join(out, f"{folder}-sheets-{paper}.pdf")
        said += " ".join(words_of(path)) + run(["pdfinfo", path]) + run(["pdfinfo", "-meta", path]) + run(["qpdf", "--json=2", "--json-key=outlines", path])
    said += " ".join(words_of(os.path.join(out, f"{folder}-drawer-A4.pdf")))
    return re.sub(r"base64,[^\"]*", "", said).replace("\u00a0", " ")


def coarsened(example, archive, folder, work, note):
    """Makes the animal of a note sensitive, and looks for its place, time, number and jar. Gives how many words it looked for."""
    session = os.path.join(archive, folder, "session.ron")
    text = open(session, encoding="utf-8").read()
    own = re.search(r'number: Some\(3\),.*?fields: \{coordinates: \(text: "([^"]+)"', text, re.S)
    latitude, longitude = own.group(1).split(", ")
    secrets = [latitude, f"jar {note['Jar']}<", f"{note['Caught at']}", "Specimen 3<", "Specimen 3,", "salt-marsh"]
    before = told(os.path.join(work, "out"), folder)
    missed = [secret for secret in secrets if secret not in before]
    if missed:
        sys.exit(f"the search does not find {missed}")
    open(session, "w", encoding="utf-8").write(text[: own.start(1)] + text[own.start(1):].replace("coordinateUncertaintyInMeters", 'sensitivity: (text: "high"), coordinateUncertaintyInMeters', 1))
    run([example, archive, os.path.join(work, "coarsened")])
    after = told(os.path.join(work, "coarsened"), folder)
    hits = [secret for secret in secrets if secret in after]
    if hits or "withheld" not in after:
        sys.exit(f"told of a coarsened animal: {hits}")
    return len(secrets)


def main():
    endleaf, example = (os.path.abspath(path) for path in sys.argv[1:3])
    work, card = os.path.join(sys.argv[3], "sheets"), sys.argv[4]
    shutil.rmtree(work, ignore_errors=True)
    os.makedirs(work)
    archive, out = os.path.join(work, "archive"), os.path.join(work, "out")
    env = dict(os.environ, ENDLEAF_HOME=os.path.join(work, "home"))
    beside = os.path.dirname(os.path.abspath(card))
    book = os.path.join(beside, "notebook.csv")
    run([endleaf, "note", card, "--notebook", book, "--track", os.path.join(beside, "walk.gpx")], env)
    run([endleaf, "file", card, "--into", archive], env)
    folder = next(name for name in os.listdir(archive) if os.path.isdir(os.path.join(archive, name)) and name != "home")
    truth = json.load(open(os.path.join(beside, "expected.json"), encoding="utf-8"))
    confirmed = confirm(os.path.join(archive, folder, "session.ron"), truth)
    run([example, archive, out])
    notes = list(csv.DictReader(line for line in open(book, encoding="utf-8") if not line.startswith("An invented")))

    documents = sorted(glob.glob(os.path.join(out, "*.pdf")))
    for path in documents:
        paper = "Letter" if "Letter" in os.path.basename(path) else "A4"
        page_sizes(path, paper)
        if not is_sound(path) or fonts_embedded(path) == 0:
            sys.exit(f"{path} is not sound, or has no fonts")
    torn = os.path.join(work, "torn.pdf")
    data = open(documents[0], "rb").read()
    open(torn, "wb").write(data[: len(data) // 2])
    if is_sound(torn):
        sys.exit("qpdf does not miss half of a document")

    made = sorted(glob.glob(os.path.join(out, f"{folder}-pictures", "*.jpg")))
    sums = sorted({hashlib.sha256(open(path, "rb").read()).hexdigest() for path in made})
    fields = 0
    for paper in PAPERS:
        path = os.path.join(out, f"{folder}-sheets-{paper}.pdf")
        # Pictures as they were handed in, byte for byte, each once.
        there = os.path.join(work, f"images-{paper}")
        os.makedirs(there)
        run(["pdfimages", "-all", path, os.path.join(there, "x")])
        found = sorted({hashlib.sha256(open(p, "rb").read()).hexdigest() for p in glob.glob(os.path.join(there, "*"))})
        if found != sums or not all(p.endswith(".jpg") for p in os.listdir(there)):
            sys.exit(f"{path}: {len(found)} pictures of {len(sums)}, or other bytes")
        # What the notebook says stands on the specimen's page.
        info = run(["pdfinfo", path])
        pages = int(re.search(r"Pages:\s+(\d+)", info).group(1))
        if "Tagged:          yes" not in info or not re.search(r"Title:\s+\S", info) or "2026" not in info:
            sys.exit(f"{path}: {info}")
        first = pages - len(notes) + 1
        for nth, note in enumerate(notes):
            words = words_of(path, first + nth)
            for column in ("No", "Jar", "Behaviour", "Sex", "Caste", "Notes", "Plant", "Caught at"):
                value = (note.get(column) or "").strip()
                wanted = {"No": f"Specimen {value},", "Jar": f"jar {value}"}.get(column, value)
                if value:
                    fields += 1
                    if column in ("Sex", "Caste"):
                        words_here = [word.strip(",") for word in words]
                    else:
                        words_here = words
                    if not in_order(words_here, wanted):
                        sys.exit(f"{path}, page {first + nth}: {wanted!r} is not in {' '.join(words)}")
        one = words_of(path, first)
        for wanted in ("accepted: Bombus cf. lucorum", "C. Example; 2026-07-02", "dissents: Bombus hortorum", "D. Example; long face",
                       "no longer holds: Bombus jonellus", "Abdomen tip", "female ♀, worker ☿"):
            if not in_order(one, wanted):
                sys.exit(f"{path}: {wanted!r} is not in {' '.join(one)}")
        if in_order(one, "Bombus lucorum cf."):
            sys.exit("words are found in any order")
        if not in_order(words_of(path, pages), "not confirmed"):
            sys.exit(f"{path}: what nobody confirmed is not told")

    # The codes of all labels, by another reader.
    for path in documents:
        name = os.path.basename(path)
        if name.startswith("jars-"):
            if sorted(codes(path, work), key=int) != [str(n) for n in range(1, 41)]:
                sys.exit(f"{path}: {codes(path, work)}")
        elif "-drawer-" in name:
            text = " ".join(words_of(os.path.join(out, f"{folder}-sheets-A4.pdf")))
            urns = codes(path, work)
            if len(set(urns)) != len(notes) or not all(urn in text.replace(" ", "") for urn in urns):
                sys.exit(f"{path}: {urns}")
    # The page for browsers.
    text = open(os.path.join(out, f"{folder}-sheets.html"), encoding="utf-8").read()
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    tree = parser.parse(io.StringIO(text))
    if tree.get("lang") != "en" or not tree.findtext("head/title") or any(not img.get("alt") for img in tree.iter("img")):
        sys.exit("the page says no language or title, or a picture has no words")
    if outward(text) or not outward(text.replace('href="#', 'href="https://example.org/#', 1)):
        sys.exit(f"addresses lead out, or are not found: {outward(text)[:3]}")
    ids = {element.get("id") for element in tree.iter("section")}
    links = {a.get("href")[1:] for a in tree.iter("a")}
    if ids != links or len(ids) != len(notes):
        sys.exit("links do not lead to each specimen")
    secrets = coarsened(example, archive, folder, work, [n for n in notes if n["No"] == "3"][0])
    print(f"{secrets} words of a coarsened place found before, and nowhere after")
    print(f"{len(documents)} documents, {confirmed} confirmed views, {len(sums)} pictures byte for byte, {fields} fields in order, "
          f"{5 * 40 + 40 + 2 * len(notes)} codes: {card}")


if __name__ == "__main__":
    main()
