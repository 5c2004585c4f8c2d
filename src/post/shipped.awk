# Turns YAML files into the C of shipped.h:  awk -f shipped.awk post/*.yaml samples/starter-*.yaml
function begin(array) { print "const struct shipped " array "[] = {" }
function end() { print "\t{ 0, 0 },\n};" }
BEGIN { print "#include \"skimcut/shipped.h\"\n"; begin("SHIPPED_DIALECTS") }
FNR == 1 {
	name = FILENAME
	sub(/.*\//, "", name)
	sub(/\.yaml$/, "", name)
	if (NR > 1)
		print "\t},"
	if (FILENAME ~ /starter-/ && !starters) {
		end()
		begin("SHIPPED_STARTERS")
		starters = 1
	}
	sub(/^starter-/, "", name)
	print "\t{ \"" name "\","
}
{
	gsub(/\\/, "\\\\")
	gsub(/"/, "\\\"")
	print "\t  \"" $0 "\\n\""
}
END { print "\t},"; end() }
