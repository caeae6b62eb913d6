#!/bin/sh
# Made-up scenarios, valid and spoilt, and their pictures before two other readers of PNG. usage: run.sh RANDOM_SCENARIOS FIRST N
set -eu
random=$(realpath "$1")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT INT TERM
export OMP_WAIT_POLICY=passive
bad=0
for kind in valid spoilt; do
    mkdir "$work/$kind"
    "$random" $kind "$2" "$3" "$work/$kind" 2>"$work/said" || bad=1
    [ $bad = 0 ] || { cat "$work/said"; cat "$work/$kind"/*.yaml 2>/dev/null || true; exit 1; }
done
n=0
find "$work" -name '*.png' >"$work/pictures"
if command -v pngcheck >/dev/null; then
    xargs pngcheck -q <"$work/pictures"
    n=$(wc -l <"$work/pictures")
fi
if command -v pngtopnm >/dev/null; then
    while read -r picture; do
        pngtopnm "$picture" >/dev/null
    done <"$work/pictures"
fi
echo "pictures before pngcheck and pngtopnm: $n"
