#!/bin/sh
# The plan as JSON, looked at with jq:  data.sh BINARY
# Its keys are those of docs/data.md, with the kinds of values and the nulls that stand there; both ways, over the samples and jobs
# made to have everything. Its sums come out, and its figures and sentences are those that the plan prints.
set -eu
cd "$(dirname "$0")/../.."
binary=$1
[ -x "$binary" ] || { echo "data.sh: no program at $binary" >&2; exit 2; }
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
passed=0 failed=0

pass() { passed=$((passed + 1)); }
fail() { failed=$((failed + 1)); echo "$1"; }

# --- what docs/data.md says: path, kind of value, "null" where it may be that ---

awk -F' *\\| *' '
  /^## / { inside = $0 == "## The keys" }
  !inside { next }
  /^### / { prefix = ""; if (split($0, part, "`") > 1) prefix = part[2] "." }
  /^\| `/ { gsub(/`/, "", $2); print prefix $2 "\t" $3 "\t" ($4 == "" ? "" : "null") }
' docs/data.md >"$folder/rows"

cat >"$folder/lib.jq" <<'JQ'
def quantities: ["length", "feed", "cutting speed", "removal", "force", "torque", "power", "roughness"];
def members: {
  names: {si: "text", job: "text"},
  quantity: {si: "number", job: "number"},
  point: {x: "length", y: "length"},
  range: {from: "length", to: "length"},
  dial: {per_turn: "length", graduation: "length"},
  reading: {turns: "whole number", graduations: "number", back: "true or false", text: "text"}
};
def shape: if IN(quantities[]) then "quantity" else . end;

# A row of the page, and those that its kind of value implies.
def unfold: ., (.path as $path | (members[.kind | shape] // {} | to_entries[])
  | {path: "\($path).\(.key)", kind: .value, null: false} | unfold);
def documented: [$rows | split("\n")[] | select(. != "") | split("\t")
  | {path: .[0], kind: .[1], null: (.[2] == "null")} | unfold] | INDEX(.path);

def name: map(if type == "number" then "[]" else . end) | join(".") | gsub("\\.\\[\\]"; "[]");
def is($kind): type as $type | ($kind | shape) as $kind
  | if $kind == "text" then $type == "string" and length > 0
    elif $kind == "number" then $type == "number"
    elif $kind == "whole number" then $type == "number" and . == floor
    elif $kind == "true or false" then $type == "boolean"
    elif $kind == "object" or members[$kind] then $type == "object"
    elif $kind == "list of texts" then $type == "array" and all(.[]; type == "string" and length > 0)
    elif $kind == "list of objects" then $type == "array" and all(.[]; type == "object")
    else false end;

def near($other; $by): . - $other | fabs <= $by;
def sum: reduce .[] as $x (0; . + $x);
# The unit of both halves of a quantity: mm of one, and nm of the other.
def unit: if .units.job == "inch" then 0.0254 else 0.001 end;
JQ

# --- the plans ---

for sample in samples/*.yaml; do
  case $sample in */shop-*) continue ;; esac
  name=$(basename "$sample" .yaml)
  echo "$name $sample"
done >"$folder/list"

more() { # NAME [OPTION ...]: a job on standard input
  cat >"$folder/$1.yaml"
  name=$1
  shift
  echo "$name $folder/$name.yaml $*" >>"$folder/list"
}

more by-hand <<'YAML'
units: inch
title: rail, by hand
material: low-carbon steel
stock: {length: 8, width: 4, height: 1.2004}
finished_height: 1.1
cutter: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide, flat: 0.06}
cut: {pattern: one-way}
machine:
  kind: manual
  spindle: {speeds: [80, 210, 660], power: 2 hp}
  dials:
    x: {per_turn: 0.2, graduation: 0.001}
    y: {per_turn: 0.2, graduation: 0.001}
    knee: {per_turn: 0.1, graduation: 0.001}
  power_feed: {rates: [1, 2, 4, 8, 16]}
  tram: {error: 1 thou, over: 8 in}
