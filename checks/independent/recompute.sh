#!/bin/sh
# Recomputes raw output with one of the nine programs, for all engines (input/), cycles (cycles/), shafts (shafts/), beams
# (beams/), films (films/), mounts (mounts/), choices (choices/) or searches (searches/), or those named:
#     recompute.sh simbody|numeric|scipy|torsion|beam|film|mount|choice|search FOLDER [STEM...]
# Input is written by `go test . -run Inputs -update`; `make independent` does all of it.
set -eu
[ $# -ge 2 ] || { echo "usage: recompute.sh simbody|numeric|scipy|torsion|beam|film|mount|choice|search FOLDER [STEM...]" >&2; exit 2; }
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
numeric | scipy | torsion | beam | film | mount | choice | search)
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
    case $source in
    numeric) program="$python numeric.py" ;;
    scipy) program="$python gas.py" ;;
    torsion) program="$python torsion.py" ;;
    beam) program="$python beams.py" ;;
    film) program="$python films.py" ;;
    mount) program="$python mounts.py" ;;
    choice) program="$python choices.py" ;;
    search) program="$python searches.py" ;;
    esac
    ;;
*)
    echo "recompute.sh: $source is none of simbody, numeric, scipy, torsion, beam, film, mount, choice and search" >&2
    exit 2
    ;;
esac

describe() { # the input of an engine, a cycle, a shaft, a beam, a film, a body on mounts, a choice or a search
    case $source in
    scipy) echo "cycles/$1.input.txt" ;;
    torsion) echo "shafts/$1.input.txt" ;;
    beam) echo "beams/$1.input.txt" ;;
    film) echo "films/$1.input.txt" ;;
    mount) echo "mounts/$1.input.txt" ;;
    choice) echo "choices/$1.input.txt" ;;
    search) echo "searches/$1.input.txt" ;;
    *) echo "input/$1.txt" ;;
    esac
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
