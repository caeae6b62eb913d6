#!/bin/sh
# Installs what is missing, builds, and runs every test, then a few under tools that watch from inside (tests/checked.sh, brief);
# with --all first, those that take many minutes, too, and then as many as can be under each of the tools.
# A tool alone: sh tests/run.sh --sanitize (or --threads, --valgrind, --coverage, --fuzz), in a short form with the word brief behind.
# Other words go to ctest, for example: sh tests/run.sh -L unit
set -eu
cd "$(dirname "$0")/.."
. tests/setup.sh
# Tools that watch from inside are run apart: see tests/checked.sh.
case ${1:-} in
--sanitize | --threads | --valgrind | --coverage | --fuzz)
    install_packages libcmocka-dev libgsl-dev clang libomp-dev valgrind gcovr
    tool=${1#--}
    shift
    exec sh tests/checked.sh "$tool" "$@"
    ;;
esac
# Libraries to check against.
slow=OFF
tools="" # of tests/checked.sh
brief=""
more=""  # packages
if [ "${1:-}" = --all ]; then
    slow=ON
    tools="threads sanitize valgrind coverage fuzz"
    more="debootstrap lintian clang libomp-dev valgrind gcovr"
    shift
elif [ $# -eq 0 ]; then
    tools="threads sanitize valgrind"
    brief=brief
    more="clang libomp-dev valgrind"
fi
# For pages in a browser; a node from elsewhere brings npm along.
command -v npm >/dev/null 2>&1 || more="$more nodejs npm"
# shellcheck disable=SC2086 # one word a package
install_packages libcmocka-dev python3-iapws python3-colormath python3-scipy libgsl-dev parallel poppler-utils chromium \
    mandoc groff man-db bsdextrautils dpkg-dev file pngcheck netpbm $more
build -DTHAW_TESTS=ON -DTHAW_BENCH=ON -DTHAW_SLOW=$slow
# Two tests run at once: threads that wait must not spin.
export OMP_WAIT_POLICY=passive
say "running the tests"
ctest --test-dir build --output-on-failure -j2 "$@"
for tool in $tools; do
    say "the tests under a tool: $tool"
    # shellcheck disable=SC2086 # no word at all, if not brief
    FUZZ_SECONDS=${FUZZ_SECONDS:-60} sh tests/checked.sh "$tool" $brief
done
