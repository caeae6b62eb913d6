#!/bin/sh
# Parts of a set run by GNU parallel and joined are the bytes of one run. usage: parallel.sh PROGRAM
# Exit 77 (skipped) where there is no GNU parallel.
set -eu
command -v parallel >/dev/null || exit 77
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT INT TERM
cd "$work"
cat >s.yaml <<'YAML'
title: Test cloth
cloth: { kind: cotton twill, width: 12 cm, length: 10 cm }
ice:
  - { kind: cubes, mass: 100 g }
dye:
  - { colour: turquoise, mass: 200 mg }
leave: 1 h
detail: draft
YAML
"$program" preview -q --chances 6 -o one s.yaml
parallel --will-cite -j 2 "$program" preview -q --threads 1 --chances 6 --part {}/3 -o part{} s.yaml ::: 1 2 3
"$program" gather -q -o all part1 part2 part3
diff -r one all
echo "six chances in three parts: the same bytes"
