#!/bin/sh
# Every reference program, and every sample in every post, as a general-purpose parser from npm reads it, against its plan.
set -eu
cd "$(dirname "$0")/../.."
build=${BUILD:-build}
folder=$build/words

mkdir -p "$folder"
if [ ! -d "$folder/node_modules/gcode-parser" ] || ! cmp -s tests/external/package.json "$folder/package.json"; then
  cp tests/external/package.json "$folder/package.json"
  (cd "$folder" && npm install --no-save --no-audit --no-fund --no-package-lock --ignore-scripts --loglevel=error) || {
    rm -f "$folder/package.json"
    exit 1
  }
fi
node tests/external/words.mjs "$build/skimcut" "$folder"
