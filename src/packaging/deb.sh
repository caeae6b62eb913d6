#!/bin/sh
# Builds the Debian package. usage: deb.sh [FOLDER], by default the current one; it prints the file's name.
# One more option of CMake in DEB_OPTION, for example DEB_OPTION='-DTHAW_MAINTAINER=NAME <ADDRESS>'.
set -eu
out=$(cd "${1:-.}" && pwd)
cd "$(dirname "$0")/../.."
build=build-deb
log=$PWD/$build/deb.log
mkdir -p $build
# The same bytes whenever it is built.
version=$(sed -n 's/.*THAW_VERSION "\(.*\)".*/\1/p' include/thawprint/version.h)
released=$(sed -n 's/^## [0-9.]* (\(.*\))$/\1/p' docs/changes.md | head -1)
SOURCE_DATE_EPOCH=$(date -u -d "$released" +%s)
export SOURCE_DATE_EPOCH
umask 022
cmake -S . -B $build -G Ninja -DCMAKE_BUILD_TYPE=Release -DCMAKE_INSTALL_PREFIX=/usr -DTHAW_NATIVE=OFF -DTHAW_TESTS=OFF \
    -DTHAW_BENCH=OFF ${DEB_OPTION:+"$DEB_OPTION"} >"$log" || { cat "$log"; exit 1; }
cmake --build $build >>"$log" || { cat "$log"; exit 1; }
(cd $build && cpack -B "$out" >>"$log") || { cat "$log"; exit 1; }
rm -rf "$out/_CPack_Packages"
ls "$out/thawprint_$version-1_"*.deb
