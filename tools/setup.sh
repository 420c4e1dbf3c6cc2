#!/usr/bin/env bash
# Installs what the tests need and this machine lacks. Says what is missing where it cannot.
set -eu
need=()
command -v chromium >/dev/null || need+=(chromium)
command -v g++ >/dev/null || need+=(g++)
command -v pkg-config >/dev/null || need+=(pkg-config)
[ -e /usr/include/simbody/Simbody.h ] || need+=(libsimbody-dev)
/usr/bin/python3 -c 'import numpy, scipy' 2>/dev/null || need+=(python3-numpy python3-scipy)
[ ${#need[@]} -eq 0 ] && exit 0
if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null; then
    echo "installing ${need[*]}"
    apt-get update -qq
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "${need[@]}" >/dev/null
else
    echo "The tests need ${need[*]}. On Debian: sudo apt-get install ${need[*]}" >&2
    exit 1
fi
