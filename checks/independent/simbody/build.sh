#!/bin/sh
# Compiles multibody.cpp to ../build/multibody unless that is up to date; the one place that knows how.
set -eu
cd "$(dirname "$0")/.."
missing() {
    echo "checks/independent: $1 is missing, so the comparison with Simbody cannot be recomputed." >&2
    echo "  Debian, Ubuntu: sudo apt-get install g++ pkg-config libsimbody-dev" >&2
    echo "  elsewhere: https://github.com/simbody/simbody (set PKG_CONFIG_PATH to its simbody.pc)" >&2
    echo "  to go without on purpose: CRANKWRIGHT_NO_SIMBODY=1 make test" >&2
    exit 1
}
CXX=${CXX:-g++}
command -v "$CXX" >/dev/null || missing "the C++ compiler $CXX"
command -v pkg-config >/dev/null || missing pkg-config
pkg-config --exists simbody || missing "the library Simbody"
[ build/multibody -nt simbody/multibody.cpp ] && [ build/multibody -nt simbody/build.sh ] && exit 0

# Simbody's own flags ask for C++11 and its headers warn; ours are C++17 and its headers system headers
flags=$(pkg-config --cflags simbody | sed 's/-I *\([^ ]*\)/-isystem \1/g; s/-std=[^ ]*//')
mkdir -p build
# shellcheck disable=SC2046,SC2086  # flags are words
"$CXX" -std=c++17 -O1 -Wall -Wextra $flags -o build/multibody.$$ simbody/multibody.cpp $(pkg-config --libs simbody)
mv build/multibody.$$ build/multibody
