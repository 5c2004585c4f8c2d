#!/bin/sh
# Every command that the pages show, run as it stands there:  commands.sh [--write] SKIMCUT
#
# A block is a fence without a word behind its marks, or lines set in by four blanks. A block whose first word is in $known is commands,
# one a line, in order; what is behind " #" is a comment, and "status N" in it is the exit status to expect instead of 0. JOB and PROGRAM
# stand for a sample and its program. Of `make` it is only looked whether the targets are there. Every page is run in a copy of samples
# and docs of its own. Any other block is a figure that is in the list below, or one whose contents are made here:
#
#   <!-- excerpt: FROM ... TO -->    what the last command printed, from the first line that matches FROM to before the next that
#                                    matches TO; without TO, that line and those up to an empty one
#   <!-- file: samples/X.yaml -->    that file
#
# --write puts the contents into docs/first-part.md anew.
set -u
cd "$(dirname "$0")/.." || exit 2
write=
[ "${1-}" = --write ] && { write=yes; shift; }
case ${1-} in
/*) skimcut=$1 ;;
*) skimcut=$PWD/${1-} ;;
esac
[ -f "$skimcut" ] || { echo "usage: commands.sh [--write] SKIMCUT" >&2; exit 2; }
known='skimcut build/skimcut make cat cd cp diff grep head jq mkdir sed xargs xmllint'
scratch=$(mktemp -d) || exit 2
trap 'rm -rf "$scratch"' EXIT
top=$PWD passed=0 failed=0
export PATH="$scratch/bin:$PATH"
mkdir "$scratch/bin" "$scratch/blocks"
# Whatever stands behind it in a pipe, its own status counts: the highest of a line is kept.
cat >"$scratch/bin/skimcut" <<END
#!/bin/sh
"$skimcut" "\$@"
status=\$?
[ "\$status" -le "\$(cat "$scratch/status")" ] || echo "\$status" >"$scratch/status"
exit \$status
END
chmod +x "$scratch/bin/skimcut"
echo 0 >"$scratch/status"

# Page and the beginning of its first line. README's two are made and compared by tests/pages.sh.
figures='README.md:Cuts     kind
README.md:  1  the whole face
DEVELOPERS.md:job.yaml + shop.yaml
DEVELOPERS.md:version text length
docs/method.md:forward =
docs/method.md:    seen from the right'

pass() { passed=$((passed + 1)); }
fail() { failed=$((failed + 1)); echo "$1"; }

blocks_find() { # PAGE: a file N.head with "first last kind mark", and a file N.body, for each block
  rm -f "$scratch"/blocks/*
  awk -v folder="$scratch/blocks" '
    function begin(what) { n++; kind = what; first = NR; body = sprintf("%s/%03d.body", folder, n); printf "" >body }
    function finish(last) {
      printf "%d %d %s %s\n", first, last, kind, mark >sprintf("%s/%03d.head", folder, n)
      close(body); kind = mark = ""
    }
    kind == "" && /^```/ { begin($0 == "```" ? "fence" : substr($0, 4)); first = NR + 1; next }
    kind != "" && kind != "indented" { if (/^```/) finish(NR - 1); else print >body; next }
    kind == "" && /^    [^ ]/ && empty { begin("indented") }
    kind == "indented" { if (/^    /) print substr($0, 5) >body; else finish(NR - 1) }
    /^<!-- (excerpt|file): .* -->$/ { mark = substr($0, 6, length($0) - 9) }
    { empty = $0 == "" }
    END { if (kind != "") finish(NR) }' "$1"
}

is_known() { # WORD
  case " $known " in
  *" $1 "*) return 0 ;;
  *) return 1 ;;
  esac
}

commands_run() { # PAGE BODY: what the last one printed is in $scratch/said
  sed -e ':join' -e '/\\$/{N;s/\\\n *//;b join' -e '}' "$2" >"$scratch/lines"
  while IFS= read -r line <&3; do
    command=$(printf '%s\n' "$line" | sed 's/  *#.*//')
    [ -n "$command" ] || continue
    wanted=$(printf '%s\n' "$line" | sed -n 's/.*  *#.*status \([0-9]\).*/\1/p')
    is_known "${command%% *}" || { fail "$1: this is no command that is known here: $command"; continue; }
    case $command in
    make | 'make '*) targets_find "$1" "$command" ;;
    *) command_run "$1" "$command" "${wanted:-0}" ;;
    esac
  done 3<"$scratch/lines"
}

