#!/usr/bin/env bash
# Proves that a release can be made again: makes that of the last commit twice, in folders of different depth, the
# second time with an empty compiler cache, and fails unless every byte is the same. PLATFORMS as for make release.
set -eu
here=$(git -C "$(dirname "$0")" rev-parse --show-toplevel)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
first=$work/one second=$work/another/deeper/folder
for copy in "$first" "$second"; do
    git clone -q "$here" "$copy"
done
make -C "$first" release
GOCACHE=$work/cache make -C "$second" release
if ! diff -r "$first/out/release" "$second/out/release"; then
    echo "The two releases differ, in the files named above." >&2
    exit 1
fi
(cd "$second/out/release" && sha256sum --check --quiet SHA256SUMS)
echo "Made twice, the same bytes:"
cat "$first/out/release/SHA256SUMS"
