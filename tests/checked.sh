#!/bin/sh
# The tests under tools that watch the program from inside.
# usage: checked.sh sanitize|threads|valgrind|coverage|fuzz [brief | MORE FOR ctest]
#   sanitize   the tests, address and undefined-behaviour sanitizers, in build-asan
#   threads    runs with three threads, clang's thread sanitizer, in build-tsan
#   valgrind   the unit tests, in build-valgrind
#   coverage   which lines of src/ the tests reach, in build-coverage; fails below 90 %
#   fuzz       each target of tests/fuzz for FUZZ_SECONDS (300), from its corpus, in build-fuzz
# brief: what takes a few minutes with the build: tests of a few seconds each, one run with three threads, a second a target.
# Where no tests are named, those are left out that take minutes as it is and reach no code that others do not.
set -eu
cd "$(dirname "$0")/.."
kind=$1
shift
export OMP_WAIT_POLICY=passive
jobs=${JOBS:-2}

# Whole scenarios at some size, and what looks at the program from outside: killed programs tell no tool anything.
too_long='^(ice_size_test|pattern_test|setups_test|shipped_lays_test|a_free_end_below_the_ice_draws_dye_farther|random'
too_long="$too_long|a_border_of_jersey_climbs_as_dyers_tell_within_the_stated_range|accuracy_is_fresh|calls|kills|at_once)\$"
quick='quantity area picture png own plain_text drip hang strip_readings kitchen_fit fold look weather'
brief=no
if [ "${1:-}" = brief ]; then
    brief=yes
    shift
fi
under_valgrind_too_long='^(page_test|border_test)$'

configure() { # FOLDER [MORE]
    folder=$1
    shift
    cmake -S . -B "$folder" -G Ninja "$@" >/dev/null
}

# Some machines let no program trace another, as the leak sanitizer does, or fix places of memory.
leaks_can_be_found() {
    probe=$(mktemp)
    echo 'int main(void) { return 0; }' | cc -x c -fsanitize=address -o "$probe" - && "$probe" 2>/dev/null
    found=$?
    rm -f "$probe"
    return $found
}

case $kind in
sanitize)
    leaks_can_be_found || {
        echo "leaks are not looked for: this machine does not let them be"
        export ASAN_OPTIONS=detect_leaks=0
    }
    configure build-asan -DTHAW_SANITIZE=address,undefined -DCMAKE_BUILD_TYPE=RelWithDebInfo \
        -DCMAKE_C_FLAGS_RELWITHDEBINFO="-O1 -g"
    if [ $brief = yes ]; then
        tests=$(for test in $quick; do printf '%s_test ' "$test"; done)
        # shellcheck disable=SC2086
        ninja -C build-asan -j "$jobs" thawprint random_scenarios $tests
        ctest --test-dir build-asan --output-on-failure -j "$jobs" -R "^($(echo "$tests" | sed 's/ $//; s/ /|/g'))\$"
        LSAN_OPTIONS="suppressions=$PWD/tests/support/leaks.txt:print_suppressions=0" sh tests/random/run.sh \
            build-asan/tests/random_scenarios 1 10
        exit
    fi
    ninja -C build-asan -j "$jobs"
    [ $# -gt 0 ] || set -- -E "$too_long" -LE browser
    UBSAN_OPTIONS=print_stacktrace=1 ctest --test-dir build-asan --output-on-failure -j "$jobs" "$@"
    ;;
threads)
    setarch -R true 2>/dev/null || {
        echo "left out: this machine does not let places of memory be fixed"
        exit 0
    }
    # gcc's runtime of OpenMP is not instrumented and makes false reports; clang's own is left out of sight.
    CC=clang configure build-tsan -DTHAW_SANITIZE=thread -DCMAKE_BUILD_TYPE=RelWithDebInfo -DTHAW_NATIVE=OFF \
        -DCMAKE_C_FLAGS_RELWITHDEBINFO="-O1 -g"
    ninja -C build-tsan -j "$jobs" thawprint
    clang -shared -fPIC -o build-tsan/threads.so tests/support/threads.c
    work=$(mktemp -d)
    trap 'rm -rf "$work"' EXIT INT TERM
    printf '%s\n' 'title: Test cloth' 'cloth: { kind: cotton twill, width: 12 cm, length: 10 cm }' \
        'fold: [{ scrunch: { to: 60 % } }]' 'ice: [{ kind: cubes, mass: 100 g }]' \
        'dye: [{ colour: turquoise, mass: 200 mg }, { colour: fuchsia, mass: 100 mg, area: left half }]' \
        'leave: 20 min' 'detail: draft' >"$work/s.yaml"
    export TSAN_OPTIONS="ignore_noninstrumented_modules=1:halt_on_error=1:exitcode=66:suppressions=$PWD/tests/support/threads.txt"
    watched() { # places of memory that are not drawn by lot: its shadow memory would lie in their way
        setarch -R env LD_PRELOAD="$PWD/build-tsan/threads.so" build-tsan/thawprint "$@"
    }
    watched preview -q --threads 3 -o "$work/one" "$work/s.yaml"
    if [ $brief = yes ]; then
        echo "three threads: preview: no report"
        exit
    fi
    watched preview -q --threads 3 --chances 3 -o "$work/two" "$work/s.yaml"
    watched compare -q --threads 3 --chances 2 --vary ice.kind=crushed,cubes -o "$work/three" "$work/s.yaml"
    echo "three threads: preview, chances, compare: no report"
    ;;
