#!/usr/bin/env python3
"""Writes one table by Python's csv module in many dialects and encodings, and compares the cells that are read back.

usage: dialects.py CELLS
CELLS is the example `cells` of the crate `notes` (cargo build -p notes --example cells).
All delimiters, ways of quoting, line ends and encodings are tried on a few tables, and on random ones; the line that
each row begins at is counted apart. Ends with status 1 at the first difference.
"""
import csv
import io
import itertools
import json
import random
import subprocess
import sys

ENCODINGS = {"utf-8": "UTF-8", "utf-8-sig": "UTF-8", "utf-16-le": "UTF-16LE", "utf-16-be": "UTF-16BE", "cp1252": "windows-1252"}
MARKS = {"utf-16-le": b"\xff\xfe", "utf-16-be": b"\xfe\xff"}
RANDOM = 200
LEAST = 700

HEADER = ["Jar", "Uhrzeit", "Blüte", "Notes"]
TABLES = [
    [["A1", "10:23", "Klee", "plain"], ["A2", "10.25", "Wiesen-Flockenblume", "é ü ß"]],
    [["A1", "", "", "a \"quoted\" word"], ["A2", "1", "x, y; z", "two\nlines"], ["", "", "c|d", "tab\there"]],
    [["A1", "52,2001", "0,1203", "decimal commas"], ["A2", "52,2", "0,12", "again"], ["A3", "1,5", "2,5", ""]],
    [["A1", " blanks ", "=1+1", "#REF!"], ["A2", "'", "\"", "\"\""]],
]


def written(rows, delimiter, quoting, end):
    """The text, and the line at which each row begins."""
    text, lines = io.StringIO(newline=""), []
    writer = csv.writer(text, delimiter=delimiter, quoting=quoting, lineterminator=end)
    for row in rows:
        before = text.getvalue()
        lines.append(1 + before.count("\n") + (before.replace("\r\n", "").count("\r")))
        writer.writerow(row)
    return text.getvalue(), lines


def check(program, rows, delimiter, quoting, end, encoding):
    text, lines = written([HEADER] + rows, delimiter, quoting, end)
    given = MARKS.get(encoding, b"") + text.encode(encoding)
    said = json.loads(subprocess.run([program], input=given, capture_output=True, check=True).stdout)
    about = f"{delimiter!r}, quoting {quoting}, {end!r}, {encoding}: {text!r}"
    # Where Python does not read its own file back, it did not quote a line end.
    if list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)) != [HEADER] + rows:
        return 0
    expected = {
        "encoding": ENCODINGS[encoding],
        "delimiter": delimiter,
        "headers": HEADER,
        "rows": [{"line": line, "cells": row} for line, row in zip(lines[1:], rows)],
    }
    if said != expected:
        sys.exit(f"{about}\nread as {said}\ninstead of {expected}")
    return 1


def random_rows():
    cell = lambda: "".join(random.choice("ab ü,;|\t\"\n.5") for _ in range(random.randrange(6)))
    # A first cell with words, so that no row is empty.
    return [[f"J{number}"] + [cell() for _ in HEADER[1:]] for number in range(random.randrange(8, 20))]


def main():
    random.seed(20260614)
    quotings, ends = (csv.QUOTE_MINIMAL, csv.QUOTE_ALL, csv.QUOTE_NONNUMERIC), ("\r\n", "\n", "\r")
    count = 0
    for case in itertools.product(TABLES, ",;\t|", quotings, ends, ENCODINGS):
        count += check(sys.argv[1], *case)
    for _ in range(RANDOM):
        count += check(sys.argv[1], random_rows(), random.choice(",;\t|"), random.choice(quotings), random.choice(ends), random.choice(list(ENCODINGS)))
    if count < LEAST:
        sys.exit(f"only {count} files could be compared")
    print(f"{count} files read as written")


main()
