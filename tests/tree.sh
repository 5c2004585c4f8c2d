#!/bin/sh
# The shape of the tree: includes go one way only, every header compiles alone, the top level is what it should be.
set -u
cd "$(dirname "$0")/.." || exit 2
compiler=${1:-cc}
tour="version text length quantity arena diag markup step clock yaml schema materials job intake measured cutter rates dial engagement schedule layout loads surface hold grip plan chips weigh remark fit path choice ranking
shipped dialect writer block meaning lines arc reader sweep carve demand finding cutting proof language trial scale svg label dimension caption view workholding heights sideview topview depthview caution paper json weighing handwork wording summary verdict standings tables sheet amount rows weighed data numeral contract"
passed=0 failed=0

pass() { passed=$((passed + 1)); }
fail() { failed=$((failed + 1)); echo "$1"; }

place() { # of a stem in the tour
  n=0
  for stem in $tour; do
    n=$((n + 1))
    [ "$stem" = "$1" ] && { echo $n; return; }
  done
  echo 0
}

for file in include/skimcut/*.h src/core/*.c src/motion/*.c src/job/*.c src/plan/*.c src/post/*.c src/proof/*.c src/trial/*.c src/drawing/*.c src/report/*.c; do
  stem=$(basename "$file" | sed 's/\.[ch]$//')
  own=$(place "$stem")
  [ "$own" != 0 ] || { fail "$file: '$stem' is not in the tour"; continue; }
  includes=$(sed -n 's/^#include "skimcut\/\(.*\)\.h"/\1/p' "$file")
  for included in $includes; do
    theirs=$(place "$included")
    if [ "$theirs" = 0 ] || [ "$theirs" -gt "$own" ] || { [ "$theirs" = "$own" ] && [ "${file##*.}" = h ]; }; then
      fail "$file includes $included, which comes after it in the tour"
    else
      pass
    fi
  done
done

for header in include/skimcut/*.h; do
  if "$compiler" -std=c17 -Wall -Wextra -Werror -Iinclude -fsyntax-only -x c "$header"; then pass; else fail "$header does not compile alone"; fi
done

for source in src/core/*.c src/motion/*.c src/job/*.c src/plan/*.c src/post/*.c src/proof/*.c src/trial/*.c src/drawing/*.c src/report/*.c; do
  stem=$(basename "$source" .c)
  if [ -f "include/skimcut/$stem.h" ] && [ -f "tests/unit/test_$stem.c" ]; then pass
  else fail "$source wants include/skimcut/$stem.h and tests/unit/test_$stem.c"; fi
done

for name in *; do
  case $name in
  README.md | DEVELOPERS.md | LICENSE | Makefile | src | include | tests | post | samples | docs) pass ;;
  build) ;;
  *) fail "'$name' does not belong at the top" ;;
  esac
done

echo "$passed passed, $failed failed"
[ "$failed" = 0 ]
