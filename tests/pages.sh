#!/bin/sh
# What the pages say is what the code says:  pages.sh [--write] PAGES SKIMCUT
# The tables in docs/job.md and docs/posts.md stand below a marker line; README's job has the plan that README shows.
set -eu
cd "$(dirname "$0")/.."
write=
[ "$1" = --write ] && { write=yes; shift; }
pages=$1 skimcut=$2
marker='<!-- Below: made by "make reference" from the tables in the code. -->'
passed=0 failed=0
made=$(mktemp) plan=$(mktemp)
trap 'rm -f "$made" "$plan"' EXIT

judge() { # NAME FILE: is it the same as what was made?
  if cmp -s "$made" "$2"; then
    passed=$((passed + 1))
  else
    failed=$((failed + 1))
    echo "$1 is not what the code says; run 'make reference'"
    diff -u "$2" "$made" | head -n 20 || :
  fi
}

for page in job posts; do
  file=docs/$page.md
  { sed "/^$marker\$/q" "$file"; "$pages" "$page"; } >"$made"
  if [ -n "$write" ]; then cat "$made" >"$file"; else judge "$file" "$file"; fi
done

# README: the first block marked yaml is a job; the block that begins with Cuts is from its plan.
awk '/^```yaml/ { inside = 1; next } /^```/ { inside = 0 } inside' README.md >"$made"
"$skimcut" plan - <"$made" >"$plan"
sed -n '/^Cuts/,/^$/{/./p}' "$plan" >"$made" && cp "$made" "$plan"
awk '
  FNR == NR { plan = plan $0 "\n"; next }
  /^```/ && inside { inside = 0 }
  inside { next }
  { print }
  /^```$/ && getline > 0 {
    if (/^Cuts/) { printf "%s", plan; inside = 1 } else print
  }' "$plan" README.md >"$made"
if [ -n "$write" ]; then cat "$made" >README.md; else judge README.md README.md; fi
[ -n "$write" ] || { echo "$passed passed, $failed failed"; [ "$failed" = 0 ]; }
