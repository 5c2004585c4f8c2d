#!/bin/sh
# Every sample's plan, program, data and sheet against the reference files, byte for byte:  compare.sh BINARY
set -u
cd "$(dirname "$0")/../.." || exit 2
binary=$1
scratch=$(mktemp -d) || exit 2
trap 'rm -rf "$scratch"' EXIT
passed=0 failed=0

compare() {
  if cmp -s "$1" "$2"; then
    passed=$((passed + 1))
  else
    failed=$((failed + 1))
    echo "differs: $1"
    diff -u "$1" "$2" | head -n 20
  fi
}

run() {
  "$binary" "$@" || {
    failed=$((failed + 1))
    echo "failed: $*" >&2
  }
}

for folder in tests/reference/*/; do
  name=$(basename "$folder")
  job=samples/$name.yaml
  [ -f "$folder/job.yaml" ] && job=$folder/job.yaml
  rm -f "$scratch"/*
  run plan "$job" >"$scratch/plan.txt"
  run program -q "$job" >"$scratch/program.nc"
  run program -q "$job" -o "$scratch/file.nc"
  run plan --as json "$job" >"$scratch/plan.json"
  run sheet -q "$job" >"$scratch/sheet.html"
  compare "$folder/plan.txt" "$scratch/plan.txt"
  compare "$folder/program.nc" "$scratch/program.nc"
  compare "$folder/program.nc" "$scratch/file.nc"
  compare "$folder/plan.json" "$scratch/plan.json"
  compare "$folder/sheet.html" "$scratch/sheet.html"
done
for job in samples/*.yaml; do
  name=$(basename "$job" .yaml)
  case $name in shop-*) continue ;; esac
  [ -d "tests/reference/$name" ] || { failed=$((failed + 1)); echo "no reference: $job"; }
done
echo "$passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 0 ]
