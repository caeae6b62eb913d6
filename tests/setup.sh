# Shared set-up, sourced by scenarios/demo.sh and tests/run.sh from the top of the repository:
# install_packages [MORE] installs the Debian packages that are missing, build [-DOPTION...] builds into build/.
set -eu

say() {
    printf '== %s\n' "$1"
}

as_root() {
    if [ "$(id -u)" -eq 0 ]; then
        "$@"
    else
        sudo "$@"
    fi
}

# Fails with what to do when packages cannot be installed from here.
can_install() { # PACKAGES
    if ! command -v apt-get >/dev/null 2>&1; then
        echo "This set-up installs Debian packages, and there is no apt-get. It needs what these hold: $1" >&2
        return 1
    fi
    if [ "$(id -u)" -ne 0 ] && ! command -v sudo >/dev/null 2>&1; then
        echo "Packages are missing, and there is no sudo. Please run as root, then try again:" >&2
        echo "    apt-get update && apt-get install --no-install-recommends $1" >&2
        return 1
    fi
}

install_packages() { # MORE PACKAGES
    missing=""
    for package in gcc libc6-dev cmake ninja-build pkg-config libpng-dev libjpeg62-turbo-dev libyaml-dev libudunits2-dev \
        librandom123-dev liblcms2-dev libcairo2-dev libpango1.0-dev libjansson-dev \
        libgeos-dev libxml2-dev libwebp-dev \
        fonts-dejavu-core "$@"; do
        if ! dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed'; then
            missing="${missing:+$missing }$package"
        fi
    done
    if [ -z "$missing" ]; then
        say "all packages are there"
        return
    fi
    can_install "$missing"
    say "installing: $missing"
    as_root apt-get update -qq
    # shellcheck disable=SC2086 # one word a package
    as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $missing >/dev/null
}

build() { # [-DOPTION...]
    say "building into build/"
    cmake -S . -B build -G Ninja -DCMAKE_BUILD_TYPE=Release -DTHAW_TESTS=OFF -DTHAW_BENCH=OFF "$@" >/dev/null
    cmake --build build
}
