#!/bin/sh
# A disk that is full or nearly so: exit status 4 and the reason, the earlier result whole, nothing else
# left; and with room again the new result takes its place.
# usage: full_disk.sh PROGRAM. The disk is a small one in memory; where none may be mounted, status 77.
set -eu
if [ "${2:-}" != mounted ]; then
    program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
    disk=$(mktemp -d)
    trap 'rm -rf "$disk"' EXIT INT TERM
    # A mount of our own name space goes away with it.
    for flags in -m -rm; do
        if unshare $flags mount -t tmpfs none "$disk" 2>/dev/null; then
            status=0
            unshare $flags sh "$0" "$program" mounted "$disk" || status=$?
            exit $status
        fi
    done
    echo "skipped: no file system may be mounted here"
    exit 77
fi
program=$1
disk=$3
mount -t tmpfs -o size=1m none "$disk"
cd "$disk"
mkdir work
cat >work/s.yaml <<'END'
title: Test cloth
cloth: { kind: cotton twill, width: 6 cm, length: 5 cm }
ice:
  - { kind: cubes, mass: 30 g }
dye:
  - { colour: turquoise, mass: 50 mg }
leave: 10 min
detail: draft
END

complain() {
    echo "FAILED: $1"
    sed 's/^/    stderr| /' "$said" 2>/dev/null || true
    exit 1
}

said=$(mktemp)
kept=$(mktemp -d)
trap 'rm -rf "$said" "$kept"' EXIT INT TERM
"$program" preview -q -o here work/s.yaml >/dev/null || complain "the first run"
cp -R here "$kept/first"
room=$(df -k "$disk" | awk 'NR == 2 { print $4 }')
needed=$(du -sk here | awk '{ print $1 }')
for free in 0 4 $((needed / 2)) $((needed - 8)); do # KiB
    head -c $(((room - free) * 1024)) /dev/zero >filler
    dir=here
    [ "$free" -ne 4 ] || dir=new/folder
    status=0
    "$program" preview -q --seed 2 -o $dir work/s.yaml >/dev/null 2>"$said" || status=$?
    [ $status -eq 4 ] || complain "$free KiB free: exit status $status"
    grep -q "No space left on device" "$said" || complain "$free KiB free: no reason"
    [ "$(ls -A | tr '\n' ' ')" = "filler here work " ] || complain "$free KiB free: something is left"
    diff -r "$kept/first" here || complain "$free KiB free: the earlier result has changed"
    echo "ok      $free KiB free: $(cat "$said")"
done
rm filler
"$program" preview -q --seed 2 -o here work/s.yaml >/dev/null 2>"$said" || complain "room again"
! diff -rq "$kept/first" here >/dev/null || complain "room again: the new result is not there"
[ "$(ls -A here | wc -l)" -eq "$(ls -A "$kept/first" | wc -l)" ] || complain "room again: something is left"
echo "ok      room again"
