#!/bin/sh
# Compiles yard.c and orders.c to build/yard unless that is up to date; the one place that knows how.
set -eu
cd "$(dirname "$0")"
CC=${CC:-cc}
command -v "$CC" >/dev/null || {
    echo "checks/yardsticks: the C compiler $CC is missing, so there is no C to compare with." >&2
    echo "  Debian, Ubuntu: sudo apt-get install gcc libc6-dev" >&2
    echo "  to go without on purpose: CRANKWRIGHT_NO_CC=1 make test" >&2
    exit 1
}
old=
for source in build.sh yard.h yard.c orders.c; do [ build/yard -nt "$source" ] || old=1; done
[ "$old" ] || exit 0
mkdir -p build
march=
[ "$(uname -m)" = x86_64 ] && march=-march=x86-64 # what Crankwright itself is built for
# without errno the compiler may take two square roots at once
"$CC" -std=gnu11 -O3 $march -fno-math-errno -Wall -Wextra -o build/yard.$$ yard.c orders.c -lm
mv build/yard.$$ build/yard
