#!/usr/bin/env python3
"""Measures the real window on a day of large pictures, under Xvfb: how soon it opens, and the memory it takes.

usage: window.py ENDLEAF SCRATCH [FRAMES]
ENDLEAF is a release build. A card of FRAMES (3000) JPEGs of 24 megapixels, every sixth a blank, is made in SCRATCH unless it
is there; it takes some 3 MB a frame. The window is opened on it twice, each time with the same data and cache folders, and
driven by key presses: the day sheet is gone through page by page, then the frames of thirty specimens, one of each pixel
for pixel. How soon a card is open is told by its session, which is saved then.
VmRSS and VmHWM of /proc count what a software driver copies, too: it keeps every texture in the program's own memory, with
its smaller copies, a third more. `cargo bench -p endleaf --bench window -- SCRATCH/card` tells the memory of the same
program on the same card without any driver.
Needs Xvfb, xdotool, and of Python pillow, numpy and piexif. Other work on the machine makes all times longer: the load is
printed.
"""
import datetime as dt
import io
import os
import platform
import re
import shutil
import subprocess
import sys
import tempfile
import time

KINDS = 4
SPECIMENS_OPENED = 30


def machine():
    model = re.search(r"model name\s*: (.*)", open("/proc/cpuinfo").read())
    return (f"{os.cpu_count()} cores, {model.group(1) if model else platform.processor()}, {platform.system()} "
            f"{platform.release()}; load {', '.join(f'{x:.1f}' for x in os.getloadavg())}")


def picture(rng, width, height, blank):
    """A banded body on lit paper, or the paper alone."""
    import numpy as np
    from PIL import Image
    y, x = np.mgrid[-0.5:0.5:height / 4 * 1j, -0.5:0.5:width / 4 * 1j]
    paper = (210 - 60 * (x**2 + y**2))[..., None] * np.array([1, 0.98, 0.93])
    if not blank:
        body = (x / rng.uniform(0.2, 0.3)) ** 2 + (y / rng.uniform(0.15, 0.2)) ** 2 < 1
        bands = np.where((np.sin(x * 40) > 0)[..., None], np.array([200, 160, 40]), np.array([40, 34, 30]))
        paper = np.where(body[..., None], bands + rng.normal(0, 12, x.shape)[..., None], paper)
    small = Image.fromarray(np.clip(paper, 0, 255).astype(np.uint8)).resize((width, height), Image.BICUBIC)
    grain = rng.normal(0, 2.5, (height, width, 1)).astype(np.float32)
    return Image.fromarray(np.clip(np.asarray(small, np.float32) + grain, 0, 255).astype(np.uint8))


def make_card(card, frames):
    import numpy as np
    import piexif
    rng = np.random.default_rng(5)
    kinds = []
    for n in range(KINDS):
        large = picture(rng, 6000, 4000, n == 0)
        full, thumbnail = io.BytesIO(), io.BytesIO()
        large.save(full, "JPEG", quality=88)
        large.thumbnail((160, 120))
        large.save(thumbnail, "JPEG", quality=80)
        kinds.append((full.getvalue(), thumbnail.getvalue()))
    folder = os.path.join(card, "DCIM", "100BENCH")
    os.makedirs(folder)
    for n in range(frames):
        full, thumbnail = kinds[0] if n % 6 == 5 else kinds[1 + n % (KINDS - 1)]
        taken = (dt.datetime(2026, 6, 14, 8) + dt.timedelta(seconds=7 * n)).strftime("%Y:%m:%d %H:%M:%S")
        exif = {
            "0th": {piexif.ImageIFD.Make: "Invented", piexif.ImageIFD.Model: "Bench"},
            "Exif": {piexif.ExifIFD.DateTimeOriginal: taken, piexif.ExifIFD.OffsetTimeOriginal: "+01:00"},
            "1st": {piexif.ImageIFD.Compression: 6},
            "thumbnail": thumbnail,
        }
        made = io.BytesIO()
        piexif.insert(piexif.dump(exif), full, made)
        with open(os.path.join(folder, f"BEN_{n + 1:04}.JPG"), "wb") as out:
            out.write(made.getvalue())


