#!/bin/sh
# Runs the program on every case in cases/ and compares exit status, stdout and stderr.
# usage: run.sh PROGRAM [CASE...]
#
# A case is a file of lines:
#   # what it shows
#   run: command line, run by sh in an empty folder; `thawprint` is the program
#   exit: expected status
#   out: / err: a fragment of one line that must be there; `no-out:` / `no-err:` must not
#   whole: err      stderr is exactly the err: lines
#   present: / absent: a path that must (not) be there afterwards
#   yaml:           everything below goes into s.yaml
set -u
here=$(cd "$(dirname "$0")" && pwd)
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
shift
[ $# -gt 0 ] || set -- "$here"/cases/*.case
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT INT TERM
mkdir "$work/bin" && ln -s "$program" "$work/bin/thawprint"
SCENARIOS=$(cd "$here/../../scenarios" && pwd)
export SCENARIOS OMP_WAIT_POLICY=passive
PATH="$work/bin:$PATH"
passed=0
failed=0

value() { # value KEY FILE: all values of a key, a line each
    sed -n "/^yaml:/q; s/^$1: //p" "$2"
}

complain() {
    echo "    $1"
    good=no
}

check_lines() { # KEY FILE-WITH-OUTPUT CASE WANTED(yes/no)
    value "$1" "$3" >"$work/wanted"
    while IFS= read -r fragment; do
        if grep -qF -e "$fragment" "$2"; then found=yes; else found=no; fi
        [ $found = "$4" ] || complain "$1: '$fragment'"
    done <"$work/wanted"
}

for case in "$@"; do
    good=yes
    name=$(basename "$case" .case)
    rm -rf "$work/cell" && mkdir "$work/cell"
    sed '1,/^yaml:/d' "$case" >"$work/cell/s.yaml"
    command=$(value run "$case")
    [ -n "$command" ] || complain "no run: line"
    (cd "$work/cell" && sh -c "$command") >"$work/out" 2>"$work/err" </dev/null
    status=$?
    [ "$status" = "$(value exit "$case")" ] || complain "exit: $status, not $(value exit "$case")"
    check_lines out "$work/out" "$case" yes
    check_lines err "$work/err" "$case" yes
    check_lines no-out "$work/out" "$case" no
    check_lines no-err "$work/err" "$case" no
    if [ "$(value whole "$case")" = err ]; then
        value err "$case" >"$work/wanted"
        cmp -s "$work/wanted" "$work/err" || complain "whole: stderr is not exactly the err: lines"
    fi
    for path in $(value present "$case"); do
        [ -e "$work/cell/$path" ] || complain "present: $path is not there"
    done
    for path in $(value absent "$case"); do
        [ ! -e "$work/cell/$path" ] || complain "absent: $path is there"
    done
    if [ $good = yes ]; then
        passed=$((passed + 1))
        echo "ok      $name"
    else
        failed=$((failed + 1))
        echo "FAILED  $name: $(sed -n '1s/^# //p' "$case")"
        sed 's/^/    stderr| /' "$work/err" | head -40
    fi
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
