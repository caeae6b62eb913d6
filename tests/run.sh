#!/bin/sh
# Installs what is missing, builds, and runs every test.
set -eu
cd "$(dirname "$0")/.."
. tests/setup.sh
# Tools that watch from inside are run apart: see tests/checked.sh.
case ${1:-} in
--sanitize | --threads | --valgrind | --coverage | --fuzz)
    install_packages libcmocka-dev libgsl-dev clang libomp-dev valgrind gcovr
    exec sh tests/checked.sh "${1#--}"
    ;;
esac
# Libraries to check against.
install_packages libcmocka-dev python3-iapws python3-colormath python3-scipy libgsl-dev parallel pngcheck netpbm
build tests
# Two tests run at once: threads that wait must not spin.
export OMP_WAIT_POLICY=passive
say "running the tests"
ctest --test-dir build --output-on-failure -j2 "$@"
