#!/bin/sh
# Installs into a scratch prefix, and builds a client against pkg-config and CMake files.
# usage: install.sh BUILD_FOLDER C_COMPILER VERSION
set -eu
here=$(cd "$(dirname "$0")" && pwd)
source=$(cd "$here/../.." && pwd)
build=$(cd "$1" && pwd)
cc=$2
version=$3
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT INT TERM
fail() {
    echo "FAILED: $1"
    exit 1
}

# A prefix with a blank, moved after it was installed: nothing in it may know where it was.
cmake --install "$build" --prefix "$work/first" >"$work/log" || fail "cmake --install: $(cat "$work/log")"
prefix="$work/a prefix"
mv "$work/first" "$prefix"
cd "$prefix"
! grep -rlF -e "$source/" -e "$build" -e "$work" lib include share >"$work/found" || fail "these name a build folder: $(cat "$work/found")"

library=$(find "$prefix" -name 'libthawprint.so') || fail "no library"
lib=$(dirname "$library")
[ "$(readlink "$lib/libthawprint.so")" = "libthawprint.so.${version%%.*}" ] || fail "libthawprint.so is no link to the soname"
readelf -d "$library" | grep -q "SONAME.*\[libthawprint.so.${version%%.*}\]" || fail "soname"
[ -f "$lib/libthawprint.so.$version" ] || fail "libthawprint.so.$version is not there"

# The library shows what the public headers declare, as the compiler reads them, and nothing else.
echo '#include <thawprint/thawprint.h>' >"$work/all.c"
gcc -std=c17 -Iinclude -aux-info "$work/declared" -c -o "$work/all.o" "$work/all.c"
sed -n 's|^/\* include/thawprint/.*extern .*[ *]\(thaw_[a-z0-9_]*\) (.*|\1|p' "$work/declared" | sort -u >"$work/wanted"
nm -D --defined-only "$library" | sed -n 's/.* [A-Z] \([a-z_0-9]*\)@.*/\1/p' | sort -u >"$work/shown"
[ "$(wc -l <"$work/wanted")" -gt 40 ] || fail "the headers declare too little: $(cat "$work/wanted")"
diff "$work/wanted" "$work/shown" || fail "declared (<) and shown (>) differ"
for header in include/thawprint/*.h; do # each stands alone
    gcc -std=c17 -Wall -Wextra -Wpedantic -Werror -Iinclude -fsyntax-only -x c "$header" || fail "$header"
done

"$prefix/bin/thawprint" --version | grep -qxF "thawprint $version" || fail "the program does not run"
"$prefix/bin/thawprint" check -q "$prefix"/share/thawprint/scenarios/*.yaml \
    "$prefix"/share/thawprint/scenarios/set-ups/*.yaml || fail "an installed scenario has faults"

title=$(sed -n 's/^title: //p' share/thawprint/scenarios/tide-backdrop.yaml)
PKG_CONFIG_PATH="$lib/pkgconfig"
LD_LIBRARY_PATH="$lib"
export PKG_CONFIG_PATH LD_LIBRARY_PATH
[ "$(pkg-config --modversion thawprint)" = "$version" ] || fail "pkg-config: version"
flags=$(pkg-config --cflags --libs thawprint)
eval "$cc -std=c17 -Wall -Wextra -Wpedantic -Werror -o '$work/client' '$here/client.c' $flags" || fail "client by pkg-config"
[ "$("$work/client")" = "$version: $title" ] || fail "client by pkg-config says: $("$work/client")"
unset LD_LIBRARY_PATH PKG_CONFIG_PATH

by_cmake() { # WANTED VERSION
    rm -rf "$work/by-cmake"
    cmake -S "$here" -B "$work/by-cmake" -DCMAKE_C_COMPILER="$cc" -DCMAKE_PREFIX_PATH="$prefix" -DWANTED="$1" \
        >"$work/log" 2>&1 && cmake --build "$work/by-cmake" >>"$work/log" 2>&1
}
by_cmake "$version" || fail "client by CMake: $(cat "$work/log")"
[ "$("$work/by-cmake/client")" = "$version: $title" ] || fail "client by CMake says: $("$work/by-cmake/client")"
! by_cmake 99.0 || fail "version 99.0 was found"
echo "installed, moved, and two clients built: $(wc -l <"$work/shown") functions shown"
