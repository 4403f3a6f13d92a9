#!/bin/sh
# Installs the locked dependencies where none are there, or those of another lock file.
set -eu
installed=node_modules/.locked-as
if ! cmp -s package-lock.json "$installed"; then
  echo "Setting up: installing the locked dependencies" >&2
  npm ci --no-audit --no-fund --loglevel=error
  cp package-lock.json "$installed"
fi
