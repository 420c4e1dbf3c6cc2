#!/usr/bin/env bash
# Says which programs that the build needs are missing or too old, and the command that brings them. Silent where all
# are there.
set -u
cd "$(dirname "$0")/.." || exit 1
missing=()

# atleast A B: version B is A or later
atleast() { [ "$(printf '%s\n%s\n' "$1" "$2" | sort -V | head -n 1)" = "$1" ]; }

# go version also fetches the version that go.mod names, where that is newer and may be fetched
need=$(sed -n 's/^go //p' go.mod)
has=$(go version 2>/dev/null | grep -o 'go[0-9][0-9.]*' | head -n 1)
has=${has#go}
atleast "$need" "${has:-0}" || missing+=("Go $need or later (here: ${has:-none})")

# as web/package.json says
has=$(node --version 2>/dev/null)
has=${has#v}
case $has in
20.*) need=20.19.0 ;;
22.*) need=22.13.0 ;;
*) need=24.0.0 ;;
esac
atleast "$need" "${has:-0}" || missing+=("Node 20.19, 22.13 or 24 and later (here: ${has:-none})")
npm --version >/dev/null 2>&1 || missing+=("npm (here: none)")

[ ${#missing[@]} -eq 0 ] && exit 0
{
    echo "To build Crankwright, this machine lacks:"
    printf '  %s\n' "${missing[@]}"
    echo "On Debian 13 and later: sudo apt-get install golang-go nodejs npm"
    echo "Elsewhere: Go from https://go.dev/dl, Node with npm from https://nodejs.org; put both on the PATH."
} >&2
exit 1
