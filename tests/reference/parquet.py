#!/usr/bin/env python3
"""Checks a data set in columns with two outside readers, pyarrow and duckdb: every cell against the table of the same export.

usage: parquet.py ENDLEAF DATASET SCRATCH CARD
DATASET is the example of that name of the crate `exchange`. The card is noted with the notebook and walk beside it and filed.
"""
import csv
import os
import shutil
import subprocess
import sys

import duckdb
import pyarrow.dataset

DAY = "2026-11-25"


def run(*words, env):
    done = subprocess.run(words, env=env, capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{' '.join(words)}: {done.stdout}{done.stderr}")


def as_written(cell):
    """A cell without the apostrophe that keeps spreadsheets from running it."""
    return cell[1:] if cell[:1] == "'" and cell[1:2] in tuple("=+-@＝＋－＠") else cell


def main():
    program, dataset, scratch, card = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), sys.argv[3], sys.argv[4]
    work = os.path.join(scratch, "parquet")
    shutil.rmtree(work, ignore_errors=True)
    os.makedirs(work)
    archive, columns, tables = (os.path.join(work, name) for name in ("archive", "columns", "tables"))
    env = dict(os.environ, ENDLEAF_HOME=os.path.join(work, "home"))
    beside = os.path.dirname(os.path.abspath(card))
    noted = ["--notebook", os.path.join(beside, "notebook.csv"), "--track", os.path.join(beside, "walk.gpx")]
    run(program, "note", card, *noted, env=env)
    run(program, "file", card, "--into", archive, env=env)
    run(dataset, archive, columns, tables, DAY, env=env)
    run(dataset, archive, f"{columns}-again", f"{tables}-again", DAY, env=env)

    with open(os.path.join(tables, "occurrence.csv"), encoding="utf-8-sig", newline="") as file:
        headings, *rows = csv.reader(file)
    expected = sorted([as_written(cell) for cell in row] for row in rows)
    if not expected:
        sys.exit("there are no rows to compare")
    date = headings.index("eventDate")
    months = sorted({(int(row[date][:4]), int(row[date][5:7])) for row in expected})
    files = sorted(os.path.relpath(os.path.join(above, name), columns) for above, _, names in os.walk(columns) for name in names)
    if files != sorted(f"year={year}/month={month}/part-0.parquet" for year, month in months):
        sys.exit(f"files {files}, months {months}")
    for path in files:
        with open(os.path.join(columns, path), "rb") as one, open(os.path.join(f"{columns}-again", path), "rb") as other:
            if one.read() != other.read():
                sys.exit(f"{path} differs when written again")

    read = pyarrow.dataset.dataset(columns, partitioning="hive").to_table()
    if read.column_names != [*headings, "year", "month"]:
        sys.exit(f"pyarrow reads {read.column_names}")
    by_arrow = [[row[name] for name in read.column_names] for row in read.to_pylist()]
    names = ", ".join(f'"{name}"' for name in read.column_names)
    by_duck = duckdb.sql(f"SELECT {names} FROM read_parquet('{columns}/**/*.parquet', hive_partitioning = true)").fetchall()
    for reader, found in (("pyarrow", by_arrow), ("duckdb", [list(row) for row in by_duck])):
        if sorted(row[:-2] for row in found) != expected:
            sys.exit(f"{reader} reads other cells than the table has")
        if sorted({(int(year), int(month)) for *_, year, month in found}) != months:
            sys.exit(f"{reader} reads other months than {months}")
    print(f"{len(expected)} rows, {len(expected) * len(headings)} cells: alike by pyarrow, duckdb and the table")


if __name__ == "__main__":
    main()
