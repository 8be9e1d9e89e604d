#!/bin/sh
# Make a virtual environment: make-venv.sh PYTHON FOLDER
# Debian ships venv apart from Python, so fetch it when the first try fails.
set -eu

python=$1
folder=$2

if ! "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))'; then
    echo "rungwise: $python is not Python 3.11 or newer. Name one: make PYTHON=python3.11" >&2
    exit 1
fi
if "$python" -m venv --clear "$folder" >/dev/null 2>&1; then
    exit 0
fi
rm -rf "$folder"
version=$("$python" -c 'import sys; print("%d.%d" % sys.version_info[:2])')
"$(dirname "$0")/debian-needs.sh" always "python$version-venv"
exec "$python" -m venv --clear "$folder"
