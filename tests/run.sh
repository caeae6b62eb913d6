#!/bin/sh
# Installs what is missing, builds, and runs every test.
set -eu
cd "$(dirname "$0")/.."
. tests/setup.sh
# Libraries to check against.
node="" # for pages in a browser; a node from elsewhere brings npm along
command -v npm >/dev/null 2>&1 || node="nodejs npm"
# shellcheck disable=SC2086 # one word a package
install_packages libcmocka-dev python3-iapws python3-colormath python3-scipy libgsl-dev parallel chromium poppler-utils $node
build tests
# Two tests run at once: threads that wait must not spin.
export OMP_WAIT_POLICY=passive
say "running the tests"
ctest --test-dir build --output-on-failure -j2 "$@"
