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
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
made=$folder/made page=$folder/page job=$folder/job.yaml program=$folder/program.nc

judge() { # NAME FILE: is it the same as what was made?
  if cmp -s "$made" "$2"; then
    passed=$((passed + 1))
  else
    failed=$((failed + 1))
    echo "$1 is not what the code says; run 'make reference'"
    diff -u "$2" "$made" | head -n 20 || :
  fi
}

for name in job posts; do
  file=docs/$name.md
  { sed "/^$marker\$/q" "$file"; "$pages" "$name"; } >"$made"
  if [ -n "$write" ]; then cat "$made" >"$file"; else judge "$file" "$file"; fi
done

# README: the first block marked yaml is a job; the block that begins with Cuts is from its plan, and the one that begins with the
# first property is from the proof of its program with one height mistyped.
excerpt() { # REGEX: of the first line of what was made, and of the block in README.md that is to hold it
  awk -v first="$1" '
    FNR == NR { made = made $0 "\n"; next }
    /^```/ && inside { inside = 0 }
    inside { next }
    { print }
    /^```$/ && getline > 0 {
      if ($0 ~ first) { printf "%s", made; inside = 1 } else print
    }' "$made" README.md >"$page"
  mv "$page" "$made"
  if [ -n "$write" ]; then cat "$made" >README.md; else judge README.md README.md; fi
}

awk '/^```yaml/ { inside = 1; next } /^```/ { inside = 0 } inside' README.md >"$job"
"$skimcut" plan "$job" | sed -n '/^Cuts/,/^$/{/./p}' >"$made"
excerpt '^Cuts'
"$skimcut" program -q "$job" | sed 's/^G0 Z0.2$/G0 Z0.02/' >"$program"
"$skimcut" prove -q "$job" "$program" 2>/dev/null | sed -n '/^  1 /,/^$/{/./p}' >"$made" || :
excerpt '^  1 '
[ -n "$write" ] || { echo "$passed passed, $failed failed"; [ "$failed" = 0 ]; }