class Window:
    """The program in a window of 1280 x 800 on a screen of its own. What it starts it also ends."""

    def __init__(self, program, card, home):
        n = 90
        while os.path.exists(f"/tmp/.X11-unix/X{n}") or os.path.exists(f"/tmp/.X{n}-lock"):
            n += 1
        self.env = dict(os.environ, DISPLAY=f":{n}", ENDLEAF_HOME=os.path.join(home, "data"),
                        XDG_CACHE_HOME=os.path.join(home, "cache"))
        self.screen = subprocess.Popen(["Xvfb", f":{n}", "-screen", "0", "1280x800x24"], stderr=subprocess.DEVNULL)
        while subprocess.run(["xdotool", "getdisplaygeometry"], env=self.env, capture_output=True).returncode:
            time.sleep(0.05)
        self.sessions = os.path.join(home, "data", "sessions")
        before = self.saved()
        begun = time.perf_counter()
        self.child = subprocess.Popen([program, card], env=self.env, stderr=subprocess.DEVNULL)
        self.seen_secs = self.read_secs = None
        while self.read_secs is None or self.seen_secs is None:
            if self.read_secs is None and self.saved() != before:
                self.read_secs = time.perf_counter() - begun
            if self.seen_secs is None:
                found = self.ask("search", "--onlyvisible", "--name", "^Endleaf$").split()
                if found:
                    self.seen_secs = time.perf_counter() - begun
                    self.ask("windowsize", found[0], "1280", "800", "windowmove", found[0], "0", "0", "windowfocus", found[0])
            time.sleep(0.005)

    def saved(self):
        """Names and times of the sessions that are kept."""
        found = []
        for top, _, names in os.walk(self.sessions):
            found += [(top, os.stat(os.path.join(top, name)).st_mtime_ns) for name in names if name == "session.ron"]
        return found

    def ask(self, *words):
        return subprocess.run(["xdotool", *words], env=self.env, capture_output=True, text=True).stdout

    def press(self, *keys, pause=0.1):
        for key in keys:
            self.ask("key", key)
            time.sleep(pause)

    def memory(self, when):
        status = open(f"/proc/{self.child.pid}/status").read()
        resident, most = (int(re.search(rf"{name}:\s+(\d+)", status).group(1)) / 1024 for name in ("VmRSS", "VmHWM"))
        print(f"  {when}: {resident:.0f} MB resident, {most:.0f} MB at most", flush=True)

    def close(self):
        for child in (self.child, self.screen):
            child.terminate()
            child.wait()


def main():
    if len(sys.argv) not in (3, 4):
        sys.exit(__doc__)
    program, scratch = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    frames = int(sys.argv[3]) if len(sys.argv) > 3 else 3000
    card = os.path.join(scratch, "card")
    if not os.path.isdir(card):
        make_card(card, frames)
    print(machine())
    home = tempfile.mkdtemp(dir=scratch)
    try:
        for time_of in ("first", "second"):
            window = Window(program, card, home)
            print(f"{time_of} time: window after {window.seen_secs:.2f} s, card open after {window.read_secs:.2f} s")
            time.sleep(3)
            window.press("F6", pause=2)
            window.memory("day sheet")
            window.press(*["Next"] * (frames // 6 // 4), pause=0.15)
            window.memory("gone through")
            window.press("Home", "Return", pause=1)
            for _ in range(SPECIMENS_OPENED):
                window.press(*["Right"] * 4, pause=0.5)
                window.press("ctrl+1", pause=0.3)
                window.press("ctrl+1", "Next", pause=0.5)
            window.memory(f"{SPECIMENS_OPENED} specimens opened")
            window.close()
    finally:
        shutil.rmtree(home)


if __name__ == "__main__":
    main()
