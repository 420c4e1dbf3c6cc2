#!/usr/bin/env bash
# Tries the project on a machine with nothing on it: an empty Debian in a folder of its own, and a user who has nothing
# either. It lets make say what is missing, brings just that, starts the workbench, sets up the tests, and says how long each
# step took; with --test it runs the tests too. Run it as root; it needs debootstrap, leaves nothing behind and stops nothing else.
#     sudo tools/fresh.sh [--test]
# SUITE is the release of Debian (this machine's), PORT where the workbench listens (8399). Packages come from where this
# machine has them from. Go is this machine's, copied; Node too, where that of Debian is too old.
set -eu -o pipefail
cd "$(dirname "$0")/.."
suite=${SUITE:-$(. /etc/os-release && echo "$VERSION_CODENAME")} port=${PORT:-8399}

if [ "${1:-}" != inside ]; then
    [ "$(id -u)" -eq 0 ] || { echo "An empty Debian can be made by root only: sudo tools/fresh.sh" >&2; exit 1; }
    for name in debootstrap go node npm; do
        command -v "$name" >/dev/null || { echo "$name is missing here: sudo apt-get install debootstrap golang-go nodejs npm" >&2; exit 1; }
    done
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

fail() { echo "failed: $*" >&2; exit 1; }

# step NAME COMMAND…: runs it and says how long it took; what it prints is shown where it fails
step() {
    local name=$1 from=$EPOCHREALTIME
    shift
    "$@" >"$folder.log" 2>&1 || { cat "$folder.log"; fail "$name"; }
    printf '%-64s %7s s\n' "$name" "$(seconds "$from")"
}

# source_list: where this machine has Debian's packages from, for the release that is tried
source_list() {
    apt-get indextargets --format 'deb $(SITE) $(RELEASE) $(COMPONENT)' 'Created-By: Packages' 'Origin: Debian' |
        sed "s/ $(. /etc/os-release && echo "$VERSION_CODENAME")/ $suite/" | sort -u
}

path=/usr/local/go/bin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin
# Commands of the shell in the empty Debian, with nothing of this machine's environment but where packages come from:
# root COMMAND, user COMMAND, and project COMMAND as the user in the clone. PATH=… before one gives it another path.
clean=(env -i LANG=C.UTF-8 GOPROXY="$(go env GOPROXY)" GOSUMDB="$(go env GOSUMDB)" npm_config_registry="$(npm config get registry)")
for name in http_proxy https_proxy no_proxy; do
    [ -z "${!name:-}" ] || clean+=("$name=${!name}")
done
clean+=(NODE_EXTRA_CA_CERTS=/etc/ssl/certs/ca-certificates.crt DEBIAN_FRONTEND=noninteractive)
root() { chroot "$folder" "${clean[@]}" HOME=/root PATH="$path" bash -ec "$*"; }
user() { chroot --userspec=fresh:fresh "$folder" "${clean[@]}" HOME=/home/fresh USER=fresh PATH="${where:-$path}" bash -ec "$*"; }
project() { user "cd ~/crankwright && $*"; }

# furnish gives the folder what a machine has before anything is installed: devices, names, the network's certificates,
# where packages come from, and a user
furnish() {
    mount -t proc proc "$folder/proc"
    mount --rbind /dev "$folder/dev"
    cp --dereference /etc/resolv.conf /etc/hosts "$folder/etc/"
    source_list >"$folder/etc/apt/sources.list"
    apt-config dump Acquire >"$folder/etc/apt/apt.conf.d/acquire"
    mkdir -p "$folder/usr/local/share/ca-certificates"
    find /usr/local/share/ca-certificates -name '*.crt' -exec cp {} "$folder/usr/local/share/ca-certificates/" \;
    root "update-ca-certificates && apt-get update && useradd --create-home --shell /bin/bash fresh"
}

# go_here and node_here copy this machine's into the empty Debian
go_here() { cp -a "$(go env GOROOT)" "$folder/usr/local/go"; }
node_here() {
    cp "$(readlink -f "$(command -v node)")" "$folder/usr/local/bin/node"
    mkdir -p "$folder/usr/local/lib/node_modules"
    cp -a "$(npm root -g)/npm" "$folder/usr/local/lib/node_modules/"
    ln -s ../lib/node_modules/npm/bin/npm-cli.js "$folder/usr/local/bin/npm"
}

