#!/bin/sh
# Installs the locked dependencies where they are missing or older than the lock file.
set -eu
if [ ! -e node_modules/.package-lock.json ] || [ package-lock.json -nt node_modules/.package-lock.json ]; then
  echo "Setting up: installing the locked dependencies" >&2
  npm ci --no-audit --no-fund --loglevel=error
  touch node_modules/.package-lock.json
fi
