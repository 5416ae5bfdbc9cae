#!/usr/bin/env python3
"""Measures how fast a pack for a specialist is made, as a ratio to Pillow on all cores, and how near its pictures come.

usage: pack.py EXAMPLE SCRATCH [SPECIMENS [RUNS]]
EXAMPLE is `pack` of the crate exchange, built by `cargo build --release -p exchange --example pack`. SPECIMENS (100) of five
drawn frames of 24 megapixels each are put into an archive in SCRATCH: ten different pictures, linked. The reference does what
a practised person's script does: Pillow's scaled decoding (`draft`), Lanczos to 2,048 px, JPEG of quality 90, over a pool of
processes. Times are the fastest of RUNS (3) in turn. Then every fifth of the ten is compared with a full decode reduced by
Lanczos (structural similarity of luma, the strip left out). Needs Pillow, NumPy and scikit-image. Other work on the machine
makes all times longer: the load is printed.
"""
import hashlib
import io
import multiprocessing
import os
import platform
import re
import resource
import shutil
import subprocess
import sys
import time

import numpy
from PIL import Image, ImageFilter
from skimage.metrics import structural_similarity

SIZE = (6000, 4000)
LONG_SIDE = 2048
PICTURES = 10
VIEWS = 5

PLAN = "(key: \"five\", name: \"Five\", views: [%s])" % ", ".join(
    f"(key: \"v{n}\", name: \"View {n}\", letter: '{'abcde'[n]}', required: true, subject_part: \"entireOrganism\", "
    "subject_orientation: \"dorsal\", hint: \"All of it.\")" for n in range(VIEWS))


def machine():
    model = re.search(r"model name\s*: (.*)", open("/proc/cpuinfo").read())
    return (f"{os.cpu_count()} cores, {model.group(1) if model else platform.processor()}, {platform.system()} "
            f"{platform.release()}; load {', '.join(f'{x:.1f}' for x in os.getloadavg())}")


def drawn(seed):
    """A JPEG of some 8 MB: a furred animal on pale ground, with the grain of a camera."""
    dice = numpy.random.default_rng(seed)
    width, height = SIZE
    y, x = numpy.mgrid[0:height, 0:width].astype(numpy.float32)
    light = 205 - 30 * ((x / width - 0.5) ** 2 + (y / height - 0.5) ** 2)
    inside = ((x - width / 2) / (width * 0.22)) ** 2 + ((y - height / 2) / (height * 0.27)) ** 2 < 1 + 0.1 * numpy.sin(x / 90)
    hair = dice.normal(128, 60, (height, width)).clip(0, 255).astype(numpy.uint8)
    hair = numpy.asarray(Image.fromarray(hair).filter(ImageFilter.GaussianBlur(1.2))).astype(numpy.float32) / 60 - 128 / 60
    bands = 60 + 70 * (numpy.sin(x / 400 + seed) > 0)
    picture = numpy.empty((height, width, 3), numpy.float32)
    for channel, (on, off) in enumerate([(1.0, 1.0), (0.85, 0.99), (0.5, 0.95)]):
        picture[..., channel] = numpy.where(inside, bands * on + 90 * hair, light * off)
    picture += dice.normal(0, 3, (height, width, 1)).astype(numpy.float32)
    into = io.BytesIO()
    Image.fromarray(picture.clip(0, 255).astype(numpy.uint8)).save(into, "JPEG", quality=92, subsampling=1)
    return into.getvalue()


def make_archive(archive, specimens):
    shutil.rmtree(archive, ignore_errors=True)
    session = os.path.join(archive, "2026-06-14_bench")
    os.makedirs(session)
    pictures = []
    for n in range(PICTURES):
        path = os.path.join(archive, f"drawn-{n}")
        with open(path, "wb") as out:
            out.write(drawn(n))
        pictures.append(path)
    frames, sets, records, filed, labels = [], [], [], [], []
    for specimen in range(specimens):
        own = range(specimen * VIEWS, (specimen + 1) * VIEWS)
        os.mkdir(os.path.join(session, f"{specimen + 1:03}"))
        for frame in own:
            card, here = f"DCIM/{frame:05}.JPG", f"{specimen + 1:03}/{frame:05}.jpg"
            source = pictures[frame % PICTURES]
            os.link(source, os.path.join(session, here))
            size, digest = os.path.getsize(source), hashlib.sha256(str(frame).encode()).hexdigest()
            frames.append(f"(id: {frame}, files: [(path: \"{card}\", bytes: {size}, role: Picture)], taken: "
                          f"Some(\"2026-06-14T{10 + frame // 3600}:{frame // 60 % 60:02}:{frame % 60:02}\"), time_source: "
                          "Original, body: (), orientation: 1, size_px: Some((6000, 4000)), spread: None, blank: None, faults: [])")
            filed.append(f"\"{card}\": (path: \"{here}\", bytes: {size}, sha256: \"{digest}\")")
            labels.append(f"{frame}: (view: \"v{frame % VIEWS}\", specimen: {specimen})")
        ids = ", ".join(map(str, own))
        sets.append(f"(number: {specimen + 1}, frames: [{ids}], specimens: [{specimen}])")
        records.append(f"(id: {specimen}, anchors: [{ids}], number: Some({specimen + 1}))")
    text = (f"(schema: 1, session: (name: \"Bench\", plan: {PLAN}, frames: [{', '.join(frames)}], decisions: (labels: "
            f"{{{', '.join(labels)}}}), fields: {{}}, specimens: [{', '.join(records)}], sets: [{', '.join(sets)}], "
            f"filed: {{{', '.join(filed)}}}))")
    with open(os.path.join(session, "session.ron"), "w") as out:
        out.write(text)
    os.sync()
    return session


