#!/bin/sh
# The program is killed at each call by which it changes files, and each call fails in turn: the earlier result stays
# whole, or the new one is complete, at the latest when the next run has cleared up. usage: calls.sh PROGRAM NEXT_BATCH CALLS.so [ERRNO]
set -eu
program=$(realpath "$1")
next_batch=$(realpath "$2")
calls=$(realpath "$3")
. "$(dirname "$0")/whole.sh"

with() { # SETTING... -- SEED
    settings=""
    while [ "$1" != -- ]; do
        settings="$settings $1"
        shift
    done
    status=0
    # shellcheck disable=SC2086
    env LD_PRELOAD="$calls" $settings "$program" preview -q --threads 1 --without-ranges --seed "$2" -o here s.yaml \
        >/dev/null 2>"$said" || status=$?
}

fresh
with THAW_CALL_COUNT="$work/count" -- 2
[ $status -eq 0 ] || complain "no fault: status $status"
n_calls=$(cat "$work/count")
[ "$n_calls" -gt 30 ] || complain "only $n_calls calls were seen"

with THAW_CALL_SHORT=100 -- 1
[ $status -eq 0 ] && [ "$(which_result)" = first ] || complain "short and interrupted writes"
echo "ok      short and interrupted writes"

# A command that only reads the folder ends what was begun, too.
read_back() {
    "$program" record here >/dev/null 2>"$said" || complain "killed at call $n: record"
    [ "$(which_result)" = second ] || complain "killed at call $n: half a result was read"
}

early=0 late=0 between=0
n=1
while [ "$n" -le "$n_calls" ]; do
    fresh
    with THAW_CALL_KILL=$n -- 2
    [ $status -eq 137 ] || complain "killed at call $n: status $status"
    before=$(which_result)
    left=$(hidden)
    [ "$before" != half ] || [ "$left" = .thawprint-ready ] || complain "killed at call $n: a half result, and no way back"
    [ "$before" != half ] || [ $((n % 2)) -eq 0 ] || read_back
    next_run
    case $before$(which_result) in
    firstfirst) early=$((early + 1)) ;;
    secondsecond) late=$((late + 1)) ;;
    *second) between=$((between + 1)) ;;
    *) complain "killed at call $n: a half result" ;;
    esac
    n=$((n + 1))
done
echo "ok      killed at each of $n_calls calls: $early times the earlier result, $late times the new one," \
    "$between times the new one after the next run"

refused=0 done=0
for errno in ${4:-28 5}; do # no space left, input/output error
    n=1
    while [ "$n" -le "$n_calls" ]; do
        fresh
        with THAW_CALL_FAIL=$n THAW_CALL_ERRNO=$errno -- 2
        case $status in
        0)
            done=$((done + 1))
            [ "$(which_result)" = second ] || complain "call $n fails: done, but not the new result"
            ;;
        4)
            refused=$((refused + 1))
            [ "$(which_result)" = first ] || [ "$(hidden)" = .thawprint-ready ] || complain "call $n fails: a half result"
            ;;
        *) complain "call $n fails: status $status" ;;
        esac
        next_run
        [ "$(which_result)" != half ] || complain "call $n fails: a half result"
        n=$((n + 1))
    done
done
echo "ok      each of $n_calls calls fails, errno ${4:-28 and 5}: $refused times refused, $done times done without it"
