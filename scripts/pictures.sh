#!/bin/sh
# Makes pictures of the window's screens, light and dark, at 1280 x 800 and 1920 x 1080.
#
#   scripts/pictures.sh OUT [CARD]
#
# SCREENS="1280x800" in the environment takes screens of that size alone.
#
# Builds the program, opens CARD (else the demo session salt-marsh-bank) in a window on a screen of its own
# with a data folder of its own, drives it by keys and saves one PNG a screen into OUT, named after screen,
# width and theme. Then the demo session again, as if two cameras had taken it, and as if its frames arrived now; a card
# that is read slowly; and what is written of the animals.
# Needs Xvfb, xdotool and import (ImageMagick). What it starts it also ends, and the folders it makes it takes
# away.
set -eu

if [ $# -lt 1 ] || [ $# -gt 2 ]; then
    echo "Say where the pictures go: scripts/pictures.sh OUT [CARD]" >&2
    exit 2
fi
root=$(cd "$(dirname "$0")/.." && pwd)
mkdir -p "$1"
out=$(cd "$1" && pwd)
demo=$root/demo-sessions/salt-marsh-bank/card
card=${2:-$demo}
for tool in Xvfb xdotool import; do
    if ! command -v "$tool" >/dev/null; then
        echo "$tool is needed and is not installed" >&2
        exit 2
    fi
done
(cd "$root" && cargo build --release --package endleaf --bin endleaf)
program=${CARGO_TARGET_DIR:-$root/target}/release/endleaf

. "$root/scripts/on_screen.sh"

# Saves the window as NAME-WIDTH-THEME.png.
save() {
    sleep 0.6
    import -window root "$out/$1-$width-$theme.png"
}

# Copies the demo frames into $home/two as if every fourth were of another camera, its clock an hour and two
# seconds fast.
two_cameras() {
    cp -r "$demo" "$home/two"
    n=0
    for frame in "$home"/two/DCIM/*/*.JPG; do
        n=$((n + 1))
        if [ $((n % 4)) -ne 3 ]; then continue; fi
        LC_ALL=C sed -i -e 's/Field One/Field Two/; s/IO1-004417/IO2-000731/' \
            -e 's/2026:06:14 10:/2026:06:14 11:/g; s/2026:06:14 09:/2026:06:14 10:/g' "$frame"
    done
}

# Copies the demo frames from the N-th to the M-th into the folder $home/tether as if the first of all had been
# taken 12 minutes ago; the face of the third animal and the abdomen tip of the first do not come.
arrive() {
    mkdir -p "$home/tether"
    n=0
    for frame in "$demo"/DCIM/*/*.JPG; do
        n=$((n + 1))
        case $frame in *_9975.JPG | *_9986.JPG) continue ;; esac
        if [ $n -lt "$1" ] || [ $n -gt "$2" ]; then continue; fi
        taken=$(LC_ALL=C grep -ao '2026:06:14 ..:..:..' "$frame" | head -n 1)
        since=$(($(date -u -d "2026-06-14 ${taken#* }" +%s) - $(date -u -d "2026-06-14 09:12:05" +%s)))
        # The frames say that they are an hour east of Greenwich.
        now=$(date -u -d "@$((begun - 720 + since + 3600))" "+%Y:%m:%d %H:%M:%S")
        LC_ALL=C sed "s/$taken/$now/g" "$frame" >"$home/tether/part"
        mv "$home/tether/part" "$home/tether/$(basename "$frame")"
    done
}

# The cameras and their clocks, and the ways to correct one.
walk_clocks() {
    save clocks
    # A frame of the other camera is the third.
    press Right Right ctrl+shift+t; write 09:12:28
    save clock-shown
    press Return Right ctrl+l Right Right Right ctrl+l
    save line-up
}

# A folder into which frames arrive.
walk_watching() {
    save empty
    arrive 1 40
    write "$home/tether"; press ctrl+shift+Return
    sleep 3
    arrive 41 46
    sleep 2
    press ctrl+h; write 10; press Return
    save watching
    press F11
    save watching-large
    press Escape
    rm "$home/tether/MRS_9984.JPG"
    sleep 2
    press F5
    sleep 8
    save gone
}

