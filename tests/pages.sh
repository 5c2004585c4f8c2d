#!/bin/sh
# The tables in docs/job.md and docs/posts.md stand below a marker line and are those of the code:  pages.sh [--write] PAGES
set -eu
cd "$(dirname "$0")/.."
write=
[ "$1" = --write ] && { write=yes; shift; }
pages=$1
marker='<!-- Below: made by "make reference" from the tables in the code. -->'
passed=0 failed=0

for page in job posts; do
  file=docs/$page.md
  made=$(mktemp)
  { sed "/^$marker\$/q" "$file"; "$pages" "$page"; } >"$made"
  if [ -n "$write" ]; then
    cat "$made" >"$file"
  elif cmp -s "$made" "$file"; then
    passed=$((passed + 1))
  else
    failed=$((failed + 1))
    echo "$file is not what the code says; run 'make reference'"
    diff -u "$file" "$made" | head -n 20 || :
  fi
  rm -f "$made"
done
[ -n "$write" ] || { echo "$passed passed, $failed failed"; [ "$failed" = 0 ]; }
