#!/usr/bin/env python3
"""Measures how fast a card is read, as ratios to references run in turn with it, and states the machine.

usage: intake.py ENDLEAF SCRATCH [PART...]
PART: thumbnails, decoding, watch, scaling; all of them when none is named.
ENDLEAF_BENCH_CARD_MAKER     program FOLDER N [--no-thumbs] [--megapixels M]: makes a card of N JPEGs
ENDLEAF_BENCH_REFERENCE      program FOLDER [pillow|turbo]: reads the same card by an imaging library on all cores and
                             prints its seconds as "…, S s, …"
Both are Python programs, run by the interpreter that runs this one; they need what they say they need, and this one
PyTurboJPEG. Cards are made in SCRATCH and deleted after use; 1,000 pictures of 24 megapixels take some 7 GB. Times are the
fastest of 5 runs (references of minutes: 1), files in the page cache. Other work on the machine makes all times longer:
the load is printed.
"""
import json
import math
import os
import platform
import re
import select
import shutil
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor

import turbojpeg

RUNS = 5
HEAD_BYTES, TAIL_BYTES = 16 * 1024, 32


def machine():
    model = re.search(r"model name\s*: (.*)", open("/proc/cpuinfo").read())
    return (f"{os.cpu_count()} cores, {model.group(1) if model else platform.processor()}, {platform.system()} "
            f"{platform.release()}; load {', '.join(f'{x:.1f}' for x in os.getloadavg())}")


def make_card(folder, frames, *more):
    maker = os.environ["ENDLEAF_BENCH_CARD_MAKER"]
    shutil.rmtree(folder, ignore_errors=True)
    subprocess.run([sys.executable, maker, folder, str(frames), *more], check=True, stdout=subprocess.DEVNULL)


def split(program, card):
    """Seconds, JSON, processor seconds and peak memory in bytes of the fastest run."""
    best = None
    for _ in range(RUNS):
        with tempfile.TemporaryFile() as out:
            begun = time.perf_counter()
            child = subprocess.Popen([program, "split", card, "--json"], stdout=out)
            _, status, used = os.wait4(child.pid, 0)
            took = time.perf_counter() - begun
            if status:
                sys.exit(f"split ended with status {os.waitstatus_to_exitcode(status)}: {card}")
            if best is None or took < best[0]:
                out.seek(0)
                best = took, json.load(out), used.ru_utime + used.ru_stime, used.ru_maxrss * 1024
    return best


def reference(card, mode, runs):
    program = [sys.executable, os.environ["ENDLEAF_BENCH_REFERENCE"], card, mode]
    said = [subprocess.run(program, check=True, capture_output=True, text=True).stdout for _ in range(runs)]
    return min(float(re.search(r", ([0-9.]+) s,", words).group(1)) for words in said)


def plain_read(card):
    program = [sys.executable, os.path.join(os.path.dirname(__file__), "plain_read.py"), card, str(HEAD_BYTES), str(TAIL_BYTES)]
    said = [subprocess.run(program, check=True, capture_output=True, text=True).stdout.split() for _ in range(RUNS)]
    return min(float(seconds) for seconds, _ in said), int(said[0][1])


def decode_thumbnails(card):
    """Seconds that libjpeg-turbo takes for nothing but the luma of the thumbnails, on all cores: what no reader that looks
    at them can be quicker than."""
    turbo = turbojpeg.TurboJPEG()
    found = []
    for path in (os.path.join(d, f) for d, _, fs in os.walk(card) for f in fs if f.lower().endswith(".jpg")):
        head = open(path, "rb").read(HEAD_BYTES)
        start = head.find(b"\xff\xd8", 2)
        found.append(head[start:head.find(b"\xff\xd9", start) + 2])

    def decode(part):
        for picture in part:
            turbo.decode(picture, pixel_format=turbojpeg.TJPF_GRAY)

    cores = os.cpu_count() or 1
    begun = time.perf_counter()
    with ThreadPoolExecutor(cores) as pool:
        list(pool.map(decode, [found[i::cores] for i in range(cores)]))
    return time.perf_counter() - begun


