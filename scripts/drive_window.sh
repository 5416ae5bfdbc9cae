#!/bin/sh
# Drives the real window on a demo session by keys and mouse, ends it without warning, and reads what was saved.
#
#   scripts/drive_window.sh PROGRAM
#
# Then the window is opened again, gone on with, and read again. Needs Xvfb, xdotool and python3.
set -eu

if [ $# -ne 1 ]; then
    echo "Say which program: scripts/drive_window.sh PROGRAM" >&2
    exit 2
fi
program=$1
root=$(cd "$(dirname "$0")/.." && pwd)
card=$root/demo-sessions/salt-marsh-bank/card
. "$root/scripts/on_screen.sh"
home=$(mktemp -d)

# What the saved session says: how many frames the first sets have, which frame shows what, which jars there are.
saved() {
    python3 - "$home"/data/sessions/*/session.ron <<'PYTHON'
import re, sys
text = open(sys.argv[1], encoding="utf-8").read()
sets = text[text.index("\n    sets: ["):]
sizes = [len(frames.split(",")) for frames in re.findall(r"frames: \[([^]]*)\]", sets)[:3]]
labels = text[text.index("labels: {"):]
labels = labels[: labels.index("}")]
print("sets", *sizes)
print("labels", *(f"{frame}:{view}" for frame, view in re.findall(r'(\d+): \(view: "([^"]+)"', labels)))
print("jars", *re.findall(r'jar: "([^"]+)"', text))
PYTHON
}

expect() {
    saved >"$home/now"
    if ! grep -qx "$1" "$home/now"; then
        echo "$2: the session does not say “$1” but" >&2
        cat "$home/now" >&2
        exit 1
    fi
    echo "as expected: $1"
}

open_window 1280 800 "$card"
# Jars by keys, down two rows.
press F6 Home F2; write 31; press Return; write 32; press Return Escape
# The second row by the mouse, opened by a double click; two frames labelled, the second of them taken back.
xdotool mousemove 60 330 click --repeat 2 --delay 80 1; sleep 1
press F7 Home
press F6 Home Down Return
press s t ctrl+z
sleep 1
# No warning: what was done is kept already.
kill -KILL "$window"
wait "$window" 2>/dev/null || true
window=
expect "labels 6:side" "after the kill"
expect "jars 31 32" "after the kill"
kept=$home
home=
leave
home=$kept

open_window 1280 800 "$card"
# The last frame of the first specimen is carried to the second by the mouse.
press F6 Home Return
sleep 1
first=$(saved | grep '^sets')
xdotool mousemove 445 710 mousedown 1; sleep 0.2
xdotool mousemove 500 600; sleep 0.2
xdotool mousemove 840 450; sleep 0.4
xdotool mouseup 1; sleep 1
second=$(saved | grep '^sets')
[ "$first" != "$second" ] || { echo "carrying a frame by the mouse changed nothing: $first" >&2; exit 1; }
echo "carried: $first, then $second"
press ctrl+z; sleep 1
expect "$first" "after undo"
# Closed as a person closes it.
press F6 Home Down Return Right t; sleep 0.5
xdotool windowclose "$id"
for n in 1 2 3 4 5 6 7 8 9 10; do kill -0 "$window" 2>/dev/null || break; sleep 0.3; done
expect "labels 6:side 7:head-top" "after closing"
