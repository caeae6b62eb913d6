#!/bin/sh
# Installs what is missing, builds, and runs every test.
set -eu
cd "$(dirname "$0")/.."
. tests/setup.sh
# Libraries to check against.
install_packages libcmocka-dev python3-iapws python3-colormath python3-scipy libgsl-dev parallel poppler-utils
build tests
# Two tests run at once: threads that wait must not spin.
export OMP_WAIT_POLICY=passive
say "running the tests"
ctest --test-dir build --output-on-failure -j2 "$@"