targets_find() { # PAGE COMMAND
  for word in ${2#make}; do
    case $word in
    *=*) ;;
    *) if grep -q "^$word:" Makefile; then pass; else fail "$1: there is no target '$word': $2"; fi ;;
    esac
  done
}

command_run() { # PAGE COMMAND STATUS
  echo 0 >"$scratch/status"
  filled=$(printf '%s\n' "$2" | sed 's/\bJOB\b/samples\/pump-foot.yaml/g; s/\bPROGRAM\b/pump-foot.nc/g')
  (
    cd "$(cat "$scratch/here")" || exit 126
    eval "$filled"
    status=$?
    pwd >"$scratch/here"
    exit $status
  ) </dev/null >"$scratch/said" 2>&1
  status=$?
  [ "$status" != 0 ] || status=$(cat "$scratch/status")
  if [ "$status" = "$3" ]; then
    pass
  else
    fail "$1: status $status, and $3 was expected: $2"
    tail -n 5 "$scratch/said"
  fi
}

excerpt_make() { # MARK
  case $1 in
  'file: '*) cat "${1#file: }" ;;
  'excerpt: '*)
    range=${1#excerpt: }
    awk -v range="$range" '
      BEGIN { n = split(range, ends, " \\.\\.\\. ") }
      inside && (n == 1 ? $0 == "" : $0 ~ ends[2]) { exit }
      !inside && $0 ~ ends[1] { inside = 1 }
      inside { for (; empty > 0; empty--) print ""; if ($0 == "") empty = 1; else print }' "$scratch/said" ;;
  esac
}

page_make() { # PAGE: runs it, and leaves the page as it should be in $scratch/page
  page=$1
  rm -rf "$scratch/copy" && mkdir -p "$scratch/copy/build"
  cp -R samples docs post "$scratch/copy/"
  ln -s "$scratch/bin/skimcut" "$scratch/copy/build/skimcut"
  (cd "$scratch/copy" && skimcut program -q samples/pump-foot.yaml -o pump-foot.nc) || fail "$page: no program to begin with"
  echo "$scratch/copy" >"$scratch/here"
  : >"$scratch/said"
  cp "$page" "$scratch/page"
  blocks_find "$page"
  shift_by=0
  for head in "$scratch"/blocks/*.head; do
    [ -f "$head" ] || continue
    read -r first last kind mark <"$head"
    body=${head%.head}.body
    start=$(head -n 1 "$body")
    word=${start%% *}
    if [ -n "$mark" ]; then
      excerpt_put
    elif [ "$kind" = yaml ]; then
      continue
    elif [ "$kind" != fence ] && [ "$kind" != indented ]; then
      fail "$page:$first: a block of a kind that nobody runs or compares: $kind"
    elif is_known "$word"; then
      commands_run "$page" "$body"
    elif printf '%s\n' "$figures" | while IFS= read -r figure; do
      case "$page:$start" in "$figure"*) exit 1 ;; esac
    done; then
      fail "$page:$first: neither a command that is known here, nor an excerpt, nor a known figure: $start"
    fi
  done
}

# The lines first to last of the page, which an earlier excerpt may have moved, become what they should be.
excerpt_put() {
  excerpt_make "$mark" >"$scratch/made"
  if [ ! -s "$scratch/made" ]; then
    fail "$page:$first: nothing that was printed matches: $mark"
    tail -n 3 "$scratch/said"
    return
  fi
  {
    sed -n "1,$((first + shift_by - 1))p" "$scratch/page"
    cat "$scratch/made"
    sed -n "$((last + shift_by + 1)),\$p" "$scratch/page"
  } >"$scratch/new"
  mv "$scratch/new" "$scratch/page"
  shift_by=$((shift_by + $(wc -l <"$scratch/made") - (last - first + 1)))
  if [ -n "$write" ]; then
    return
  elif cmp -s "$scratch/made" "$body"; then
    pass
  else
    fail "$page:$first: not what is printed now ($mark); run 'make reference'"
    diff -u "$body" "$scratch/made" | sed -n '3,15p'
  fi
}

for page in README.md DEVELOPERS.md docs/*.md; do
  if [ -n "$write" ] && [ "$page" != docs/first-part.md ]; then continue; fi
  page_make "$page"
  if [ -n "$write" ]; then cat "$scratch/page" >"$top/$page"; fi
done
if [ -n "$write" ]; then
  [ "$failed" = 0 ]
else
  echo "$passed passed, $failed failed"
  [ "$failed" = 0 ] && [ "$passed" -gt 0 ]
fi