def by_pillow(job):
    source, target = job
    with Image.open(source) as picture:
        # Asked for as it will be, or the short side would keep it from being halved.
        picture.draft("RGB", (LONG_SIDE, round(LONG_SIDE * picture.height / picture.width)))
        assert picture.width == SIZE[0] // 2
        picture.thumbnail((LONG_SIDE, LONG_SIDE), Image.Resampling.LANCZOS, reducing_gap=None)
        picture.save(target, "JPEG", quality=90)


def spent():
    """Processor seconds of all children that have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def reference(session, target):
    jobs = []
    for folder in sorted(os.listdir(session)):
        if os.path.isdir(os.path.join(session, folder)):
            os.makedirs(os.path.join(target, folder))
            jobs += [(os.path.join(session, folder, name), os.path.join(target, folder, name))
                     for name in sorted(os.listdir(os.path.join(session, folder)))]
    begun, used = time.perf_counter(), spent()
    pool = multiprocessing.Pool(os.cpu_count())
    pool.map(by_pillow, jobs, chunksize=4)
    pool.close()
    pool.join()
    return time.perf_counter() - begun, spent() - used, len(jobs)


def ours(program, archive, target):
    begun, used = time.perf_counter(), spent()
    said = subprocess.run([program, archive, target], check=True, capture_output=True, text=True).stdout
    return time.perf_counter() - begun, spent() - used, said.strip()


def similarity(session, target, by_hand):
    """Least similarity of our pictures to a full decode reduced by Lanczos; and that of the reference."""
    least = [1.0, 1.0]
    for frame in range(0, PICTURES, 5):
        specimen = f"{frame // VIEWS + 1:03}"
        with Image.open(os.path.join(session, specimen, f"{frame:05}.jpg")) as picture:
            size = (LONG_SIDE, round(LONG_SIDE * picture.height / picture.width))
            full = numpy.asarray(picture.convert("RGB").resize(size, Image.Resampling.LANCZOS).convert("L"))
        label = f"2026-06-14_bench_{specimen}"
        made = [os.path.join(target, label, f"{label}_v{frame % VIEWS}_1.jpg"), os.path.join(by_hand, specimen, f"{frame:05}.jpg")]
        for at, path in enumerate(made):
            with Image.open(path) as picture:
                luma = numpy.asarray(picture.convert("L"))[:size[1]]
            least[at] = min(least[at], structural_similarity(full[:luma.shape[0]], luma))
    return least


def main():
    program, scratch = os.path.abspath(sys.argv[1]), sys.argv[2]
    specimens = int(sys.argv[3]) if len(sys.argv) > 3 else 100
    runs = int(sys.argv[4]) if len(sys.argv) > 4 else 3
    os.makedirs(scratch, exist_ok=True)
    archive, target, by_hand = (os.path.join(scratch, name) for name in ("archive", "sent", "by-hand"))
    print(machine())
    session = make_archive(archive, specimens)
    own, other = [], []
    for _ in range(runs):
        for folder in (target, by_hand):
            shutil.rmtree(folder, ignore_errors=True)
        *took, jobs = reference(session, by_hand)
        other.append(took)
        *took, said = ours(program, archive, target)
        own.append(took)
    (own, own_used), (other, other_used) = (map(min, zip(*times)) for times in (own, other))
    print(f"{jobs} pictures: Pillow {other:.2f} s, {jobs / other:.1f} a second; pack {own:.2f} s, {jobs / own:.1f} a second ({said})")
    print(f"  throughput of packs: {other / own:.2f} of that of Pillow (aim: at least 0.9); by processor seconds "
          f"{other_used:.1f} / {own_used:.1f} = {other_used / own_used:.2f}")
    near = similarity(session, target, by_hand)
    print(f"  similarity to a full decode: {near[0]:.4f} (aim: at least 0.98), of Pillow's {near[1]:.4f}")
    print(f"the load at the end: {', '.join(f'{x:.1f}' for x in os.getloadavg())}")
    for folder in (archive, target, by_hand):
        shutil.rmtree(folder, ignore_errors=True)


if __name__ == "__main__":
    main()