finish: {roughness: 63 uin, flatness: 2 thou}
vise: {front_jaw: 1.2, rear_jaw: 1.3, jaw_width: 6, clamping_force: 4000 lbf}
parallels: [1/2 in, 3/4 in]
hold: {clamps: [{x: -3, y: 0, length: 1/2 in, width: 1, height: 1/2 in}]}
YAML
more by-hand-in-mm <<'YAML'
units: mm
title: no dial but one
material: aluminium
stock: {length: 100, width: 180, height: 30.1}
finished_height: 29
cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide, nose_radius: 0.4}
cut: {milling: either, measure: []}
zero: {x: centre, y: back, z: bottom}
machine: {kind: manual, dials: {x: {per_turn: 4, graduation: 0.02}}, power_feed: {rates: [2000 mm/min], axes: [x, y]}, tram: {error: 0.02, over: 200}}
YAML
more skim-only <<'YAML'
units: mm
material: {group: K, cutting_speed: 90, feed_per_tooth: 0.1}
stock: {length: 60, width: 30, height: 20.1}
finished_height: 20
cutter: {kind: fly cutter, diameter: 50, edge: hss}
machine: {kind: manual}
hold: {clamps: [{x: -40, y: 0, length: 30, width: 30, height: 10}]}
YAML
more idle-passes <<'YAML'
units: mm
material: brass
stock: {length: 60, width: 30, height: 20.5}
finished_height: 20
cutter: {kind: face mill, diameter: 40, teeth: 3, edge: carbide, nose_radius: 10}
cut: {stepover: 5 %, pattern: one-way}
YAML
more wide-passes <<'YAML'
units: mm
material: brass
stock: {length: 160, width: 105, height: 20.5}
finished_height: 20
cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}
cut: {pattern: zigzag, stepover: 90 %, milling: either}
YAML
more many <<'YAML'
units: inch
material: brass
stock: {length: 40, width: 40, height: 3}
finished_height: 1
cutter: {kind: end mill, diameter: 1/2 in, teeth: 3, edge: carbide}
cut: {stepover: 40 %, rough: 8 thou, test_cut: 8 thou, skim: 3 thou}
YAML
sed 's/^title.*/title: measured/' "$folder/by-hand.yaml" | more measured --measured 1.16
echo "plate-measured samples/hinge-plate.yaml --measured 1.281" >>"$folder/list"

# --- one plan ---

look() { # NAME JOB OPTION ...
  name=$1
  shift
  if "$binary" plan "$@" --as json >"$folder/$name.json" 2>"$folder/said" &&
    "$binary" plan "$@" >"$folder/$name.text" 2>>"$folder/said"; then pass; else
    fail "$name: no plan"
    cat "$folder/said"
    return
  fi
  if [ -s "$folder/said" ]; then fail "$name: something is said beside the JSON"; else pass; fi
  jq -r -L "$folder" --rawfile rows "$folder/rows" 'include "lib"; documented as $documented
    | paths as $path | select($path[-1] | type == "string")
    | ($path | name) as $name | $documented[$name] as $row | getpath($path)
    | if $row == null then "\($name) is not documented"
      elif . == null then (if $row.null then empty else "\($name) is null" end)
      elif is($row.kind) then empty else "\($name) is no \($row.kind): \(tojson)" end' "$folder/$name.json" >"$folder/raw" || echo "jq failed" >>"$folder/raw"
  sort -u "$folder/raw" >"$folder/faults"
  {
    sums "$folder/$name.json"
    same "$folder/$name.json" "$folder/$name.text"
    said "$folder/$name.json" "$folder/$name.text"
  } >>"$folder/faults"
  if [ -s "$folder/faults" ]; then fail "$name: $(head -n 5 "$folder/faults")"; else pass; fi
}

