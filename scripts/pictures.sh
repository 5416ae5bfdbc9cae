#!/bin/sh
# Makes pictures of the window's screens, light and dark, at 1280 x 800 and 1920 x 1080.
#
#   scripts/pictures.sh OUT [CARD]
#
# Builds the program, opens CARD (else the demo session salt-marsh-bank) in a window on a screen of its own
# with a data folder of its own, drives it by keys and saves one PNG a screen into OUT, named after screen,
# width and theme. Needs Xvfb, xdotool and import (ImageMagick). What it starts it also ends, and the folders
# it makes it takes away.
set -eu

if [ $# -lt 1 ] || [ $# -gt 2 ]; then
    echo "Say where the pictures go: scripts/pictures.sh OUT [CARD]" >&2
    exit 2
fi
root=$(cd "$(dirname "$0")/.." && pwd)
mkdir -p "$1"
out=$(cd "$1" && pwd)
card=${2:-$root/demo-sessions/salt-marsh-bank/card}
for tool in Xvfb xdotool import; do
    if ! command -v "$tool" >/dev/null; then
        echo "$tool is needed and is not installed" >&2
        exit 2
    fi
done
(cd "$root" && cargo build --release --package endleaf --bin endleaf)
program=${CARGO_TARGET_DIR:-$root/target}/release/endleaf

home=
screen=
window=
leave() {
    if [ -n "$window" ]; then kill "$window" 2>/dev/null || true; fi
    if [ -n "$screen" ]; then kill "$screen" 2>/dev/null || true; fi
    if [ -n "$home" ]; then rm -rf "$home"; fi
    window= screen= home=
}
trap leave EXIT INT TERM

# A free display number: Xvfb makes a socket of that name.
free_display() {
    n=90
    while [ -e "/tmp/.X11-unix/X$n" ] || [ -e "/tmp/.X$n-lock" ]; do n=$((n + 1)); done
    echo ":$n"
}

# Opens the window on a screen of this width and height.
open_window() {
    home=$(mktemp -d)
    DISPLAY=$(free_display)
    export DISPLAY
    Xvfb "$DISPLAY" -screen 0 "$1x$2x24" >/dev/null 2>&1 &
    screen=$!
    tries=0
    until xdotool getdisplaygeometry >/dev/null 2>&1; do
        tries=$((tries + 1))
        if [ $tries -gt 300 ]; then echo "Xvfb does not start" >&2; exit 1; fi
        sleep 0.1
    done
    ENDLEAF_HOME=$home "$program" "$card" 2>"$home/said" &
    window=$!
    id=
    tries=0
    while [ -z "$id" ]; do
        tries=$((tries + 1))
        if [ $tries -gt 300 ]; then cat "$home/said" >&2; echo "The window does not open" >&2; exit 1; fi
        sleep 0.1
        id=$(xdotool search --onlyvisible --name '^Endleaf$' 2>/dev/null | head -n 1) || true
    done
    # No window manager runs: size, place and keyboard are given by hand.
    xdotool windowsize "$id" "$1" "$2" windowmove "$id" 0 0 windowfocus "$id"
    # Nothing hovers: the pointer rests in the corner of the side panel.
    xdotool mousemove $(($1 - 4)) $(($2 - 4))
    sleep 2
}

press() { for key in "$@"; do xdotool key "$key"; sleep 0.25; done; }
write() { xdotool type --delay 20 "$1"; sleep 0.3; }

# Saves the window as NAME-WIDTH-THEME.png.
save() {
    sleep 0.6
    import -window root "$out/$1-$width-$theme.png"
}

# Goes through the job and saves each screen.
walk() {
    save card
    press F3 y
    # The first and the third bee are checked, the others still proposed.
    press F6 Home ctrl+Return Down Down ctrl+Return Home
    # Jars down the first rows.
    press F2; write 21; press Return; write 22; press Return; write 23; press Return Escape Home
    save day-sheet
    # The eleventh bee, labelled by letters, its soft face left out.
    press Home; for n in 1 2 3 4 5 6 7 8 9 10; do press Down; done
    press Return s t ctrl+d a e Left Left
    sleep 1
    save specimen
    press ctrl+1; sleep 0.5
    save pixels
    press ctrl+1 F6
    save day-sheet-short
    press F11
    save retake-list
    press Escape F7 F10; write frame
    save commands
    press Escape F8; write "$home/archive"; press Return
    sleep 1
    save filing
    press ctrl+shift+f
    sleep 3
    save filed
    # The keys did the job, not only the pictures.
    if ! ls "$home"/archive/*/manifest-sha256.txt >/dev/null 2>&1; then
        echo "Nothing was filed by the keys pressed" >&2
        exit 1
    fi
    press F1
    save help
    press Escape ctrl+o
    save start
}

for size in "1280 800" "1920 1080"; do
    for theme in light dark; do
        # shellcheck disable=SC2086
        set -- $size
        width=$1
        open_window "$1" "$2"
        # Without a desktop that says otherwise the window is light.
        if [ $theme = dark ]; then press ctrl+shift+l; fi
        walk
        leave
    done
done
echo "Pictures are in $out"
