#!/bin/sh
# SIGKILL, SIGINT and SIGTERM at random moments, ROUNDS times each: the result is whole, and nothing is left. usage: kills.sh PROGRAM NEXT_BATCH ROUNDS
set -eu
program=$(realpath "$1")
next_batch=$(realpath "$2")
rounds=$3
. "$(dirname "$0")/whole.sh"

began=$(date +%s%N)
run 1 first
typical_us=$((($(date +%s%N) - began) / 1000))

moment() { # ROUND SIGNAL: seconds, a known sequence over somewhat more than a run
    awk -v seed="$1$2" -v t="$typical_us" 'BEGIN { srand(seed); printf "%.6f", rand() * 1.3 * t / 1e6 }'
}

for signal in KILL INT TERM; do
    number=$(kill -l "$signal" 2>/dev/null || true)
    case $signal in KILL) number=9 ;; INT) number=2 ;; TERM) number=15 ;; esac
    stopped=0 ended=0
    i=1
    while [ "$i" -le "$rounds" ]; do
        fresh
        status=0
        timeout --preserve-status -s "$signal" "$(moment "$i" "$number")" "$program" preview -q --threads 1 \
            --without-ranges --seed 2 -o here s.yaml >/dev/null 2>"$said" || status=$?
        before=$(which_result)
        case $status in
        0) ended=$((ended + 1)) && [ "$before" = second ] || complain "$signal in round $i: done, but $before" ;;
        130 | 137 | 143) stopped=$((stopped + 1)) ;;
        *) complain "$signal in round $i: status $status" ;;
        esac
        if [ $signal != KILL ]; then
            [ -z "$(hidden)" ] || complain "$signal in round $i: something is left"
        fi
        next_run
        [ "$(which_result)" != half ] || complain "$signal in round $i: a half result"
        i=$((i + 1))
    done
    echo "ok      SIG$signal $rounds times: $stopped runs stopped, $ended came to their end"
done
