#!/bin/sh
# Jobs against the JSON Schema that `skimcut schema` prints, by a general-purpose validator from npm.
set -eu
cd "$(dirname "$0")/../.."
build=${BUILD:-build}
folder=$build/contract

mkdir -p "$folder"
if [ ! -d "$folder/node_modules/ajv" ] || [ ! -d "$folder/node_modules/yaml" ] || ! cmp -s tests/external/package.json "$folder/package.json"; then
  cp tests/external/package.json "$folder/package.json"
  (cd "$folder" && npm install --no-save --no-audit --no-fund --no-package-lock --ignore-scripts --loglevel=error) || {
    rm -f "$folder/package.json"
    exit 1
  }
fi
node tests/external/contract.mjs "$build/skimcut" "$folder"
