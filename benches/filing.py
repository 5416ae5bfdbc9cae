#!/usr/bin/env python3
"""Measures how fast a card is filed, as ratios to references run in turn with it on the same disk, and states the machine.

usage: filing.py ENDLEAF SCRATCH [RUNS]
SCRATCH must lie on a disk, not in memory; some 8 GB are used there and freed. The reference is what a careful person does
by hand: copy all files, `sync -f`, drop the copies' cached pages, `sha256sum` of both sides. Files hold random bytes, so
Endleaf takes each for a damaged frame and files it; reading the card is a small part of the time and is in it. Times are the
fastest of RUNS (3) runs in turn. Other work on the machine makes all times longer: the load is printed.
"""
import os
import platform
import re
import shutil
import subprocess
import sys
import time


def machine():
    model = re.search(r"model name\s*: (.*)", open("/proc/cpuinfo").read())
    return (f"{os.cpu_count()} cores, {model.group(1) if model else platform.processor()}, {platform.system()} "
            f"{platform.release()}; load {', '.join(f'{x:.1f}' for x in os.getloadavg())}")


def make_card(folder, files, size):
    shutil.rmtree(folder, ignore_errors=True)
    os.makedirs(os.path.join(folder, "DCIM", "100BENCH"))
    for n in range(files):
        with open(os.path.join(folder, "DCIM", "100BENCH", f"BENC{n + 1:04}.JPG"), "wb") as out:
            out.write(os.urandom(size))
    os.sync()


def forget(folder):
    """Drops cached pages of all files below, so that they are read from the disk."""
    for top, _, names in os.walk(folder):
        for name in names:
            handle = os.open(os.path.join(top, name), os.O_RDONLY)
            os.posix_fadvise(handle, 0, 0, os.POSIX_FADV_DONTNEED)
            os.close(handle)


def run(*words, env=None):
    begun = time.perf_counter()
    child = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, env=env)
    said = child.stderr.read()
    _, status, used = os.wait4(child.pid, 0)
    if status:
        sys.exit(f"{words}: {said.decode()}")
    return time.perf_counter() - begun, used.ru_maxrss * 1024


def sums(folder):
    listed = subprocess.run(["find", folder, "-type", "f", "-print0"], check=True, capture_output=True).stdout
    subprocess.run(["xargs", "-0", "sha256sum"], input=listed, check=True, stdout=subprocess.DEVNULL)


def by_hand(card, target):
    shutil.rmtree(target, ignore_errors=True)
    forget(card)
    begun = time.perf_counter()
    subprocess.run(["cp", "-a", card, target], check=True)
    subprocess.run(["sync", "-f", target], check=True)
    forget(target)
    sums(card)
    sums(target)
    return time.perf_counter() - begun


def filed(program, scratch, card, *archives):
    for folder in [*archives, os.path.join(scratch, "home")]:
        shutil.rmtree(folder, ignore_errors=True)
    forget(card)
    words = [program, "file", card, "--into", archives[0]]
    for other in archives[1:]:
        words += ["--and-into", other]
    return run(*words, env=dict(os.environ, ENDLEAF_HOME=os.path.join(scratch, "home")))


def flushes(program, scratch, card, archive):
    """Seconds spent in flushing the journal, of all spent in the program, as the system's tracer says; None without it."""
    if not shutil.which("strace"):
        return None
    for folder in [archive, os.path.join(scratch, "home")]:
        shutil.rmtree(folder, ignore_errors=True)
    forget(card)
    log = os.path.join(scratch, "trace")
    took, _ = run("strace", "-f", "-T", "-y", "-e", "trace=fsync,write", "-o", log, program, "file", card, "--into", archive,
                  env=dict(os.environ, ENDLEAF_HOME=os.path.join(scratch, "home")))
    of_journal = (float(m) for line in open(log, errors="replace") if "endleaf-journal" in line
                  for m in re.findall(r"<([0-9.]+)>$", line.strip()))
    return sum(of_journal) / took


def measure(program, scratch, files, size, words, runs):
    card, copy = os.path.join(scratch, "card"), os.path.join(scratch, "copy")
    one, two = os.path.join(scratch, "one"), os.path.join(scratch, "two")
    make_card(card, files, size)
    hand, single, both, peak = [], [], [], 0
    for _ in range(runs):
        hand.append(by_hand(card, copy))
        shutil.rmtree(copy)
        took, used = filed(program, scratch, card, one)
        single.append(took)
        shutil.rmtree(one)
        took, again = filed(program, scratch, card, one, two)
        both.append(took)
        peak = max(peak, used, again)
        for folder in (one, two):
            shutil.rmtree(folder)
    mega = files * size / 1e6
    print(f"{files} files of {words}: by hand {min(hand):.2f} s, {mega / min(hand):.0f} MB/s; "
          f"filed {min(single):.2f} s, {mega / min(single):.0f} MB/s; peak memory {peak / 1e6:.0f} MB")
    print(f"  throughput of filing: {min(hand) / min(single):.2f} of that by hand (aim at 8 MB: at least 0.9)")
    print(f"  two archives: {min(both):.2f} s, {min(both) / (2 * min(single)):.2f} times the cost of the bytes written (aim: 1.15)")
    share = flushes(program, scratch, card, one)
    print("  journal: " + ("not measured, strace is not here" if share is None else f"{100 * share:.1f} % of the time (aim: 2)"))
    shutil.rmtree(one, ignore_errors=True)
    shutil.rmtree(card)


def main():
    program, scratch = os.path.abspath(sys.argv[1]), sys.argv[2]
    runs = int(sys.argv[3]) if len(sys.argv) > 3 else 3
    os.makedirs(scratch, exist_ok=True)
    print(machine())
    measure(program, scratch, 200, 8_000_000, "8 MB", runs)
    measure(program, scratch, 200, 200_000, "200 kB", runs)
    print(f"the load at the end: {', '.join(f'{x:.1f}' for x in os.getloadavg())}")


if __name__ == "__main__":
    main()
