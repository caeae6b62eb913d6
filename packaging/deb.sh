#!/bin/sh
# Builds the Debian package. usage: deb.sh [FOLDER], by default the current one; it prints the file's name.
# Other words of CMake by DEB_OPTIONS, for example DEB_OPTIONS='-DTHAW_MAINTAINER=A B <a@b.example>'.
set -eu
out=$(cd "${1:-.}" && pwd)
cd "$(dirname "$0")/.."
build=build-deb
# The same bytes whenever it is built.
released=$(sed -n 's/^## [0-9.]* (\(.*\))$/\1/p' docs/changes.md | head -1)
SOURCE_DATE_EPOCH=$(date -u -d "$released" +%s)
export SOURCE_DATE_EPOCH
umask 022
cmake -S . -B $build -G Ninja -DCMAKE_BUILD_TYPE=Release -DCMAKE_INSTALL_PREFIX=/usr -DTHAW_NATIVE=OFF -DTHAW_TESTS=OFF \
    -DTHAW_BENCH=OFF ${DEB_OPTIONS:+"$DEB_OPTIONS"} >$build.log || { cat $build.log; exit 1; }
cmake --build $build >>$build.log || { cat $build.log; exit 1; }
(cd $build && cpack -B "$out" >>../$build.log) || { cat $build.log; exit 1; }
rm -rf "$out/_CPack_Packages"
ls "$out"/thawprint_*.deb