# A card whose first exposures are read at once and whose last take long: large pictures without a thumbnail.
slow_card() {
    mkdir -p "$home/slow/DCIM/900SLOWX"
    for n in 1 2 3 4; do
        mkdir "$home/slow/DCIM/${n}00MARSH"
        for frame in "$demo"/DCIM/*/*.JPG; do cp "$frame" "$home/slow/DCIM/${n}00MARSH/"; done
    done
    convert -size 8000x8000 xc:grey80 "$home/large.jpg"
    for n in $(seq 1001 1200); do ln "$home/large.jpg" "$home/slow/DCIM/900SLOWX/SLO_$n.JPG"; done
}

# The first sets while the rest is still read.
walk_reading() {
    save reading
}

# What is written of the animals: a notebook and a track read in, the record, names, the day, what was sent, the map.
walk_record() {
    press F6 Home ctrl+F5; write "$root/demo-sessions/salt-marsh-bank/notebook.csv"; press Return
    sleep 1
    save notebook
    press Return ctrl+F5; write "$root/demo-sessions/salt-marsh-bank/walk.gpx"; press Return
    sleep 1
    save track
    press Return shift+F12
    save map
    press Escape ctrl+shift+d Tab; write "R. Imaginary"; press Return; write "hand net"; press Return; write "West bank"; press Return
    save about-day
    press Escape Home shift+F6
    save record
    press Escape Escape Home shift+F8; write "Bombus terrestris"; press Return
    write "Bombus lucorum"; press Tab Tab; write "cf."; press Return
    sleep 0.5
    save names-given
    press Escape Escape shift+F11; write "an invented museum"; press Return
    sleep 0.5
    save sent
    walk_exchange
}

# What is made of the filed day, and names that come back.
walk_exchange() {
    press Escape F6 Home ctrl+Return Down Down ctrl+Return
    press F8; write "$home/archive"; press Return
    sleep 1
    press Tab ctrl+shift+f
    sleep 3
    # The choice of how an animal without a name counts lies twenty fields behind that of the archive.
    press ctrl+F8 F2; for n in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do press Tab; done
    press space
    sleep 1
    press shift+F2; write "$home/pack"; press Tab ctrl+shift+f
    sleep 3
    save exchange
    press Down Down Down
    save exchange-records
    # Each row of the table ends in seven cells for the answer.
    LC_ALL=C sed -i 's/,,,,,,,\r$/,Bombus lapidarius,,species,,I. Imaginary,2026-07-02,\r/' "$home/pack/summary.csv"
    press ctrl+F5; write "$home/pack/summary.csv"; press Return
    sleep 1
    save answers
}

# Characters, two of which do not go together; the colour of a region; a line measured by a known length.
walk_pages() {
    press shift+F7 1 Down 2
    save characters
    press Home; for n in 1 2 3 4 5 6 7 8; do press Down; done
    press ctrl+shift+h; sleep 2
    save colour
    press ctrl+shift+Return
    press shift+F9 ctrl+shift+s ctrl+Left ctrl+Left ctrl+Left ctrl+Down space
    for n in 1 2 3 4 5 6; do press ctrl+Right; done
    press space Return; write 10; press Return
    press ctrl+F9 ctrl+Left ctrl+Up space ctrl+Right ctrl+Right shift+Down shift+Down space Return
    write int; press Return
    save measures
    press Escape
}

# Goes through the job and saves each screen.
walk() {
    # Until the closer look has ended, and its line is gone; also where the program is built in a hurry.
    sleep 15
    save card
    press ctrl+plus ctrl+plus ctrl+plus ctrl+plus shift+Right
    save trace
    press ctrl+0 F3 y
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
    press F12
    save evidence
    press Escape ctrl+p
    save plans
    press Escape ctrl+1; sleep 0.5
    save pixels
    press ctrl+0 ctrl+i; sleep 1.5
    save sharp
    press ctrl+i ctrl+shift+b Right ctrl+plus ctrl+plus ctrl+plus; sleep 1
    save beside
    press shift+F10
    save menu
    press Escape ctrl+shift+b ctrl+0
    walk_pages
    press shift+F5 F6
    save day-sheet-short
    # Three rows chosen, the incomplete ones alone; the last of them flew.
    press Home ctrl+shift+f ctrl+shift+s ctrl+shift+s ctrl+shift+u shift+Down shift+Down
    save day-sheet-chosen
    press Escape Escape ctrl+shift+s ctrl+shift+f ctrl+shift+f ctrl+shift+f
    press F11
    save retake-list
    press Escape F7 F10; write blank
    save commands
    press F2 ctrl+d
    save change-key
    press Escape
    press Escape F8; write "$home/archive"; press Return
    press shift+F2; write "$home/backup"; press Return Tab
    sleep 1
    save filing
    press ctrl+shift+n Down Down space ctrl+Up
    save names
    press Escape ctrl+shift+f
    sleep 3
    save filed
    # A label more: its file moves.
    press F7 s F8 ctrl+shift+s ctrl+shift+s ctrl+shift+s ctrl+shift+s
    sleep 2
    save filing-moves
    press ctrl+shift+u
    sleep 3
    save take-back
    press Escape
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

# A new folder, whose name is as wide as that of any other time: paths that break elsewhere would move what is below them.
new_home() {
    nth=1
    until mkdir -m 700 "/tmp/pictures-$nth" 2>/dev/null; do nth=$((nth + 1)); done
    echo "/tmp/pictures-$nth"
}

# All walks at one size in one theme, each in a window of its own.
walk_all() {
    width=${1%x*}
    height=${1#*x}
    theme=$2
    for part in walk walk_clocks walk_watching walk_reading walk_record; do
        home=$(new_home)
        begun=$(date +%s)
        case $part in
            walk) open_window "$width" "$height" "$card" ;;
            walk_clocks) two_cameras; open_window "$width" "$height" "$home/two" ;;
            walk_watching) open_window "$width" "$height" ;;
            walk_reading) slow_card; open_window "$width" "$height" "$home/slow" ;;
            walk_record) open_window "$width" "$height" "$demo" ;;
        esac
        # Without a desktop that says otherwise the window is light.
        if [ "$theme" = dark ]; then press ctrl+shift+l; fi
        $part
        leave
    done
}

# Most of the time is waiting, so both themes are walked at once.
for screen_size in ${SCREENS:-1280x800 1920x1080}; do
    (display_from=190; walk_all "$screen_size" dark) &
    dark=$!
    walk_all "$screen_size" light
    wait $dark
done
echo "Pictures are in $out"
