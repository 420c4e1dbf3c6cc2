#!/bin/sh
# Recomputes raw output with one of the three programs, for all engines (input/) or cycles (cycles/) or those named:
#     recompute.sh simbody|numeric|scipy FOLDER [STEM...]
# Input is written by `go test . -run Inputs -update`; `make independent` does all of it.
set -eu
[ $# -ge 2 ] || { echo "usage: recompute.sh simbody|numeric|scipy FOLDER [STEM...]" >&2; exit 2; }
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
numeric | scipy)
    python=
    for candidate in python3 /usr/bin/python3; do
        if "$candidate" -c 'import numpy, scipy' 2>/dev/null; then python=$candidate && break; fi
    done
    [ -n "$python" ] || {
        echo "checks/independent: NumPy or SciPy is missing, so nothing can be recomputed with them." >&2
        echo "  Debian, Ubuntu: sudo apt-get install python3-numpy python3-scipy" >&2
        echo "  to go without on purpose: CRANKWRIGHT_NO_SCIPY=1 make test" >&2
        exit 1
    }
    program="$python numeric.py"
    [ "$source" = numeric ] || program="$python gas.py"
    ;;
*)
    echo "recompute.sh: $source is none of simbody, numeric and scipy" >&2
    exit 2
    ;;
esac

describe() { # the input of an engine or a cycle
    if [ "$source" = scipy ]; then echo "cycles/$1.input.txt"; else echo "input/$1.txt"; fi
}
if [ $# -eq 0 ]; then
    for input in $(describe '*'); do
        stem=$(basename "$input" .txt)
        set -- "$@" "${stem%.input}"
    done
fi
for stem in "$@"; do
    $program "$(describe "$stem")" >"$folder/$stem.$source.new" # a failure leaves the old output
    mv "$folder/$stem.$source.new" "$folder/$stem.$source.txt"
done
