#!/bin/sh
# Installs what is missing, builds, and runs the built-in demo: one scenario, pictures and a melt time.
# Words behind it go to the program, for example: sh scenarios/demo.sh --detail draft
set -eu
cd "$(dirname "$0")/.."
. tests/setup.sh
install_packages
build
# On a busy machine threads that spin while they wait make the run several times longer.
export OMP_WAIT_POLICY="${OMP_WAIT_POLICY:-passive}"
say "running the demo (about a minute; with --detail draft about twenty seconds)"
build/thawprint preview "$@"
