#!/usr/bin/env bash
# Says which programs that the build needs are missing or too old, and the command that brings them. Silent where all
# are there.
set -u
cd "$(dirname "$0")/.." || exit 1
lacks=() packages=()

# lack WHAT PACKAGE: something is missing that a package of Debian brings
lack() { lacks+=("$1") packages+=("$2"); }

# atleast A B: version B is A or later
atleast() { [ "$(printf '%s\n%s\n' "$1" "$2" | sort -V | head -n 1)" = "$1" ]; }

for name in git make npm; do
    command -v "$name" >/dev/null || lack "$name (here: none)" "$name"
done

need=$(sed -n 's/^go //p' go.mod)
has=none
if command -v go >/dev/null; then
    # an older Go fetches the one that go.mod names, where it may
    has=$(go version || GOTOOLCHAIN=local go version)
    has=$(grep -o 'go[0-9][0-9.]*' <<<"$has" | head -n 1)
    has=${has#go}
fi
atleast "$need" "${has/none/0}" || lack "Go $need or later (here: $has)" golang-go

# as web/package.json says
has=none
if command -v node >/dev/null; then
    has=$(node --version)
    has=${has#v}
fi
case $has in
20.*) need=20.19.0 ;;
22.*) need=22.13.0 ;;
*) need=24.0.0 ;;
esac
atleast "$need" "${has/none/0}" || lack "Node 20.19, 22.13, or 24 and later (here: $has)" nodejs

[ ${#lacks[@]} -eq 0 ] && exit 0
{
    echo "To build Crankwright, this machine lacks:"
    printf '  %s\n' "${lacks[@]}"
    echo "On Debian 13 and later: sudo apt-get install ${packages[*]}"
    echo "Elsewhere, or where a package is too old: take git and make from your system, Go and Node (npm comes with it)"
    echo "from the archives that their projects hand out, and put their bin folders on the PATH."
} >&2
exit 1
