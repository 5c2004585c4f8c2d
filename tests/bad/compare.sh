#!/bin/sh
# Every bad input against the message it must get, whole, and the exit status:  compare.sh [--write] BINARY
# A folder's own command line, where it is not `plan job.yaml`, is in its file `command`. --write makes the messages anew.
set -u
cd "$(dirname "$0")/../.." || exit 2
write=false
[ "${1-}" = --write ] && { write=true; shift; }
[ $# = 1 ] || { echo "usage: compare.sh [--write] BINARY" >&2; exit 2; }
case $1 in
/*) binary=$1 ;;
*) binary=$PWD/$1 ;;
esac
[ -x "$binary" ] || { echo "compare.sh: no program at $1" >&2; exit 2; }
scratch=$(mktemp -d) || exit 2
trap 'rm -rf "$scratch"' EXIT
passed=0 failed=0

for folder in tests/bad/*/; do
  arguments="plan job.yaml"
  [ -f "$folder/command" ] && arguments=$(cat "$folder/command")
  # shellcheck disable=SC2086  # words on purpose
  (cd "$folder" && "$binary" $arguments </dev/null >/dev/null 2>"$scratch/said"; echo "exit $?" >"$scratch/status")
  cat "$scratch/status" "$scratch/said" >"$scratch/message.txt"
  if $write; then
    cp "$scratch/message.txt" "$folder/message.txt"
  fi
  if [ "$(head -n 1 "$scratch/message.txt")" = "exit 0" ]; then
    failed=$((failed + 1))
    echo "not refused: $folder"
  elif cmp -s "$folder/message.txt" "$scratch/message.txt"; then
    passed=$((passed + 1))
  else
    failed=$((failed + 1))
    echo "differs: $folder"
    diff -u "$folder/message.txt" "$scratch/message.txt"
  fi
done
echo "$passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 0 ]
