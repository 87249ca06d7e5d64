#!/bin/sh
# Makes .venv at the root of the project and installs the package into it: make-venv.sh [core|dev|bench|docs|fuzz|release]
# Does nothing when pyproject.toml is as it was at the last installation.
set -eu
cd "$(dirname "$0")/.."
what=${1:-core}

say() {
    echo "make-venv: $*" >&2
}

new_enough() {
    command -v "$1" >/dev/null 2>&1 && "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null
}

find_python() {
    for candidate in ${PYTHON:-} python3 python3.14 python3.13 python3.12 python3.11 python; do
        if new_enough "$candidate"; then
            echo "$candidate"
            return
        fi
    done
    return 1
}

# A Python of Debian has venv and ensurepip in a package of its own.
add_venv_package() {
    version=$("$1" -c 'import sys; print("%d.%d" % sys.version_info[:2])')
    if [ "$(id -u)" != 0 ] || ! command -v apt-get >/dev/null 2>&1; then
        say "$1 cannot make environments. Install python3-venv (Debian) or a Python from python.org, then run make again."
        exit 2
    fi
    say "installing the package python3-venv"
    export DEBIAN_FRONTEND=noninteractive
    apt-get update -qq >&2
    apt-get install -y -qq python3-venv >&2 || true
    "$1" -c 'import ensurepip, venv' 2>/dev/null || apt-get install -y -qq "python$version-venv" >&2 || {
        say "python3-venv could not be installed. Install it by hand, then run make again."
        exit 2
    }
}

make_environment() {
    python=$(find_python) || {
        say "no Python 3.11 or newer found. Install one, or name it: make PYTHON=/path/to/python3."
        exit 2
    }
    "$python" -c 'import ensurepip, venv' 2>/dev/null || add_venv_package "$python"
    rm -rf .venv
    "$python" -m venv "$PWD/.venv"
}

# An environment that was made elsewhere, or whose Python is gone, is made anew.
if ! new_enough .venv/bin/python || ! grep -qF "$PWD/.venv" .venv/pyvenv.cfg; then
    make_environment
fi

case $what in
    core) wanted=. ;;
    dev) wanted='.[dev]' ;;
    bench | docs | fuzz | release) wanted=".[dev,$what]" ;;
    *) say "'$what' is none of core, dev, bench, docs, fuzz, release." && exit 2 ;;
esac
stamp=.venv/installed-$what
now=$(cksum pyproject.toml scripts/make-venv.sh)
if ! [ -f "$stamp" ] || [ "$(cat "$stamp")" != "$now" ] || ! [ -x .venv/bin/turnwright ]; then
    say "installing turnwright ($what) into .venv"
    export PIP_DISABLE_PIP_VERSION_CHECK=1 PIP_ROOT_USER_ACTION=ignore
    .venv/bin/python -m pip install --quiet --editable "$wanted" >&2 || {
        say "pip could not install turnwright; what it said stands above."
        exit 2
    }
    echo "$now" >"$stamp"
fi
# The first answer is as quick as the next, also where Python is told to write no bytecode.
.venv/bin/python -m compileall -q src || true
