#!/usr/bin/env python3
"""Reads as many bytes of each picture of a card as asked, and nothing else: the floor for whoever reads that much.

usage: plain_read.py FOLDER HEAD_BYTES TAIL_BYTES
Opens each JPEG once, asks for its size, and reads its head and its tail with one call each, which is what Endleaf does
for a picture with a small preview within. One thread a core. Prints the seconds that took and the bytes that came.
"""
import os
import sys
import time
from concurrent.futures import ThreadPoolExecutor


def read(paths, head, tail):
    come = 0
    for path in paths:
        file = os.open(path, os.O_RDONLY)
        size = os.fstat(file).st_size
        come += len(os.pread(file, head, 0)) + len(os.pread(file, tail, max(0, size - tail)))
        os.close(file)
    return come


def main():
    folder, head, tail = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    cores = os.cpu_count() or 1
    begun = time.perf_counter()
    paths = [os.path.join(d, f) for d, _, fs in os.walk(folder) for f in fs if f.lower().endswith(".jpg")]
    with ThreadPoolExecutor(cores) as pool:
        come = sum(pool.map(read, [paths[i::cores] for i in range(cores)], [head] * cores, [tail] * cores))
    print(f"{time.perf_counter() - begun:.4f} {come}")


if __name__ == "__main__":
    main()
