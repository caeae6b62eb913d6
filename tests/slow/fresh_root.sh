#!/bin/sh
# Builds the package, installs it in a fresh Debian, runs the demo there as a plain user, and removes it again.
# usage: fresh_root.sh PROGRAM [ROOT]; ROOT: a fresh Debian made before, which is copied. Needs root; 77: cannot be tried.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
if [ "$(id -u)" -ne 0 ] || ! command -v debootstrap >/dev/null; then
    echo "skipped: wants root and debootstrap"
    exit 77
fi
work=$(mktemp -d)
root=$work/root
trap 'rm -rf "$work"' EXIT INT TERM
fail() {
    echo "FAILED: $1"
    exit 1
}
inside() {
    chroot "$root" /usr/bin/env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin LC_ALL=C.UTF-8 DEBIAN_FRONTEND=noninteractive \
        OMP_WAIT_POLICY=passive "$@"
}
as_user() { # COMMAND LINE
    chroot --userspec=1000:1000 "$root" /usr/bin/env -i PATH=/usr/bin:/bin HOME=/home/sewist OMP_WAIT_POLICY=passive \
        sh -c "cd /home/sewist && $1"
}
state() {
    inside dpkg-query -W -f '${Package} ${Version} ${Status}\n' | sort
}

mkdir "$work/deb"
deb=$(sh "$here/../../packaging/deb.sh" "$work/deb") || fail "the package does not build: $deb"
lintian --fail-on error,warning "$deb" || fail "lintian"

# From where and how this machine gets its own packages.
if [ $# -gt 1 ]; then
    cp -a "$2" "$root"
else
    mirror=$(apt-get indextargets --format '$(REPO_URI)' 'Created-By: Packages' 'Codename: bookworm' | head -1)
    debootstrap --variant=minbase bookworm "$root" "$mirror" >"$work/log" 2>&1 || fail "debootstrap: $(tail -5 "$work/log")"
fi
cp /etc/resolv.conf "$root/etc/" 2>/dev/null || :
apt-config dump | grep '^Acquire::[^ ]* "' >"$root/etc/apt/apt.conf.d/90host" || :
inside apt-get update -qq || fail "apt-get update"
mkdir -p "$root/home/sewist" && chown 1000:1000 "$root/home/sewist"
state >"$work/before"

cp "$deb" "$root/root/thawprint.deb"
inside apt-get install -y -qq --no-install-recommends /root/thawprint.deb >"$work/log" 2>&1 || fail "install: $(tail -20 "$work/log")"
rm "$root/root/thawprint.deb"
as_user "thawprint preview --detail draft --without-ranges -o demo" || fail "the demo"
(cd "$work" && OMP_WAIT_POLICY=passive "$program" preview --detail draft --without-ranges -q -o demo) || fail "the demo here"
diff -r "$work/demo" "$root/home/sewist/demo" || fail "the demo gives other bytes there"
as_user "thawprint check -q /usr/share/thawprint/scenarios/*.yaml" || fail "an example has faults"
as_user "bash -c '. /usr/share/bash-completion/completions/thawprint && complete -p thawprint'" || fail "completion"

inside apt-get purge -y -qq thawprint >"$work/log" 2>&1 || fail "purge: $(tail -20 "$work/log")"
inside apt-get autoremove --purge -y -qq >>"$work/log" 2>&1 || fail "autoremove: $(tail -20 "$work/log")"
state | diff "$work/before" - || fail "packages before (<) and after (>) differ"
find "$root" -xdev -name '*thawprint*' >"$work/left"
[ ! -s "$work/left" ] || fail "left behind: $(cat "$work/left")"
echo "installed, ran and removed in a fresh root"
