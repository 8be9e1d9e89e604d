#!/bin/sh
# Make sure a program is there: debian-needs.sh PROGRAM PACKAGE [FOLDERS]
# Installs PACKAGE by apt-get when PROGRAM is neither on PATH nor in FOLDERS, which may be a
# pattern; uses sudo only when not root.
set -eu

program=$1
package=$2
folders=${3-}

if [ "$program" != always ] && command -v "$program" >/dev/null 2>&1; then
    exit 0
fi
for folder in $folders; do # unquoted, so that the pattern is looked up
    if [ -x "$folder/$program" ]; then
        exit 0
    fi
done
if ! command -v apt-get >/dev/null 2>&1; then
    echo "rungwise: $program is missing and there is no apt-get here." \
        "Install it (Debian's package: $package), then run make again." >&2
    exit 1
fi

as_root=
if [ "$(id -u)" -ne 0 ]; then
    if ! command -v sudo >/dev/null 2>&1; then
        echo "rungwise: $program is missing; installing $package takes root, and sudo is not here." \
            "As root: apt-get install $package" >&2
        exit 1
    fi
    as_root=sudo
fi

echo "rungwise: installing Debian's $package"
$as_root apt-get update -qq
$as_root env DEBIAN_FRONTEND=noninteractive \
    apt-get install -y -qq --no-install-recommends "$package" >/dev/null
