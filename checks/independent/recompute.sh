#!/bin/sh
# Recomputes raw output from input/ with one of the two programs, for all engines or those named:
#     recompute.sh simbody|numeric FOLDER [STEM...]
# Input is written by `go test . -run TestInputs -update`; `make independent` does all of it.
set -eu
[ $# -ge 2 ] || { echo "usage: recompute.sh simbody|numeric FOLDER [STEM...]" >&2; exit 2; }
source=$1
mkdir -p "$2"
folder=$(cd "$2" && pwd)
shift 2
cd "$(dirname "$0")"

case $source in
simbody)
    simbody/build.sh
    program=build/multibody
    ;;
numeric)
    python=
    for candidate in python3 /usr/bin/python3; do
        if "$candidate" -c 'import numpy, scipy' 2>/dev/null; then python=$candidate && break; fi
    done
    [ -n "$python" ] || {
        echo "checks/independent: NumPy or SciPy is missing, so the central differences cannot be recomputed." >&2
        echo "  Debian, Ubuntu: sudo apt-get install python3-numpy python3-scipy" >&2
        echo "  to go without on purpose: CRANKWRIGHT_NO_SCIPY=1 make test" >&2
        exit 1
    }
    program="$python numeric.py"
    ;;
*)
    echo "recompute.sh: $source is neither simbody nor numeric" >&2
    exit 2
    ;;
esac

[ $# -gt 0 ] || for input in input/*.txt; do set -- "$@" "$(basename "$input" .txt)"; done
for stem in "$@"; do
    $program "input/$stem.txt" >"$folder/$stem.$source.new" # a failure leaves the old output
    mv "$folder/$stem.$source.new" "$folder/$stem.$source.txt"
done
