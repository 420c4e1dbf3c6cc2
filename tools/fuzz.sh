#!/bin/bash
# tools/fuzz.sh MINUTES [TARGET ...] runs the fuzz targets of the Go code one after the other, each for so many minutes, beside
# other work (nice, one processor), and prints a row of a table for each: minutes, executions, new inputs, and what was found.
# Without a TARGET, such as FuzzReadStudy, all of them run. A finding is kept in testdata/fuzz of its package, where
# go test runs it from then on.
set -uo pipefail
cd "$(dirname "$0")/.."
minutes=${1:?how many minutes for each target? such as: tools/fuzz.sh 30}
shift
[[ $minutes =~ ^[0-9]+$ && $minutes -gt 0 ]] || { echo "minutes: \"$minutes\" is no whole number above 0" >&2; exit 2; }

# target and folder, a line each
all=$(grep -rEo --include='*_test.go' '^func Fuzz[A-Za-z0-9_]+' . | grep -v node_modules | sed -E 's|^(.*)/[^/]*:func (.*)$|\2 \1|' | sort)
[[ $# -gt 0 ]] || mapfile -t all_names < <(cut -d' ' -f1 <<<"$all")
[[ $# -gt 0 ]] || set -- "${all_names[@]}"

log=$(mktemp)
trap 'rm -f "$log"' EXIT
found=0
echo "| target | folder | minutes | executions | new inputs | found |"
echo "| --- | --- | ---: | ---: | ---: | --- |"
for target in "$@"; do
	folder=$(awk -v t="$target" '$1 == t { print $2 }' <<<"$all")
	[[ -n $folder ]] || { echo "there is no fuzz target \"$target\"; grep -rn 'func Fuzz' lists them" >&2; exit 2; }
	start=$SECONDS
	result=nothing
	nice -n 15 go test "$folder" -run '^$' -fuzz "^$target\$" -fuzztime "${minutes}m" -fuzzminimizetime 20x -parallel 1 >"$log" 2>&1 || result=something
	last=$(grep -E '^fuzz: elapsed: .*execs: ' "$log" | tail -1)
	echo "| $target | ${folder#./} | $(((SECONDS - start) / 60)) | $(sed -nE 's/.*execs: ([0-9]+).*/\1/p' <<<"$last") | $(sed -nE 's/.*new interesting: ([0-9]+).*/\1/p' <<<"$last") | $result |"
	if [[ $result == something ]]; then
		found=1
		grep -vE '^fuzz: elapsed' "$log" | head -40 >&2
	fi
done
exit $found
