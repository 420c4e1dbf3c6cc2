#!/bin/bash
# tools/fuzz.sh MINUTES [TARGET ...] runs the fuzz targets of the Go code one after the other, each for so many minutes, beside
# other work (nice, one process), and prints a row of a table for each: minutes, executions, new inputs, and whether something was
# found. Without a TARGET, such as FuzzReadStudy, all of them run. A finding is kept in testdata/fuzz of its package, where go test
# runs it from then on.
set -uo pipefail
cd "$(dirname "$0")/.."
minutes=${1:?how many minutes for each target? such as: tools/fuzz.sh 30}
shift
[[ $minutes =~ ^[1-9][0-9]*$ ]] || { echo "minutes: \"$minutes\" is no whole number above 0" >&2; exit 2; }

# targets and their folders, a line each
all=$(grep -rEo --include='*_test.go' --exclude-dir=node_modules '^func Fuzz[A-Za-z0-9_]+' . | sed -E 's|^\./(.*)/[^/]*:func (.*)$|\2 \1|' | sort)
if [[ $# -eq 0 ]]; then
	mapfile -t targets < <(cut -d' ' -f1 <<<"$all")
	set -- "${targets[@]}"
fi
inputs=$(go env GOCACHE)/fuzz/$(go list -m)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
found=0
echo "| target | folder | minutes | executions | new inputs | found |"
echo "| --- | --- | ---: | ---: | ---: | --- |"
for target in "$@"; do
	folder=$(awk -v t="$target" '$1 == t { print $2 }' <<<"$all")
	[[ -n $folder ]] || { echo "there is no fuzz target \"$target\"; grep -rn 'func Fuzz' lists them" >&2; exit 2; }
	go test -c -fuzz . -o "$work/test" "./$folder" || exit 2
	start=$SECONDS
	result=nothing
	(cd "$folder" && exec nice -n 15 "$work/test" -test.run '^$' -test.fuzz "^$target\$" -test.fuzztime "${minutes}m" \
		-test.fuzzminimizetime 20x -test.parallel 1 -test.fuzzcachedir "$inputs/$folder") >"$work/log" 2>&1 || result=something
	last=$(grep -E '^fuzz: elapsed: .*execs: ' "$work/log" | tail -1)
	echo "| $target | $folder | $(((SECONDS - start) / 60)) | $(sed -nE 's/.*execs: ([0-9]+).*/\1/p' <<<"$last") | $(sed -nE 's/.*new interesting: ([0-9]+).*/\1/p' <<<"$last") | $result |"
	if [[ $result == something ]]; then
		found=1
		grep -vE '^fuzz: elapsed' "$work/log" | head -40 >&2
	fi
done
exit $found
