#!/bin/sh
# Installs the programs from outside Python that some tests need; names those it cannot install, and goes on.
set -eu
cd "$(dirname "$0")"
missing=""
for package in $(sed 's/#.*//' system-packages.txt); do
    dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing="$missing $package"
done
[ -n "$missing" ] || exit 0
if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
    echo "installing$missing" >&2
    export DEBIAN_FRONTEND=noninteractive
    # shellcheck disable=SC2086  # a list of words
    if apt-get update -qq >&2 && apt-get install -y -qq --no-install-recommends $missing >&2; then
        exit 0
    fi
fi
echo "not installed here, tests that need them are skipped:$missing" >&2
