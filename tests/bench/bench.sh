#!/bin/sh
# What skimcut costs, as ratios of things measured in the same run, in turns:  bench.sh BINARY
# Nothing here passes or fails: a busy machine gives wider spreads. RUNS=7 measures more often than 5 times.
set -eu
cd "$(dirname "$0")/../.."
[ $# = 1 ] || { echo "usage: bench.sh BINARY" >&2; exit 2; }
binary=$1
runs=${RUNS:-5}
scratch=$(mktemp -d build/bench-XXXXXX)
trap 'rm -rf "$scratch"' EXIT
for program in cost loop; do
  "${CC:-cc}" -std=c17 -D_DEFAULT_SOURCE -O2 -o "$scratch/$program" "tests/bench/$program.c"
done
cost=$scratch/cost
sample=samples/pump-foot.yaml
true=$(command -v true) # a program of its own, whatever the shell has built in
[ -x "$true" ] || true=/bin/true

# 1000 levels of 5001 passes, there and back: two blocks a pass.
cat >"$scratch/large.yaml" <<'JOB'
units: mm
title: ten million blocks
material: brass
stock: {length: 500, width: 500, height: 30}
finished_height: 10
cutter: {kind: end mill, diameter: 2, teeth: 2, edge: hss, nose_radius: 0}
cut: {pattern: zigzag, along: x, stepover: 5 %, rough: 0.02, skim: 0.02, test_cut: 0}
JOB

# The same with 1500 levels: 100 MB.
sed 's/height: 30}/height: 40}/' "$scratch/large.yaml" >"$scratch/hundred.yaml"

measure() { # NAME TIMES OUT COMMAND...: one line to the file NAME
  name=$1
  shift
  "$cost" "$@" >>"$scratch/times-$name"
}

middle() { # NAME: median seconds, least, most
  cut -d ' ' -f 1 "$scratch/times-$1" | sort -n |
    awk '{ t[NR] = $1 } END { m = NR % 2 ? t[(NR + 1) / 2] : (t[NR / 2] + t[NR / 2 + 1]) / 2; print m, t[1], t[NR] }'
}

peak() { # NAME: the largest
  cut -d ' ' -f 2 "$scratch/times-$1" | sort -n | tail -n 1
}

ratio() { # WHAT NAME BASE: medians over one another, and the range of every quotient that the runs allow
  echo "$(middle "$2") $(middle "$3")" |
    awk -v what="$1" '{ printf "%-66s %6.2f   (%.2f to %.2f)\n", what, $1 / $4, $2 / $6, $3 / $5 }'
}

"$binary" program -q "$scratch/large.yaml" -o "$scratch/large.nc"
blocks=$(wc -l <"$scratch/large.nc")
bytes=$(wc -c <"$scratch/large.nc")
"$binary" program -q "$scratch/hundred.yaml" -o "$scratch/hundred.nc"
hundred=$(wc -c <"$scratch/hundred.nc" | awk '{ printf "%.0f MB", $1 / 1e6 }')

run=0
while [ "$run" -lt "$runs" ]; do
  run=$((run + 1))
  measure true 100 /dev/null "$true"
  measure plan 100 /dev/null "$binary" plan "$sample"
  measure small 100 /dev/null "$binary" program -q "$sample"
  measure large 1 /dev/null "$binary" program -q "$scratch/large.yaml" -o "$scratch/out.nc"
  measure twice 1 "$scratch/out.twice" "$binary" program -q "$scratch/large.yaml"
  measure cat 1 "$scratch/out.cat" cat "$scratch/large.nc"
  # shellcheck disable=SC2016  # for the inner shell
  measure synced 1 /dev/null sh -c 'cat "$1" >"$2" && sync "$2"' sh "$scratch/large.nc" "$scratch/out.synced"
  measure loop 1 "$scratch/out.loop" "$scratch/loop" "$blocks"
  measure prove 1 "$scratch/out.prove" "$binary" prove -q "$scratch/hundred.yaml" "$scratch/hundred.nc"
  measure words 1 "$scratch/out.words" wc -l -w "$scratch/hundred.nc"
  rm -f "$scratch"/out.*
done

echo "Ratios of medians of $runs runs, measured in turns (and the least and most that the runs allow):"
echo
ratio "plan of a sample, start to end / start to end of 'true'" plan true
ratio "program of a sample, start to end / start to end of 'true'" small true
ratio "program of $blocks blocks to a file, synced / cat and sync of it" large synced
ratio "the same to standard output, made twice / cat of it" twice cat
ratio "program of $blocks blocks / a loop of as many fprintf" large loop
ratio "proof of a program of $hundred / wc -l -w of it (5 at the most)" prove words
echo "$(peak large) $(peak small)" |
  awk '{ printf "%-66s %6.2f   (%d KiB and %d KiB)\n", "peak memory of that program / of the sample'"'"'s", $1 / $2, $1, $2 }'
peak prove |
  awk '{ printf "%-66s %6.2f   (%d KiB; under 1)\n", "peak memory of that proof / 32 MiB", $1 / 32768, $1 }'
echo
echo "$bytes $(middle large) $(middle synced) $(middle loop)" |
  awk '{ printf "For scale, here and now: %.0f MB; skimcut %.0f MB/s, cat and sync %.0f MB/s, fprintf %.0f MB/s\n", $1 / 1e6, $1 / 1e6 / $2, $1 / 1e6 / $5, $1 / 1e6 / $8 }'
