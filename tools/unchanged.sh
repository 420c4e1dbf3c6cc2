#!/usr/bin/env bash
# Fails if a file under one of the paths given differs from the commit, or is new: what is generated must be
# committed as its generator writes it.
set -eu
changed=$(git status --porcelain -- "$@")
[ -z "$changed" ] && exit 0
echo "Not as generated; commit what the generator wrote:" >&2
echo "$changed" >&2
git --no-pager diff --stat -- "$@" >&2
exit 1
