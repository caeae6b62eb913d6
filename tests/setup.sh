# Shared set-up, sourced by scenarios/demo.sh and tests/run.sh from the top of the repository:
# installs the Debian packages that are missing and builds into build/.
set -eu

say() {
    printf '== %s\n' "$1"
}

as_root() {
    if [ "$(id -u)" -eq 0 ]; then
        "$@"
    elif command -v sudo >/dev/null 2>&1; then
        sudo "$@"
    else
        echo "this needs root to install packages, and there is no sudo: $*" >&2
        exit 1
    fi
}

install_packages() {
    missing=""
    for package in gcc libc6-dev cmake ninja-build pkg-config libpng-dev libyaml-dev libudunits2-dev \
        librandom123-dev liblcms2-dev libcairo2-dev libpango1.0-dev libjansson-dev libcmocka-dev \
        fonts-dejavu-core python3-scipy libgsl-dev; do
        if ! dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed'; then
            missing="$missing $package"
        fi
    done
    if [ -z "$missing" ]; then
        say "all packages are there"
        return
    fi
    say "installing:$missing"
    as_root apt-get update -qq
    # shellcheck disable=SC2086 # one word a package
    as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq $missing >/dev/null
}

build() {
    say "building into build/"
    cmake -S . -B build -G Ninja -DCMAKE_BUILD_TYPE=Release >/dev/null
    cmake --build build
}

install_packages
build
