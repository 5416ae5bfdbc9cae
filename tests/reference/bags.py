#!/usr/bin/env python3
"""Checks bags both ways with an outside reader, the `bagit` package: ours by it, its own by ours, and damaged ones by both.

usage: bags.py ENDLEAF BAGS SCRATCH CARD
BAGS is the example of that name of the crate `exchange`. The card is filed; its session is packed twice, and each bag damaged in
every way of `damages`. A bag whose name needs the percent sign encoded is checked by Endleaf alone, since `bagit` 1.9 knows
only the line ends.
"""
import hashlib
import json
import logging
import os
import shutil
import subprocess
import sys

import bagit

DAY = "2026-11-25"


def run(*words, env=None):
    return subprocess.run(words, env=env, capture_output=True, text=True)


def by_bagit(path):
    """Whether `bagit` takes a folder for a valid bag, and what it says."""
    try:
        bagit.Bag(path).validate(processes=1)
        return True, ""
    except (bagit.BagError, bagit.BagValidationError) as fault:
        return False, str(fault)


def by_endleaf(program, path, *options):
    """Whether Endleaf's audit takes a folder for a valid bag, and its findings."""
    done = run(program, "audit", path, "--json", *options)
    if done.returncode not in (0, 2):
        sys.exit(f"audit {path}: {done.returncode} {done.stderr}")
    said = json.loads(done.stdout)
    if not said["bag"] or said["sound"] != (done.returncode == 0):
        sys.exit(f"audit {path}: {done.stdout}")
    return said["sound"], said["findings"]


def rewrite(path, change):
    with open(path, "rb") as file:
        content = file.read()
    changed = change(content)
    if changed == content:
        sys.exit(f"nothing was changed in {path}")
    with open(path, "wb") as file:
        file.write(changed)


def flipped(content):
    at = len(content) // 2
    return content[:at] + bytes([content[at] ^ 1]) + content[at + 1:]


def all_files(folder):
    for above, folders, names in os.walk(folder):
        folders.sort()
        for name in sorted(names):
            yield os.path.relpath(os.path.join(above, name), folder)


def damages(bag):
    """Every way in which a bag is damaged: words, and what does it."""
    paths = list(all_files(bag))
    payload = [path for path in paths if path.startswith("data")]
    # Files of the payload are alike to any reader: the first, the middle one and the last stand for all.
    for path in [path for path in paths if path not in payload] + [payload[0], payload[len(payload) // 2], payload[-1]]:
        there = lambda copy, path=path: os.path.join(copy, path)
        if os.path.getsize(os.path.join(bag, path)) > 0:
            yield f"a byte changed: {path}", lambda copy, there=there: rewrite(there(copy), flipped)
        if os.path.getsize(os.path.join(bag, path)) > 3:
            # Within the last line: `bagit` passes over lines that are lacking, or no checksum and path, in a tag manifest.
            yield f"cut: {path}", lambda copy, there=there: rewrite(there(copy), lambda content: content[:-3])
        # A tag manifest may be left out (RFC 8493, 2.2.1).
        if not path.startswith("tagmanifest-"):
            yield f"missing: {path}", lambda copy, there=there: os.remove(there(copy))

    def added(copy):
        with open(os.path.join(copy, "data", "added.txt"), "w") as file:
            file.write("added")

    yield "added: data/added.txt", added
    for kind in ("sha256", "sha512"):
        path = f"manifest-{kind}.txt"

        def altered(copy, path=path, kind=kind):
            # The tag manifests are put right, so that only the line itself can tell.
            rewrite(os.path.join(copy, path), lambda content: (b"1" if content[:1] != b"1" else b"2") + content[1:])
            for other in ("sha256", "sha512"):
                with open(os.path.join(copy, path), "rb") as file:
                    digest = hashlib.new(other, file.read()).hexdigest()

                def righted(content, digest=digest):
                    lines = content.decode().splitlines()
                    return "".join(f"{digest}  {path}\n" if line.split()[1] == path else f"{line}\n" for line in lines).encode()

                rewrite(os.path.join(copy, f"tagmanifest-{other}.txt"), righted)

        yield f"a line altered: {path}", altered


def damaged_are_refused(program, bag, scratch):
    refused = 0
    for words, damage in damages(bag):
        copy = os.path.join(scratch, "damaged")
        shutil.rmtree(copy, ignore_errors=True)
        shutil.copytree(bag, copy)
        damage(copy)
        for reader, (valid, said) in (("bagit", by_bagit(copy)), ("endleaf", by_endleaf(program, copy))):
            if valid:
                sys.exit(f"{reader} takes a damaged bag for valid: {words}: {said}")
        refused += 1
    return refused


def main():
    logging.disable(logging.CRITICAL)
    program, bags, scratch, card = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), sys.argv[3], sys.argv[4]
    work = os.path.join(scratch, "bags")
    shutil.rmtree(work, ignore_errors=True)
    os.makedirs(work)
    archive, ours, theirs = (os.path.join(work, name) for name in ("archive", "ours", "theirs"))
    env = dict(os.environ, ENDLEAF_HOME=os.path.join(work, "home"))
    for words in ((program, "file", card, "--into", archive), (bags, archive, ours, DAY)):
        done = run(*words, env=env)
        if done.returncode != 0:
            sys.exit(f"{' '.join(words)}: {done.stdout}{done.stderr}")
    (folder,) = os.listdir(ours)
    bag, source = os.path.join(ours, folder), os.path.join(archive, folder)

    # Ours is valid, and holds the session's folder byte for byte with its times.
    valid, said = by_bagit(bag)
    if not valid:
        sys.exit(f"bagit refuses our bag: {said}")
    read = bagit.Bag(bag)
    if read.info["Bagging-Date"] != DAY or read.version != "1.0" or sorted(read.algorithms) != ["sha256", "sha512"]:
        sys.exit(f"bagit reads {read.version}, {read.algorithms}, {read.info}")
    if not read.is_valid(fast=True):
        sys.exit("bagit refuses Payload-Oxum")
    packed = sorted(all_files(os.path.join(bag, "data")))
    if packed != sorted(all_files(source)):
        sys.exit(f"the payload is {packed}")
    for path in packed:
        one, other = os.path.join(source, path), os.path.join(bag, "data", path)
        with open(one, "rb") as a, open(other, "rb") as b:
            if a.read() != b.read() or os.stat(one).st_mtime_ns != os.stat(other).st_mtime_ns:
                sys.exit(f"{path} is not as it was filed")
    for options in ((), ("--quick",)):
        sound, findings = by_endleaf(program, bag, *options)
        if not sound or findings:
            sys.exit(f"endleaf on its own bag: {findings}")

    # One made by bagit, of the same folder and of names of all kinds.
    shutil.copytree(source, theirs)
    for name in ("a b é.txt", "semi;colon.txt", "two\nlines.txt", "100% face.txt", "empty.txt"):
        with open(os.path.join(theirs, name), "w") as file:
            file.write("" if name.startswith("empty") else name)
    bagit.make_bag(theirs, {"Contact-Name": "A. Example", "External-Description": "word " * 60})
    if not by_bagit(theirs)[0]:
        sys.exit("bagit refuses its own bag")
    sound, findings = by_endleaf(program, theirs)
    if not sound or findings:
        sys.exit(f"endleaf refuses a bag of bagit's: {findings}")

    refused = damaged_are_refused(program, bag, work), damaged_are_refused(program, theirs, work)
    print(f"{len(packed)} files in a bag valid by bagit and endleaf; damaged ones refused by both: "
          f"{refused[0]} of ours, {refused[1]} of bagit's")


if __name__ == "__main__":
    main()
