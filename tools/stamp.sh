#!/usr/bin/env bash
# Prints what is stamped into the program, in one line: version, commit, and when the commit was made.
# The version is the newest tag vX.Y.Z, with the commit where commits follow it; v0.0.0 before the first tag. A tree with
# changes says so, and is told apart from another such tree. Nothing where git knows nothing.
set -eu
cd "$(dirname "$0")/.."
commit=$(git rev-parse --verify --quiet HEAD 2>/dev/null) || exit 0
version=$(git describe --tags --match 'v[0-9]*' --abbrev=12 2>/dev/null) || version=v0.0.0-g${commit:0:12}
status=$(git status --porcelain)
if [ -n "$status" ]; then
    changes=$({
        echo "$status"
        git diff --binary HEAD
        git ls-files -z --others --exclude-standard | xargs -0 git hash-object -- || true
    } | git hash-object --stdin)
    version+=-changed-${changes:0:8}
fi
echo "$version $commit $(TZ=UTC git show -s --format=%cd --date=format-local:%Y-%m-%dT%H:%M:%SZ HEAD)"
