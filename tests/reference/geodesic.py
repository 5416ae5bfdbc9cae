#!/usr/bin/env python3
"""Compares distances with those of geographiclib, the reference of Karney's method, on 1,000 random pairs of places.

usage: geodesic.py DISTANCES
DISTANCES is the example `distances` of the crate `notes` (cargo build -p notes --example distances).
Pairs lie anywhere, close to each other, over the antimeridian, at the poles and nearly opposite each other.
Ends with status 1 at the first that differs by more than 0.01 m.
needs: pip install geographiclib
"""
import random
import subprocess
import sys

from geographiclib.geodesic import Geodesic

ROUNDS = 1000
LIMIT_M = 0.01


def pairs():
    random.seed(20260614)
    for number in range(ROUNDS):
        lat, lon = random.uniform(-90, 90), random.uniform(-180, 180)
        match number % 5:
            case 0:
                yield lat, lon, random.uniform(-90, 90), random.uniform(-180, 180)
            case 1:
                yield lat, lon, max(-90, min(90, lat + random.uniform(-1e-3, 1e-3))), lon + random.uniform(-1e-3, 1e-3)
            case 2:
                yield lat, random.uniform(179.9, 180), lat, random.uniform(-180, -179.9)
            case 3:
                yield random.choice((-90, 90)), lon, lat, random.uniform(-180, 180)
            case 4:
                yield lat, lon, -lat + random.uniform(-0.5, 0.5) * (abs(lat) < 89), lon + 180 + random.uniform(-0.5, 0.5)


def main():
    asked = list(pairs())
    text = "".join(" ".join(repr(v) for v in pair) + "\n" for pair in asked)
    said = subprocess.run([sys.argv[1]], input=text, capture_output=True, text=True, check=True).stdout.split()
    if len(said) != len(asked):
        sys.exit(f"{len(said)} answers to {len(asked)} questions")
    worst = 0.0
    for pair, metres in zip(asked, said):
        expected = Geodesic.WGS84.Inverse(*pair, Geodesic.DISTANCE)["s12"]
        off = abs(float(metres) - expected)
        if not off <= LIMIT_M:
            sys.exit(f"{pair}: {metres} m instead of {expected}")
        worst = max(worst, off)
    print(f"{len(asked)} distances agree, the worst to {worst:.1e} m")


main()
