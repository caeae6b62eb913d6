#!/bin/sh
# Installs what is missing, builds, and runs every test; with --all first, those that take many minutes, too.
# Other words go to ctest, for example: sh tests/run.sh -L unit
set -eu
cd "$(dirname "$0")/.."
. tests/setup.sh
# Libraries to check against.
slow=OFF
slow_packages=""
if [ "${1:-}" = --all ]; then
    slow=ON
    slow_packages="debootstrap lintian"
    shift
fi
# shellcheck disable=SC2086 # one word a package
install_packages libcmocka-dev python3-iapws python3-colormath python3-scipy libgsl-dev parallel poppler-utils \
    mandoc groff man-db bsdextrautils dpkg-dev file $slow_packages
build -DTHAW_TESTS=ON -DTHAW_BENCH=ON -DTHAW_SLOW=$slow
# Two tests run at once: threads that wait must not spin.
export OMP_WAIT_POLICY=passive
say "running the tests"
ctest --test-dir build --output-on-failure -j2 "$@"
