#!/usr/bin/env bash
# Tries the project on a machine with nothing on it: an empty Debian in a folder of its own, with git and make. It lets
# make say what is missing, brings just that, builds, opens the workbench, and says how long each step took; with --test
# it runs the tests too. Run it as root; it needs debootstrap, leaves nothing behind and stops nothing else.
#     sudo tools/fresh.sh [--test]
# SUITE is the release of Debian (trixie), PORT where the workbench listens (8399).
set -eu -o pipefail
suite=${SUITE:-trixie} port=${PORT:-8399}
cd "$(dirname "$0")/.."

if [ "${1:-}" != inside ]; then
    [ "$(id -u)" -eq 0 ] || { echo "An empty Debian can be made by root only: sudo tools/fresh.sh" >&2; exit 1; }
    command -v debootstrap >/dev/null || { echo "debootstrap is missing: sudo apt-get install debootstrap" >&2; exit 1; }
    command -v go >/dev/null || { echo "Go is missing; the empty Debian is given a copy of this machine's" >&2; exit 1; }
    folder=$(mktemp -d)
    chmod 755 "$folder"
    trap 'rm -rf --one-file-system "$folder" "$folder.log"' EXIT
    # What is mounted and started inside ends with it.
    unshare --mount --propagation private --pid --fork --kill-child tools/fresh.sh inside "$folder" "$@"
    exit
fi
folder=$2 test=${3:-}
trap "exit 130" INT TERM # the first process of a namespace ignores them otherwise

# seconds SINCE: how long ago that was [s]
seconds() { awk -v a="$1" -v b="$EPOCHREALTIME" 'BEGIN { printf "%.1f", b - a }'; }

# step NAME COMMAND…: runs it and says how long it took; what it prints is shown where it fails
step() {
    local name=$1 from=$EPOCHREALTIME
    shift
    "$@" >"$folder.log" 2>&1 || { cat "$folder.log"; echo "failed: $name" >&2; exit 1; }
    printf '%-60s %7s s\n' "$name" "$(seconds "$from")"
}

# "${fresh[@]}" COMMAND runs a command of the shell in the empty Debian, with nothing of this machine's environment
fresh=(chroot "$folder" env -i HOME=/root LANG=C.UTF-8 PATH=/usr/local/go/bin:/usr/sbin:/usr/bin:/sbin:/bin
    DEBIAN_FRONTEND=noninteractive NODE_EXTRA_CA_CERTS=/etc/ssl/certs/ca-certificates.crt bash -ec)
project() { "${fresh[@]}" "cd /root/crankwright && $*"; }

# furnish gives the folder what a machine has before anything is installed: devices, names, the network's certificates
furnish() {
    mount -t proc proc "$folder/proc"
    mount --rbind /dev "$folder/dev"
    cp --dereference /etc/resolv.conf /etc/hosts "$folder/etc/"
    mkdir -p "$folder/usr/local/share/ca-certificates"
    find /usr/local/share/ca-certificates -name '*.crt' -exec cp {} "$folder/usr/local/share/ca-certificates/" \;
    "${fresh[@]}" update-ca-certificates
}

# page fetches the first page of the workbench, with nothing but the shell
page() {
    "${fresh[@]}" "exec 3<>/dev/tcp/127.0.0.1/$port
        printf 'GET / HTTP/1.0\r\nHost: 127.0.0.1:$port\r\n\r\n' >&3; cat <&3" 2>/dev/null
}

# opens runs make run until its page is there, then ends it
opens() {
    "${fresh[@]}" "cd /root/crankwright && exec make run ARGS='--addr 127.0.0.1:$port'" &
    local server=$!
    until [[ $(page) == *'<title>Crankwright'* ]]; do
        kill -0 "$server" || return 1
        sleep 0.1
    done
    kill -TERM "$server"
    wait "$server" || true
}

step "an empty Debian ($suite) with git and make" debootstrap --variant=minbase --include=ca-certificates,git,make "$suite" "$folder"
step "(its devices, names and certificates)" furnish
git bundle create -q "$folder/root/crankwright.bundle" HEAD --branches --tags
step "git clone" "${fresh[@]}" "git clone -q /root/crankwright.bundle /root/crankwright"

if said=$(project make build 2>&1); then
    echo "make build needs nothing, in an empty Debian?" >&2
    exit 1
fi
echo "make build says:"
sed 's/^/    /' <<<"$said"
for name in Go Node npm; do
    grep -q "^  $name .*none" <<<"$said" || { echo "it does not say that $name is missing" >&2; exit 1; }
done

step "Node and npm: apt-get install nodejs npm" "${fresh[@]}" "apt-get update -qq && apt-get install -qq --no-install-recommends nodejs npm"
step "Go $(go env GOVERSION | tr -d go): unpacked into /usr/local/go" cp -a "$(go env GOROOT)" "$folder/usr/local/go"
step "npm packages (npm ci)" project make web/node_modules/.package-lock.json
step "front end (make front)" project make front
step "Go modules" project go mod download
step "command (make build)" project make build
step "make run, until the page is there" opens
project bin/crankwright version
[ "$test" != --test ] || step "make test" project make test
