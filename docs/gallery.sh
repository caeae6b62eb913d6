#!/bin/sh
# Makes the pictures of docs/folds.md: runs every scenario that the page shows at draft and puts its fold map and
# the dry cloth, shrunk, into docs/folds/. A few minutes on two cores. Names behind it choose scenarios:
# sh docs/gallery.sh whirlpool compass-rose
set -eu
cd "$(dirname "$0")/.."
. tests/setup.sh
install_packages imagemagick
if [ -f build/build.ninja ]; then
    cmake --build build --target thawprint
else
    build
fi
export OMP_WAIT_POLICY="${OMP_WAIT_POLICY:-passive}"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT INT TERM
mkdir -p docs/folds

shrink() { # FROM TO WIDTH COLOURS
    /usr/bin/convert "$1" -strip -resize "$3x" -dither None -colors "$4" -define png:compression-level=9 "$2"
}

[ $# -gt 0 ] || set -- $(sed -n 's|.*(folds/\([a-z-]*\)-map.png).*|\1|p' docs/folds.md)
for name in "$@"; do
    say "$name"
    build/thawprint preview --quiet --without-ranges --detail draft --output "$work/$name" "scenarios/$name.yaml" >/dev/null
    shrink "$work/$name/fold-map.png" "docs/folds/$name-map.png" 640 48
    shrink "$work/$name/cloth-dry.png" "docs/folds/$name-dry.png" 280 128
done
