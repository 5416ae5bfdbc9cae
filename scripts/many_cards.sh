#!/bin/sh
# How often sets are right, on cards drawn with many seeds.
#
# usage: scripts/many_cards.sh MAKER SCRATCH FIRST LAST
# MAKER is a Python program that is run as MAKER FOLDER --seed N and makes cards there, each a `card` beside its
# truth.json. Prints a line a seed and ends with status 1 if a set was not exact at which the person made no slip. SCRATCH
# is emptied after each seed. PYTHON names the interpreter; `endleaf` is that of target/release.
set -eu
maker=$1 scratch=$2 seed=$3 last=$4
program=$(dirname "$0")/../target/release/endleaf
status=0
while [ "$seed" -le "$last" ]; do
    cards=$scratch/cards-$seed
    "${PYTHON:-python3}" "$maker" "$cards" --seed "$seed" >/dev/null
    said=$("$program" evaluate "$cards" | tail -n 2)
    printf 'seed %s: %s\n' "$seed" "$said"
    exact=$(printf '%s\n' "$said" | sed -En 's/^all +sets exact ([0-9]+) of ([0-9]+),.*/\1 = \2/p')
    # shellcheck disable=SC2086
    [ -n "$exact" ] && [ $exact ] || status=1
    rm -rf "$cards"
    seed=$((seed + 1))
done
exit "$status"