# What adds up, and what is told twice. Sums of nine digits are good to seven; lengths in metres to a picometre.
sums() { # JSON
  jq -r -L "$folder" 'include "lib"; . as $in | unit as $unit
    | (if [.cuts[].depth.si] | sum | near($in.comes_off.si; 1e-12) then empty else "depths are not what comes off" end),
      (if .stock.height.si - .comes_off.si | near($in.finished_height.si; 1e-12) then empty else "heights" end),
      (if .cuts[-1].left.si == 0 and .cuts[-1].height == .finished_height then empty else "the last cut" end),
      (if all(.cuts[]; .height.si - .left.si | near($in.finished_height.si; 1e-12)) then empty else "what is left" end),
      (if all(.cuts[]; .height.si - .z.si | near($in.zero.from_stock.z.si; 1e-12)) then empty else "Z of a cut" end),
      (if all(.cuts[] | select(.up); .height.si + .up.si | near($in.stock.height.si; 1e-12)) then empty else "the knee" end),
      (if [.cuts[].feed_s] | sum | near($in.time.feed_s; 1e-6 * $in.time.feed_s) then empty else "time at feed" end),
      (if [.cuts[].rapid_s] | sum | near($in.time.rapid_s; 1e-6 * ($in.time.rapid_s + 1)) then empty else "time at rapid" end),
      (if .time.feed_s + .time.rapid_s | near($in.time.total_s; 1e-6 * $in.time.total_s) then empty else "time in all" end),
      (if .time.cutting_s < .time.feed_s then empty else "time in the cut" end),
      (if [.cuts[] | select(.stop_after)] | length == $in.time.stops then empty else "stops" end),
      (if [.cuts[].number] == [range(1; (.cuts | length) + 1)] then empty else "numbers of cuts" end),
      (if (.passes | length) == .layout.passes and .passes[-1].number == .layout.passes then empty else "passes" end),
      (if all(.passes[]; .travel[1:] == $in.layout.along) then empty else "travel" end),
      (if all(.passes[].chips; . == null or (.x * .x + .y * .y | near(1; 1e-7))) then empty else "chips are no unit vector" end),
      (if all(.passes[].chips | select(.); (.stand - .guard) == .stand and (.stand | index("back") == null)) then empty else "stands in the chips" end),
      (if all(.passes[].chips | select(.); (.towards - .guard) == []) then empty else "chips go beside the guard" end),
      (if all(.. | objects | select(has("si") and (.si | type == "number")); (.si == 0) == (.job == 0)) then empty else "one half is 0" end),
      ([.. | objects | to_entries[] | select(.key | IN("z", "height", "depth", "left", "from", "to", "by", "stock", "over")) | .value
        | .. | objects | select(.si? | type == "number") | select(.job * $unit - .si | near(0; 1e-12) | not) | "SI and the job differ: \(tojson)"] | .[0] // empty)
  ' "$1"
}

# Rows of cuts and passes, as far as the page has them, to half of its last digit; a row's numbers are told apart by blanks.
same() { # JSON TEXT
  jq -r '(.cuts[] | ["cut", .number, .kind, .depth.job, .height.job, (.up // .z).job] | @tsv),
    (.layout.along as $along | (if $along == "x" then "y" else "x" end) as $across
      | .passes[] | ["pass", .number, (.travel | ascii_upcase), .from[$across].job, .from[$along].job, .to[$along].job] | @tsv)' \
    "$1" >"$folder/told"
  awk -v half="$(jq 'if .units.job == "inch" then 0.000051 else 0.00051 end' "$1")" '
    FNR == NR { row[$1, $2] = $0; next }
    /^Cuts / { kind = "cut"; next }
    /^Passes of each cut/ { kind = "pass"; next }
    /^$/ { kind = "" }
    kind != "" && $1 ~ /^[0-9]+$/ && $2 ~ /^(test|rough|skim|[-+][XY])$/ {
      rows[kind]++
      split(row[kind, $1], told)
      if (told[3] != $2) print kind " " $1 " is " told[3] ", printed " $2
      for (i = 3; i <= 5; i++)
        if (told[i + 1] - $i > half || $i - told[i + 1] > half) print kind " " $1 " has " told[i + 1] ", printed " $i
    }
    END { if (!rows["cut"] || !rows["pass"]) print "no rows of cuts or passes on the page" }' "$folder/told" "$2"
}

# Every sentence, and every word for a margin, stands on the page, wherever its lines end.
said() { # JSON TEXT
  jq -r --rawfile page "$2" '($page | gsub("\\s+"; " ")) as $page
    | (": \(.coolant_reason) ", .measuring[], .cautions[], .remarks[].text,
       (.loads.motor | select(.) | "\(100 * .share | round) % of it is taken, \(.word)."),
       (.grip.word | select(.) | " is wanted: \(.)."),
       (.handwork | select(.) | (.before, .stop, .between)[], .skim.text),
       (select(.rough.deepest).handwork | select(.) | .rough.text),
       (.passes[0, -1].chips | select(. and .stand == []) | "no side is free, so stand behind it"))
    | gsub("\\s+"; " ") | . as $said | select($page | contains($said) | not) | "\(.) is not on the page"' "$1"
}

while read -r name rest; do
  # shellcheck disable=SC2086  # words on purpose
  look "$name" $rest
done <"$folder/list"

# --- the other way: what is documented occurs, and what may be null is null somewhere and something elsewhere ---

jq -n -r -L "$folder" --rawfile rows "$folder/rows" 'include "lib"; documented as $documented
  | reduce inputs as $plan ({}; reduce ($plan | paths | select(.[-1] | type == "string")) as $path (.;
      ($path | name) as $name | .[$name][if $plan | getpath($path) == null then "null" else "value" end] = true))
  | . as $seen | $documented[] | $seen[.path] as $was
  | if $was == null then "\(.path) never occurs"
    elif ($was.value | not) then "\(.path) is always null"
    elif .null and ($was.null | not) then "\(.path) is never null" else empty end' "$folder"/*.json >"$folder/faults"
if [ -s "$folder/faults" ]; then fail "$(cat "$folder/faults")"; else pass; fi

if jq -e -n 'any(inputs; any(.passes[].chips | select(.); .stand == []))' "$folder"/*.json >"$folder/said"; then pass; else
  fail "there is a free side to stand at in every plan"
fi

if [ "$(wc -l <"$folder/rows")" -gt 100 ]; then pass; else fail "docs/data.md has too few keys to be true"; fi

echo "$passed passed, $failed failed"
[ "$failed" = 0 ]
