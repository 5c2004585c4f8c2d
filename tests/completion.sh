#!/bin/bash
# Run by any shell, it goes on in bash.
[ -n "${BASH_VERSION-}" ] || exec bash "$0" "$@"
# What bash offers behind a half-written command line:  completion.sh SKIMCUT
# docs/skimcut.bash is read into a bash that has nothing else, and its answers are held against a table and against the program's help.
set -u
cd "$(dirname "$0")/.." || exit 2
case ${1-} in
/*) skimcut=$1 ;;
*) skimcut=$PWD/${1-} ;;
esac
[ -x "$skimcut" ] || { echo "usage: completion.sh SKIMCUT" >&2; exit 2; }
# shellcheck source=/dev/null
. docs/skimcut.bash
scratch=$(mktemp -d) && said=$(mktemp) || exit 2
trap 'rm -rf "$scratch" "$said"' EXIT
cd "$scratch" || exit 2
mkdir folder
touch job.yaml "two words.yaml" folder/deep.yaml pad.nc pad.html
passed=0 failed=0

# The words are what bash would make of the line; the last is the one to be completed. Prints what is offered, sorted.
offered() {
  COMP_WORDS=("$skimcut" "$@")
  COMP_CWORD=$#
  COMPREPLY=()
  _skimcut 2>"$said"
  [ -s "$said" ] && cat "$said"
  if [ ${#COMPREPLY[@]} -gt 0 ]; then printf '%s\n' "${COMPREPLY[@]}" | sort; fi
}

same() { # NAME WANTED FOUND, each a list of lines
  if [ "$2" = "$3" ]; then
    passed=$((passed + 1))
  else
    failed=$((failed + 1))
    echo "$1"
    diff <(echo "$2") <(echo "$3") | sed 's/^/    /'
  fi
}

expect() { # WANTED WORD...: WANTED has blanks between what is offered, and ~ for a blank in it
  local wanted=$1
  shift
  same "skimcut $*|" "$(for word in $wanted; do echo "${word//\~/ }"; done | sort)" "$(offered "$@")"
}

every='plan program prove sheet cutters list new schema'
files='folder job.yaml pad.html pad.nc two~words.yaml'
jobs='folder job.yaml two~words.yaml'
posts=$("$skimcut" list posts | sed 's/ .*//' | tr '\n' ' ')

expect "$every" ''
expect 'plan program prove' p
expect 'plan' pl
expect '' x
expect "$every" --quiet ''
expect "$every" --help ''
expect "$jobs" plan ''
expect 'job.yaml' plan j
expect '' plan pad
expect 'folder/deep.yaml' plan folder/
expect 'two~words.yaml' sheet t
expect '' plan job.yaml ''
expect "$jobs" plan -q ''
expect "$jobs" prove ''
expect "$files" prove job.yaml ''
expect 'pad.nc' prove job.yaml pad.n
expect '' prove job.yaml pad.nc ''
expect "$files" prove job.yaml --as json ''
expect "$files" program job.yaml -o ''
expect "$files" program job.yaml -no ''
expect "$files" sheet --output ''
expect 'pad.html' sheet job.yaml --output = pad.h
expect "$files" sheet job.yaml --output =
expect "$jobs" program -o pad.nc ''
expect "$jobs" program -opad.nc ''
expect "$posts $jobs" program job.yaml -p ''
expect 'rs274d rs274ngc' program job.yaml --post rs
expect 'rs274d rs274ngc' plan --post = rs
expect 'folder/deep.yaml' plan --post folder/
expect '' plan --measured ''
expect '' plan -m ''
expect "$jobs" plan -m 1.05 ''
expect 'json text' plan job.yaml --as ''
expect 'json' prove --as j
expect 'json' cutters --as = j
expect 'html svg' sheet --as ''
expect 'html json svg text' --as ''
expect "$every" --as json ''
expect 'inch mm' new --units ''
expect 'mm' new --units = m
expect 'materials posts' list ''
expect 'posts' list p
expect '' list posts ''
expect '' new ''
expect '' schema ''
expect "$jobs" plan -- ''
expect '' plan -- -
expect '--measured' plan --m
expect '--dry-run' program job.yaml --d
expect '' plan job.yaml --d

# Against the help: every verb, every option on each page, every value that a page tells of.
page=$("$skimcut" --help)
letters() { grep -oE '^  (-[a-zA-Z], |    )--[a-z-]+' | grep -oE -- '-[a-zA-Z]\b|--[a-z-]+' | sort; }
same 'every verb' "$(echo "$page" | sed -n 's/^  skimcut \([a-z]*\) .*/\1/p' | sort)" "$(offered '')"
same 'every option' "$(echo "$page" | letters)" "$(offered -)"
for verb in $every; do
  page=$("$skimcut" "$verb" --help)
  same "options of $verb" "$(echo "$page" | letters)" "$(offered "$verb" -)"
  values() { echo "$page" | sed -n "s/^ *$1 \([a-z|]*\).*/\1/p" | tr '|' '\n' | sort; }
  same "forms of $verb" "$(values --as)" "$(offered "$verb" --as '')"
  [ "$verb" = new ] && same "units" "$(values --units)" "$(offered new --units '')"
  [ "$verb" = list ] && same "topics" "$(values '.*OPTION\]...')" "$(offered list '')"
done

echo "$passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 0 ]
