#!/bin/sh
# Writes the reference files and the tables in docs/ anew:  regenerate.sh BINARY PAGES. Read the diff before it is committed.
set -eu
cd "$(dirname "$0")/../.."
binary=$1 pages=$2

for job in samples/*.yaml; do
  name=$(basename "$job" .yaml)
  case $name in shop-*) continue ;; esac
  mkdir -p "tests/reference/$name"
done
for folder in tests/reference/*/; do
  name=$(basename "$folder")
  job=samples/$name.yaml
  [ -f "$folder/job.yaml" ] && job=$folder/job.yaml
  "$binary" plan "$job" >"$folder/plan.txt"
  "$binary" program -q "$job" >"$folder/program.nc"
  "$binary" plan --as json "$job" >"$folder/plan.json"
  "$binary" sheet -q "$job" >"$folder/sheet.html"
done
sh tests/bad/compare.sh --write "$binary"
sh tests/pages.sh --write "$pages" "$binary"
sh tests/commands.sh --write "$binary"
git status --short tests docs
