#!/usr/bin/env python3
"""Checks an exported Darwin Core archive with outside readers: lxml for the schema, python-dwca-reader for every cell.

usage: darwin_core.py ENDLEAF SCRATCH CARD [SCHEMA]
The card is noted with the notebook and walk beside it, filed and exported. SCHEMA is the text schema of the Darwin Core text
guide (2023-09-13); without it that one check is left out, and said. Cells are compared with Python's own csv module, with the
notebook, and with the filed pictures; the rules that the schema misses are in `rules`, and each is shown to catch its mistake.
"""
import csv
import hashlib
import io
import json
import os
import re
import shutil
import subprocess
import sys
import uuid
import zipfile

from dwca.read import DwCAReader
from lxml import etree

NS = {"t": "http://rs.tdwg.org/dwc/text/"}
DWC = "http://rs.tdwg.org/dwc/terms/"
BASE = "https://example.org/pictures"
NAMESPACE = uuid.UUID("3f61e403-8f9f-4d9f-89e8-53bc36cfb14b")
DATE = re.compile(r"\d{4}-\d\d-\d\d")


def run(program, env, *words):
    done = subprocess.run([program, *words], env=env, capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"endleaf {' '.join(words)}: {done.stdout}{done.stderr}")
    return done.stdout


def is_of_schema(meta, schema_path):
    """Whether meta.xml keeps to the schema. Its two imports, of schemas it never uses, are dropped; nothing is fetched."""
    parser = etree.XMLParser(no_network=True)
    schema = etree.parse(schema_path, parser)
    for imported in schema.getroot().findall("{http://www.w3.org/2001/XMLSchema}import"):
        schema.getroot().remove(imported)
    return etree.XMLSchema(schema).validate(etree.fromstring(meta, parser))


def tables(files):
    """Of each table: element, index of its id, terms by index, and rows; read by lxml and Python's csv module."""
    for element in etree.fromstring(files["meta.xml"]):
        name = element.find("t:files/t:location", NS).text
        ids = element.find("t:id", NS) if element.tag.endswith("core") else element.find("t:coreid", NS)
        fields = [(int(f.get("index")), f.get("term")) for f in element.findall("t:field", NS)]
        rows = list(csv.reader(io.StringIO(files[name].decode("utf-8"), newline="")))
        yield name, element, ids, fields, rows


def rules(files):
    """What is wrong beside what the schema sees."""
    wrong = []
    core_ids = None
    for name, element, ids, fields, rows in tables(files):
        header, rows = rows[0], rows[1:]
        terms = [term for _, term in fields]
        if ids is None:
            wrong.append(f"{name} has no id")
            continue
        if element.get("ignoreHeaderLines") != "1":
            wrong.append(f"{name} does not say that it has a line of headings")
        if len(set(terms)) != len(terms):
            wrong.append(f"{name} has a term twice")
        if any(index >= len(header) for index, _ in fields):
            wrong.append(f"{name} has an index beyond the row")
        if any(term.rsplit("/", 1)[-1] != header[index] for index, term in fields if index < len(header)):
            wrong.append(f"{name}: headings are not the terms")
        if any(len(row) != len(header) for row in rows):
            wrong.append(f"{name}: rows differ in length")
        if any("\n" in cell or "\r" in cell for row in rows for cell in row):
            wrong.append(f"{name}: a line break in a cell")
        keys = [row[int(ids.get("index"))] for row in rows]
        if core_ids is None:
            core_ids = set(keys)
            if len(core_ids) != len(keys):
                wrong.append("an id of the core stands twice")
            for row in (dict(zip(header, row)) for row in rows):
                if not DATE.fullmatch(row["eventDate"]):
                    wrong.append(f"eventDate {row['eventDate']!r}")
                placed = bool(row["decimalLatitude"]), bool(row["decimalLongitude"]), bool(row["geodeticDatum"])
                if len(set(placed)) != 1:
                    wrong.append("a place is not whole")
                uncertainty = row["coordinateUncertaintyInMeters"]
                if uncertainty and (not placed[0] or float(uncertainty) <= 0):
                    wrong.append(f"uncertainty {uncertainty}")
                if row["coordinatePrecision"] and not row["dataGeneralizations"]:
                    wrong.append("a coarsened record does not say so")
        elif set(keys) - core_ids:
            wrong.append(f"{name}: a coreid is none of the core's ids")
    return wrong