def thumbnails(program, scratch):
    card = os.path.join(scratch, "thumbnails")
    make_card(card, 1000)
    took, result, cpu, _ = split(program, card)
    share = 100 * result["bytes_read"] / result["bytes_on_card"]
    print(f"split, {len(result['frames'])} frames with thumbnails: {took:.3f} s, {cpu:.3f} s of processor")
    print(f"  read of the card: {share:.3f} % (aim: at most 1.5)")
    read, come = plain_read(card)
    print(f"  plain reading of {come} bytes ({result['bytes_read']} by split): {read:.4f} s; "
          f"split takes {took / read:.1f} times that (aim: at most 3)")
    decoded = min(decode_thumbnails(card) for _ in range(RUNS))
    print(f"  decoding the thumbnails alone, by libjpeg-turbo: {decoded:.4f} s, {decoded / read:.1f} times plain reading")
    library = reference(card, "pillow", 1)
    print(f"  imaging library with scaled decoding: {library:.1f} s; split is {library / took:.0f} times as fast (aim: 100)")
    shutil.rmtree(card)


def decoding(program, scratch):
    card = os.path.join(scratch, "decoding")
    make_card(card, 120, "--no-thumbs")
    took, result, cpu, _ = split(program, card)
    turbo = reference(card, "turbo", RUNS)
    frames = len(result["frames"])
    print(f"split, {frames} frames without thumbnails: {1000 * took / frames:.1f} ms a frame, "
          f"{1000 * cpu / frames:.1f} ms of processor")
    print(f"  libjpeg-turbo, scaled: {1000 * turbo / frames:.1f} ms a frame; split takes {took / turbo:.2f} times that (aim: 1.5)")
    shutil.rmtree(card)


def watch(program, scratch):
    """From a blank fully written to the set's line on the terminal."""
    demo = os.path.join(os.path.dirname(__file__), "..", "demo-sessions", "salt-marsh-bank", "card", "DCIM", "100MARSH")
    # A round of five views and its blank.
    names = sorted(name for name in os.listdir(demo) if name.endswith(".JPG"))[:6]
    delays = []
    for _ in range(RUNS):
        with tempfile.TemporaryDirectory(dir=scratch) as folder, tempfile.TemporaryDirectory(dir=scratch) as home:
            for name in names[:5]:
                shutil.copyfile(os.path.join(demo, name), os.path.join(folder, name))
            child = subprocess.Popen([program, "watch", folder], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                                     env=dict(os.environ, ENDLEAF_HOME=home))
            time.sleep(3)  # until it has read what lies there
            if select.select([child.stdout], [], [], 0)[0]:
                sys.exit("the watch spoke before the blank was there")
            shutil.copyfile(os.path.join(demo, names[5]), os.path.join(folder, names[5]))
            written = time.perf_counter()
            said = b""
            while b"1 set finished" not in said:
                more = os.read(child.stdout.fileno(), 1 << 16)
                said += more if more else sys.exit("the watch ended by itself")
            delays.append(1000 * (time.perf_counter() - written))
            child.kill()
            child.wait()
    print(f"watch, from the blank to the list: {min(delays):.0f} to {max(delays):.0f} ms (aim: 300)")


def scaling(program, scratch):
    points = []
    for frames in (1000, 10_000, 100_000):
        card = os.path.join(scratch, f"small-{frames}")
        make_card(card, frames, "--megapixels", "0.01")
        took, _, cpu, peak = split(program, card)
        points.append((frames, took, cpu))
        print(f"split, {frames} small frames: {took:.3f} s, {cpu:.3f} s of processor, peak memory {peak / 1e6:.0f} MB "
              f"(aim: {60 + 0.002 * frames:.0f})")
        shutil.rmtree(card)
    for what, column in (("time", 1), ("time of processor", 2)):
        slope = exponent([(point[0], point[column]) for point in points])
        print(f"  {what} grows with the frames to the power of {slope:.3f} (aim: at most 1.05)")


def exponent(points):
    """Slope of the line of least squares through the logarithms."""
    xs, ys = ([math.log(point[i]) for point in points] for i in (0, 1))
    mid_x, mid_y = sum(xs) / len(xs), sum(ys) / len(ys)
    return sum((x - mid_x) * (y - mid_y) for x, y in zip(xs, ys)) / sum((x - mid_x) ** 2 for x in xs)


PARTS = {part.__name__: part for part in (thumbnails, decoding, watch, scaling)}


def main():
    program, scratch, parts = os.path.abspath(sys.argv[1]), sys.argv[2], sys.argv[3:] or list(PARTS)
    os.environ["ENDLEAF_HOME"] = os.path.join(scratch, "home")
    for part in parts:
        print(machine())
        PARTS[part](program, scratch)


if __name__ == "__main__":
    main()
