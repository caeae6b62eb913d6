#!/bin/sh
# Runs into one folder at the same time do not mix, a folder that goes away is made again or told of, and one that may
# not be written is refused. usage: at_once.sh PROGRAM NEXT_BATCH CALLS.so ROUNDS
set -eu
program=$(realpath "$1")
next_batch=$(realpath "$2")
calls=$(realpath "$3")
rounds=$4
. "$(dirname "$0")/whole.sh"

slowly() { # SEED
    env LD_PRELOAD="$calls" THAW_CALL_SLOW=15 "$program" preview -q --threads 1 --without-ranges --seed "$1" -o here s.yaml \
        >/dev/null 2>"$work/said$1" || echo "$?" >"$work/bad"
}

i=1
seen_first=0
while [ "$i" -le "$rounds" ]; do
    fresh
    slowly 1 &
    one=$!
    slowly 2 &
    wait "$one" "$!"
    [ ! -e "$work/bad" ] || complain "two at once: status $(cat "$work/bad")"
    [ -z "$(hidden)" ] || complain "two at once: something is left"
    case $(which_result) in
    first) seen_first=$((seen_first + 1)) ;;
    half) complain "two at once: the results are mixed" ;;
    esac
    i=$((i + 1))
done
echo "ok      two at once, $rounds times: $seen_first times the one stays, else the other, never both"

# The folder goes away while the program computes: it is made again.
fresh
("$program" preview -q --threads 1 --seed 2 --chances 2 -o here s.yaml >/dev/null 2>"$said"; echo $? >"$work/status") &
running=$!
while [ ! -e here/members/plan.txt ] && kill -0 $running 2>/dev/null; do :; done
while ! rm -rf here 2>/dev/null; do :; done
wait $running || true
case $(cat "$work/status") in
0) ;;
4) [ -s "$said" ] || complain "the folder went away: no reason" ;;
*) complain "the folder went away: status $(cat "$work/status")" ;;
esac
rm -rf here
echo "ok      the folder goes away while chances run: status $(cat "$work/status")"

# No right to write. Root may write anywhere: then another user tries.
fresh
chmod -R a+rX "$work"
chmod 555 here
status=0
if [ "$(id -u)" -eq 0 ]; then
    setpriv --reuid=65534 --regid=65534 --clear-groups "$program" preview -q --without-ranges -o here s.yaml >/dev/null 2>"$said" || status=$?
else
    run 2 here || status=$?
fi
[ $status -eq 4 ] || complain "no right to write: status $status"
grep -q "Permission denied" "$said" || complain "no right to write: no reason"
[ "$(which_result)" = first ] && [ -z "$(hidden)" ] || complain "no right to write: the result has changed"
chmod 755 here
echo "ok      no right to write: $(cat "$said")"