def caught(files, name, old, new, words):
    """Shows that a planted mistake is found."""
    planted = dict(files)
    planted[name] = files[name].replace(old, new, 1)
    if planted[name] == files[name] or not any(words in wrong for wrong in rules(planted)):
        sys.exit(f"the mistake was not caught: {words}: {rules(planted)}")


def read_back(path, files):
    """Compares every cell that python-dwca-reader reads with what Python's csv module reads; gives how many."""
    cells = 0
    with DwCAReader(path) as archive:
        expected = {name: (fields, rows) for name, _, _, fields, rows in tables(files)}
        core_fields, core_rows = expected["occurrence.csv"]
        kinds = {element.get("rowType"): name for name, element, *_ in tables(files)}
        left = {name: len(rows) - 1 for name, (_, rows) in expected.items()}
        for row, wanted in zip(archive.rows, core_rows[1:], strict=True):
            left["occurrence.csv"] -= 1
            if row.id != wanted[0]:
                sys.exit(f"id {row.id} instead of {wanted[0]}")
            for index, term in core_fields:
                cells += 1
                if row.data[term] != wanted[index]:
                    sys.exit(f"{term}: {row.data[term]!r} instead of {wanted[index]!r}")
            for extension in row.extensions:
                name = kinds[extension.rowtype]
                fields, rows = expected[name]
                left[name] -= 1
                found = [extension.data[term] for _, term in sorted(fields)]
                if found not in rows[1:]:
                    sys.exit(f"{name}: {found} is not in the file")
                cells += len(found)
        if any(left.values()):
            sys.exit(f"rows that were not read back: {left}")
    return cells


