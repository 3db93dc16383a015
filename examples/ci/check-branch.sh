#!/bin/sh
# Checks what a branch adds to another one: for any service that runs a script, and for you at home.
#
#   sh check-branch.sh [BRANCH]
#
# Run it at the root of the club's repository, which has a lampwright.yaml, a known-findings.jsonl and all of its history.
# BRANCH is what this one is to be merged into, origin/main if you do not say. A test report of all that is not known is
# left in lampwright-junit.xml. Exit status: 0 no error was added, 1 at least one, 2 not all could be done.
set -eu

# PLACEHOLDER: where your club gets Lampwright from, and which version of it.
: "${LAMPWRIGHT:=git+https://git.example.org/lampwright@v0.1.0}"

environment=$(mktemp -d)
trap 'rm -rf "$environment"' EXIT
python3 -m venv "$environment" || exit 2
"$environment/bin/pip" install --quiet "$LAMPWRIGHT" || exit 2
PATH=$environment/bin:$PATH

lampwright check --baseline known-findings.jsonl --format junit --output lampwright-junit.xml || test $? -eq 1 || exit 2
lampwright check --since "${1:-origin/main}..."