valgrind)
    # Instructions of newer machines are not all known to valgrind.
    configure build-valgrind -DTHAW_NATIVE=OFF -DTHAW_SERIAL=ON -DCMAKE_BUILD_TYPE=RelWithDebInfo \
        -DCMAKE_C_FLAGS_RELWITHDEBINFO="-O1 -g"
    tests=$(cd tests/unit && ls ./*.c | sed 's#^\./##; s/\.c$//' | grep -Ev "$under_valgrind_too_long")
    [ $# -eq 0 ] || tests=$*
    [ $brief = no ] || tests=$(for test in $quick; do printf '%s_test ' "$test"; done)
    # shellcheck disable=SC2086
    ninja -C build-valgrind -j "$jobs" $tests
    for test in $tests; do
        echo "== $test"
        valgrind -q --error-exitcode=9 --leak-check=full --show-leak-kinds=definite --errors-for-leak-kinds=definite \
            --suppressions=tests/support/valgrind.txt "build-valgrind/tests/$test" >/dev/null
    done
    ;;
coverage)
    configure build-coverage -DTHAW_NATIVE=OFF -DTHAW_SERIAL=ON -DCMAKE_BUILD_TYPE=Debug \
        -DCMAKE_C_FLAGS_DEBUG="-O1 --coverage -fprofile-update=atomic"
    ninja -C build-coverage -j "$jobs"
    [ $brief = no ] || set -- -L 'unit|fuzz' -E '^(page_test|border_test|scenario_test)$'
    [ $# -gt 0 ] || set -- -E "$too_long" -LE 'browser|install|outside|convergence'
    find build-coverage -name '*.gcda' -delete
    ctest --test-dir build-coverage --output-on-failure -j "$jobs" "$@"
    gcovr -r . --object-directory build-coverage -f src/ --sort-percentage --fail-under-line "${LEAST:-$([ $brief = no ] && echo 90 || echo 0)}"
    ;;
fuzz)
    CC=clang configure build-fuzz -DTHAW_FUZZ=ON -DTHAW_SERIAL=ON -DTHAW_NATIVE=OFF -DCMAKE_BUILD_TYPE=RelWithDebInfo \
        -DCMAKE_C_FLAGS_RELWITHDEBINFO="-O1 -g"
    ninja -C build-fuzz -j "$jobs"
    for target in build-fuzz/tests/fuzz/fuzz_*; do
        [ -x "$target" ] && [ -f "$target" ] || continue
        name=$(basename "$target" | sed 's/fuzz_//')
        mkdir -p "build-fuzz/found/$name" "build-fuzz/crash/$name"
        nice -n 19 "$target" -max_total_time="${FUZZ_SECONDS:-$([ $brief = no ] && echo 300 || echo 1)}" -timeout=300 -rss_limit_mb=3000 -max_len=8192 \
            -dict=tests/fuzz/words.dict -artifact_prefix="build-fuzz/crash/$name/" "build-fuzz/found/$name" \
            "tests/fuzz/corpus/$name"
    done
    ;;
*)
    echo "usage: checked.sh sanitize|threads|valgrind|coverage|fuzz" >&2
    exit 2
    ;;
esac
