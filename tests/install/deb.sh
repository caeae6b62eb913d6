#!/bin/sh
# Packs the build at hand and looks at the package. usage: deb.sh BUILD_FOLDER VERSION
# Whether it runs elsewhere is for tests/slow/fresh_root.sh: this one may be built for this machine alone.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
source=$(cd "$here/../.." && pwd)
version=$2
cd "$1"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT INT TERM
fail() {
    echo "FAILED: $1"
    exit 1
}

if grep -q '^THAW_NATIVE:BOOL=ON' CMakeCache.txt && cpack -B "$work" >"$work/log" 2>&1; then
    fail "a build for this machine alone was packed"
fi
umask 022
cpack -D CPACK_THAW_TRIAL=1 -B "$work" >"$work/log" 2>&1 || fail "cpack: $(cat "$work/log")"
deb=$work/thawprint_$version-1_$(dpkg --print-architecture).deb
[ -f "$deb" ] || fail "not there: $deb, but $(ls "$work")"

field() {
    dpkg-deb -f "$deb" "$1"
}
[ "$(field Package) $(field Version) $(field Section)" = "thawprint $version-1 science" ] || fail "name, version or section"
field Description | sed -n '2,$p' | grep -q '[a-z]' || fail "no long description"

# Depends names the package of every library that program and library need.
dpkg-deb -x "$deb" "$work/root"
library=$(find "$work/root" -name "libthawprint.so.$version")
for soname in $(readelf -d "$work/root/usr/bin/thawprint" "$library" | sed -n 's/.*(NEEDED).*\[\(.*\)\]/\1/p' | sort -u); do
    case $soname in libthawprint.*) continue ;; esac
    package=$(dpkg-query -S "*/$(dpkg-architecture -qDEB_HOST_MULTIARCH)/$soname" | sed -n '1s/:.*//p')
    field Depends | tr ',' '\n' | grep -Eq "^ *$package( |\$)" || fail "Depends lacks $package for $soname: $(field Depends)"
done

# Exactly these files, for everybody to read, root's own.
lib=$(dirname "${library#"$work/root/"}")
{
    printf '%s\n' usr/bin/thawprint "$lib/libthawprint.so" "$lib/libthawprint.so.${version%%.*}" \
        "$lib/libthawprint.so.$version" "$lib/pkgconfig/thawprint.pc" usr/share/man/man1/thawprint.1.gz \
        usr/share/bash-completion/completions/thawprint usr/share/lintian/overrides/thawprint
    for part in Config ConfigVersion Targets Targets-release; do
        echo "$lib/cmake/thawprint/thawprint$part.cmake"
    done
    for paper in README.md copyright changelog.gz changelog.Debian.gz; do
        echo "usr/share/doc/thawprint/$paper"
    done
    cd "$source"
    find include -name '*.h' | sed 's|^|usr/|'
    find docs -name '*.md' -o -name '*.png' | sed 's|^|usr/share/doc/thawprint/|'
    find scenarios -type f ! -name demo.sh | sed 's|^|usr/share/thawprint/|'
} | sort >"$work/wanted"
dpkg-deb -c "$deb" | grep -v '^d' | sed 's|.* \./||; s| -> .*||' | sort >"$work/packed"
diff "$work/wanted" "$work/packed" || fail "wanted (<) and packed (>) differ"
dpkg-deb -c "$deb" | grep -v '^l' | grep -Ev '^(d|-)rw(-|x)r-(-|x)r-(-|x) root/root ' >"$work/odd" || :
[ ! -s "$work/odd" ] || fail "owner or mode: $(cat "$work/odd")"
sed '/^Copyright\|^MIT/d' "$source/LICENSE" | tr -s '\n ' ' ' >"$work/licence"
sed -n '/^License: Expat/,/^$/s/^ \.*//p' "$work/root/usr/share/doc/thawprint/copyright" | tr -s '\n ' ' ' >"$work/copyright"
grep -qF "$(sed 's/^ //; s/ $//' "$work/licence")" "$work/copyright" || fail "the copyright file does not hold the licence"
echo "$(wc -l <"$work/packed") files; Depends: $(field Depends)"
