#!/usr/bin/env bash
# Installs what the tests need and this machine lacks, or says the command that does. What CRANKWRIGHT_NO_SIMBODY=1 and
# CRANKWRIGHT_NO_SCIPY=1 leave out is not needed; CHROMIUM may name another browser.
set -eu
need=()
[ -x "${CHROMIUM:-/usr/bin/chromium}" ] || need+=(chromium)
command -v g++ >/dev/null || need+=(g++) # also for the race detector
if [ "${CRANKWRIGHT_NO_SIMBODY:-}" != 1 ]; then
    pkg-config --exists simbody 2>/dev/null || need+=(pkg-config libsimbody-dev)
fi
[ "${CRANKWRIGHT_NO_SCIPY:-}" = 1 ] || /usr/bin/python3 -c 'import numpy, scipy' 2>/dev/null || need+=(python3-numpy python3-scipy)
[ ${#need[@]} -eq 0 ] && exit 0
if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null; then
    echo "installing ${need[*]}"
    if apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "${need[@]}" >/dev/null; then exit 0; fi
    echo "They could not be installed." >&2
fi
{
    echo "The tests need ${need[*]}."
    echo "On Debian: sudo apt-get install ${need[*]}"
    echo "Elsewhere: a C++ compiler, Chromium (CHROMIUM=PATH names another place), and, unless CRANKWRIGHT_NO_SIMBODY=1 and"
    echo "CRANKWRIGHT_NO_SCIPY=1 leave them out, Simbody for pkg-config, NumPy and SciPy for /usr/bin/python3."
} >&2
exit 1
