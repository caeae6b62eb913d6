#!/bin/sh
# Is a result the same bytes at any number of threads, and from other compilers, optimisation and without OpenMP?
# usage: determinism.sh WORK-FOLDER [BUILD...]; builds: gcc-O3 gcc-O1 gcc-serial clang-O3 clang-O1 (default: all)
# Threads must agree to the byte in every build, or the status is 1. Where builds differ the mean and the largest colour
# difference (CIEDE2000) of the dry cloth is told; above 1 in the mean the status is 1.
set -eu
cd "$(dirname "$0")/.."
source=$(pwd)
mkdir -p "$1"
work=$(cd "$1" && pwd)
shift
[ $# -gt 0 ] || set -- gcc-O3 gcc-O1 gcc-serial clang-O3 clang-O1
export OMP_WAIT_POLICY=passive
bad=0

cat >"$work/folded.yaml" <<'YAML'
title: Folded
cloth: { kind: cotton twill, width: 14 cm, length: 12 cm }
fold: [{ accordion: { pleats: 3 } }, { scrunch: { to: 70 % } }]
ice: [{ kind: crushed, mass: 150 g }]
dye: [{ colour: turquoise, mass: 150 mg, area: left half }, { colour: fuchsia, mass: 150 mg, area: right half }]
leave: 4 h
detail: draft
YAML
cat >"$work/tub.yaml" <<'YAML'
title: In a tub
cloth: { kind: silk habotai, width: 12 cm, length: 12 cm }
prepare: { start: dry }
ice: [{ kind: cubes, mass: 120 g }, { kind: snow, mass: 40 g, at: 1 h }]
dye: [{ colour: { blue: 2, violet: 1 }, mass: 100 mg }, { colour: golden yellow, strength: 20 g/L, volume: 3 mL }]
soda-ash: [{ mass: 300 mg }]
set-up: { stand: tub, width: 20 cm, length: 20 cm }
leave: 4 h
detail: draft
YAML

make_one() { # BUILD
    compiler=gcc level=-O3 serial=OFF
    case $1 in clang*) compiler=clang ;; esac
    case $1 in *-O1) level=-O1 ;; *-serial) serial=ON ;; esac
    CC=$compiler cmake -S "$source" -B "$work/build-$1" -G Ninja -DTHAW_TESTS=OFF -DTHAW_BENCH=ON -DTHAW_SERIAL=$serial \
        -DCMAKE_BUILD_TYPE=Release -DCMAKE_C_FLAGS_RELEASE=$level >/dev/null
    cmake --build "$work/build-$1" --target thawprint picture_difference >/dev/null
}

first=$1
for build in "$@"; do
    make_one "$build"
    for scenario in folded tub; do
        for threads in 1 2 3; do
            "$work/build-$build/thawprint" preview -q --without-ranges --threads $threads \
                -o "$work/$build/$scenario/$threads" "$work/$scenario.yaml" >/dev/null
        done
        if diff -rq "$work/$build/$scenario/1" "$work/$build/$scenario/2" && diff -rq "$work/$build/$scenario/1" "$work/$build/$scenario/3"; then
            echo "$build, $scenario: 1, 2 and 3 threads: the same bytes"
        else
            bad=1
        fi
        if diff -rq "$work/$first/$scenario/1" "$work/$build/$scenario/1" >/dev/null; then
            echo "$build, $scenario: the bytes of $first"
        else
            tool=$(find "$work/build-$build" -name picture_difference -type f)
            difference=$("$tool" "$work/$first/$scenario/1/cloth-dry.png" "$work/$build/$scenario/1/cloth-dry.png") || true
            echo "$build, $scenario: differs from $first: $difference"
        fi
    done
done
exit $bad
