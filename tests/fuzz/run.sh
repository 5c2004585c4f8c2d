#!/bin/sh
# Lets libFuzzer look for new inputs:  run.sh SECONDS [TARGET...]  builds each target with clang and runs it so long.
# What it finds is left in build/fuzz; what once hurt belongs in tests/fuzz/corpus/.
set -eu
cd "$(dirname "$0")/../.."
seconds=${1:-60}
[ $# -gt 0 ] && shift
[ $# -gt 0 ] || set -- quantity job dialect reader chain
build=build/fuzz
flags="-O1 -g -fno-omit-frame-pointer -fsanitize=address,undefined -fno-sanitize-recover=all -DARENA_CHUNK=1"

command -v clang >/dev/null || { echo "run.sh: clang is missing; on Debian: apt-get install clang libclang-rt-dev" >&2; exit 2; }
make -s CC=clang BUILD=$build CFLAGS="$flags -fsanitize=fuzzer-no-link" $build/libskimcut.a

for target; do
  corpus=$build/corpus/$target
  mkdir -p "$corpus"
  for seed in tests/fuzz/corpus/"$target"/*; do
    [ -f "$seed" ] && cp "$seed" "$corpus/"
  done
  case $target in
  job) cp samples/*.yaml "$corpus/" ;;
  dialect) cp post/*.yaml "$corpus/" ;;
  esac
  dictionary=
  [ -f "tests/fuzz/$target.dict" ] && dictionary=-dict=tests/fuzz/$target.dict
  # shellcheck disable=SC2086  # lists of words
  clang -std=c17 -Iinclude -D_XOPEN_SOURCE=700 $flags -fsanitize=fuzzer -o "$build/fuzz_$target" \
    "tests/fuzz/fuzz_$target.c" $build/libskimcut.a -lyaml -ljansson -lm
  # shellcheck disable=SC2086
  "$build/fuzz_$target" -max_total_time="$seconds" -timeout=20 -max_len=4096 -print_final_stats=1 $dictionary \
    -artifact_prefix="$build/$target-" "$corpus" 2>"$build/$target.log" ||
    { tail -n 40 "$build/$target.log"; echo "fuzz_$target found something: see $build/$target.log" >&2; exit 1; }
  echo "fuzz_$target: $(sed -n 's/^stat::number_of_executed_units: *//p' "$build/$target.log") inputs in $seconds s, nothing found"
done
