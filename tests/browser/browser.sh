#!/bin/sh
# The sheets of all samples, and of jobs that are hard on a sheet, in a browser: on a phone, on a desk, on paper.
set -eu
cd "$(dirname "$0")/../.."
build=${BUILD:-build}
folder=$build/browser

mkdir -p "$folder"
if [ ! -d "$folder/node_modules/playwright-core" ] || ! cmp -s tests/browser/package.json "$folder/package.json"; then
  cp tests/browser/package.json "$folder/package.json"
  (cd "$folder" && npm install --no-save --no-audit --no-fund --no-package-lock --ignore-scripts --loglevel=error) || {
    rm -f "$folder/package.json"
    exit 1
  }
fi
browser=$(command -v chromium) || {
  echo "browser.sh: there is no chromium; on Debian: apt-get install chromium" >&2
  exit 1
}
node tests/browser/browser.mjs "$build/skimcut" "$folder" "$browser"