def main():
    program, scratch, card = os.path.abspath(sys.argv[1]), sys.argv[2], sys.argv[3]
    schema = sys.argv[4] if len(sys.argv) > 4 else None
    work = os.path.join(scratch, "darwin-core")
    shutil.rmtree(work, ignore_errors=True)
    os.makedirs(work)
    archive, path, folder = (os.path.join(work, name) for name in ("archive", "data.zip", "tables"))
    env = dict(os.environ, ENDLEAF_HOME=os.path.join(work, "home"))
    beside = os.path.dirname(os.path.abspath(card))
    book = os.path.join(beside, "notebook.csv")
    run(program, env, "note", card, "--notebook", book, "--track", os.path.join(beside, "walk.gpx"))
    run(program, env, "file", card, "--into", archive)
    options = ["--media-base", BASE, "--people", "--csv", folder]
    run(program, env, "export", archive, "--darwin-core", path, *options)
    again = os.path.join(work, "again.zip")
    run(program, env, "export", archive, "--darwin-core", again, "--media-base", BASE, "--people")
    if open(path, "rb").read() != open(again, "rb").read():
        sys.exit("two exports differ")
    with zipfile.ZipFile(path) as zipped:
        files = {name: zipped.read(name) for name in zipped.namelist()}

    if schema and os.path.exists(schema):
        if not is_of_schema(files["meta.xml"], schema):
            sys.exit("meta.xml is not of the schema")
        without = files["meta.xml"].replace(b' rowType="http://rs.tdwg.org/dwc/terms/Occurrence"', b"")
        if is_of_schema(without, schema):
            sys.exit("the schema does not miss a rowType")
        print("meta.xml is of the schema")
    else:
        print("skipped: no schema of the text guide at hand")
    if rules(files):
        sys.exit("\n".join(rules(files)))
    first = files["occurrence.csv"].split(b"\n")[1]
    caught(files, "meta.xml", b'    <id index="0"/>\n', b"", "has no id")
    caught(files, "occurrence.csv", first + b"\n", b"", "none of the core's ids")
    caught(files, "occurrence.csv", first, first + b"\n" + first, "stands twice")
    caught(files, "meta.xml", b'ignoreHeaderLines="1"', b'ignoreHeaderLines="0"', "line of headings")
    caught(files, "meta.xml", b'field index="1"', b'field index="99"', "beyond the row")
    caught(files, "meta.xml", b"terms/basisOfRecord", b"terms/occurrenceID", "a term twice")
    eml = etree.fromstring(files["eml.xml"])
    inside = [etree.QName(element).localname for element in eml.find("dataset")]
    order = ["title", "creator", "metadataProvider", "pubDate", "language", "abstract", "intellectualRights", "coverage", "contact"]
    if [name for name, before in zip(inside, [None, *inside]) if name != before] != order:
        sys.exit(f"eml.xml has {inside}")
    cells = read_back(path, files)

    # The notebook, read apart.
    notes = list(csv.DictReader(line for line in open(book, encoding="utf-8") if not line.startswith("An invented")))
    rows = {row["recordNumber"]: row for row in csv.DictReader(io.StringIO(files["occurrence.csv"].decode("utf-8")))}
    pairs = [("Jar", "fieldNumber"), ("Caught at", "eventTime"), ("Behaviour", "behavior"), ("Sex", "sex"), ("Caste", "caste"),
             ("Notes", "occurrenceRemarks")]
    for note in notes:
        for column, term in pairs:
            if rows[note["No"]][term] != note[column]:
                sys.exit(f"specimen {note['No']}: {term} is {rows[note['No']][term]!r}, the notebook says {note[column]!r}")
    # The pictures as they lie in the archive, and how many the card's maker drew.
    pictures = list(csv.DictReader(io.StringIO(files["media.csv"].decode("utf-8"))))
    for picture in pictures:
        data = open(os.path.join(archive, picture["providerManagedID"]), "rb").read()
        if hashlib.sha256(data).hexdigest() != picture["hashValue"] or not picture["accessURI"].startswith(BASE + "/"):
            sys.exit(f"{picture['providerManagedID']} is not as its row says")
        # Names as RFC 9562 has them, worked out by Python's uuid module.
        if picture["identifier"] != uuid.uuid5(NAMESPACE, f"media/{picture['hashValue']}").urn:
            sys.exit(f"{picture['identifier']} is not the name of {picture['hashValue']}")
    first_of = {picture["associatedObservationReference"]: picture["hashValue"] for picture in reversed(pictures)}
    for row in rows.values():
        if row["occurrenceID"] != uuid.uuid5(NAMESPACE, f"occurrence/{first_of[row['occurrenceID']]}").urn:
            sys.exit(f"{row['occurrenceID']} is not the name of its first picture")
    truth = json.load(open(os.path.join(beside, "expected.json"), encoding="utf-8"))
    drawn = sum(1 for frame in truth["frames"] if frame["set"] is not None)
    if len(pictures) != drawn or len(rows) != len(notes):
        sys.exit(f"{len(pictures)} pictures of {drawn}, {len(rows)} records of {len(notes)}")
    # The tables for people hold the same, but for cells that would run as formulas.
    for name, _, _, _, exact in tables(files):
        with open(os.path.join(folder, name), encoding="utf-8-sig", newline="") as table:
            for ours, theirs in zip(csv.reader(table), exact, strict=True):
                if any(a not in (b, "'" + b) or a.startswith(("=", "+", "@")) for a, b in zip(ours, theirs, strict=True)):
                    sys.exit(f"{name}: {ours} instead of {theirs}")
    print(f"{len(rows)} records, {len(pictures)} pictures, {cells} cells read back: {card}")


if __name__ == "__main__":
    main()
