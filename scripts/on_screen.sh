# Sourced by scripts that drive the window: a virtual screen with a window on it, keys, and the end of both.
#
# Set $program first. Needs Xvfb and xdotool. open_window WIDTH HEIGHT [CARD] uses the data folder $home/data.

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
    n=${display_from:-90}
    while [ -e "/tmp/.X11-unix/X$n" ] || [ -e "/tmp/.X$n-lock" ]; do n=$((n + 1)); done
    echo ":$n"
}

# Opens the window on a screen of this width and height, and on this card if one is given.
open_window() {
    DISPLAY=$(free_display)
    export DISPLAY
    Xvfb "$DISPLAY" -noreset -screen 0 "$1x$2x24" >/dev/null 2>&1 &
    screen=$!
    tries=0
    until xdotool getdisplaygeometry >/dev/null 2>&1; do
        tries=$((tries + 1))
        if [ $tries -gt 300 ]; then echo "Xvfb does not start" >&2; exit 1; fi
        sleep 0.1
    done
    ENDLEAF_HOME=$home/data XDG_CACHE_HOME=$home/cache "$program" ${3:+"$3"} 2>"$home/said" &
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