# refuses DOOR WHAT…: make DOOR must fail, and say every WHAT; what it says is shown
refuses() {
    local door=$1 said what
    shift
    if said=$(project "make $door" 2>&1); then fail "make $door did not say that $* is missing"; fi
    echo "make $door says:"
    sed 's/^/    /' <<<"$said"
    for what; do grep -qF -- "$what" <<<"$said" || fail "it does not say $what"; done
}

# without NAME WHAT PACKAGE: with NAME taken from the path, make run must say that WHAT is missing and PACKAGE brings it
without() {
    root "rm -rf /without && mkdir /without && ln -sf /usr/sbin/* /usr/bin/* /usr/local/bin/* /usr/local/go/bin/* /without/ && rm /without/$1"
    local said
    said=$(where=/without project "if command -v make >/dev/null; then make run; else tools/needs.sh; fi" 2>&1) && fail "without $1 make run goes on"
    grep -q "^  $2.*none" <<<"$said" && grep -q "apt-get install $3\$" <<<"$said" || { echo "$said"; fail "without $1 this was said"; }
    echo "without $1 it says: $(grep '^  ' <<<"$said" | xargs), $(grep -o 'sudo apt-get.*' <<<"$said")"
}

# page fetches the first page of the workbench, with nothing but the shell
page() {
    user "exec 3<>/dev/tcp/127.0.0.1/$port
        printf 'GET / HTTP/1.0\r\nHost: 127.0.0.1:$port\r\n\r\n' >&3; cat <&3" 2>/dev/null
}

# opens runs make run until its page is there, then ends it
opens() {
    set -m # in a process group, so that all of it can be ended
    project "make run ARGS='--addr 127.0.0.1:$port'" &
    local server=$!
    set +m
    until [[ $(page) == *'<title>Crankwright'* ]]; do
        kill -0 "$server" || return 1
        sleep 0.1
    done
    kill -TERM -- "-$server"
    wait "$server" || true
}

echo "Debian $suite on $(nproc) processors; load when it began: $(cut -d ' ' -f 1-3 /proc/loadavg)"
mirror=$(source_list | awk -v suite="$suite" '$3 == suite { print $2; exit }')
step "an empty Debian" debootstrap --variant=minbase --include=ca-certificates "$suite" "$folder" ${mirror:+"$mirror"}
step "(its devices, names, certificates, a user)" furnish
step "apt-get install git make" root "apt-get install -y --no-install-recommends git make"
git bundle create -q "$folder/home/fresh.bundle" HEAD --branches --tags
step "git clone" user "git clone -q /home/fresh.bundle ~/crankwright"
refuses run "Go " "Node " "npm " "apt-get install npm golang-go nodejs"
step "Go $(go env GOVERSION | tr -d go), copied from this machine" go_here
if dpkg --compare-versions "$(root "apt-cache show --no-all-versions nodejs" | sed -n 's/^Version: //p')" ge 20.19; then
    step "apt-get install nodejs npm" root "apt-get install -y --no-install-recommends nodejs npm"
else
    step "Node $(node --version | tr -d v), copied from this machine" node_here
fi
without make make make
without git git git
without go Go golang-go
without node Node nodejs
without npm npm npm
step "npm packages (make run, first part)" project make web/node_modules/.package-lock.json
step "front end (second part)" project make front
step "Go modules (third part)" project go mod download
step "command (fourth part)" project make build
step "make run again, until the page is there" opens
project bin/crankwright version
refuses setup chromium g++ libsimbody-dev python3-scipy "sudo apt-get install"
step "make setup, as root" root "cd /home/fresh/crankwright && make setup"
step "make setup again" project make setup
step "go vet ./..." project go vet ./...
if [ "$test" = --test ]; then step "make test" project make test; fi
echo "Load when it ended: $(cut -d ' ' -f 1-3 /proc/loadavg)"
