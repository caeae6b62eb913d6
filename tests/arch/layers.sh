#!/bin/sh
# Who may include whom. usage: layers.sh SOURCE_FOLDER
# Prints a line for each #include that breaks the table and fails if there is any.
set -u
cd "${1:-.}" || exit 1

# layer: layers or single headers it may include (itself always); `thawprint` is the public
# interface. Of data/, the stages see only tables of nature, never of names.
table='
base: thawprint
model: base thawprint
data: model base
scenario: data model base thawprint
setup: model base thawprint data/water.h
sim: model base thawprint data/water.h
look: model base thawprint data/observer.h
output: model base thawprint
study: scenario setup sim look data model base thawprint
api: study output look sim setup scenario data model base thawprint
cli: thawprint
packaging: cli thawprint
'
# system header: the only places that may include it
headers='
png.h: src/output/ src/base/picture.c
jpeglib.h: src/base/photo.c
yaml.h: src/scenario/
udunits2.h: src/base/quantity.c
geos_c.h: src/base/polygon.c
libxml/parser.h: src/scenario/svg.c
libxml/tree.h: src/scenario/svg.c
jansson.h: src/output/
webp/encode.h: src/output/webp.c
webp/decode.h: src/output/webp.c
webp/mux.h: src/output/webp.c
cairo.h: src/output/
cairo-pdf.h: src/output/
pango/pangocairo.h: src/output/
lcms2.h: src/look/ src/output/
Random123/philox.h: src/base/random.c
unistd.h: src/base/file.c src/cli/
fcntl.h: src/base/file.c src/cli/
sys/stat.h: src/base/file.c src/cli/
getopt.h: src/cli/
signal.h: src/cli/
threads.h: src/base/crew.c
'
found=$(find include src -name '*.[ch]' | sort | xargs awk -v table="$table" -v headers="$headers" '
function complain(what) { printf "%s:%d: %s\n", FILENAME, FNR, what }
function layer_of(path,    parts) {
    split(path, parts, "/")
    return parts[1] == "include" ? "thawprint" : parts[2]
}
BEGIN {
    n = split(table, lines, "\n")
    for (i = 1; i <= n; i++) {
        m = split(lines[i], words, /[: ]+/)
        known[words[1]] = 1
        for (j = 2; j <= m; j++) may[words[1], words[j]] = 1
    }
    n = split(headers, lines, "\n")
    for (i = 1; i <= n; i++) {
        at = index(lines[i], ": ")
        if (at) home[substr(lines[i], 1, at - 1)] = substr(lines[i], at + 2)
    }
}
/^[ \t]*#[ \t]*include/ {
    layer = layer_of(FILENAME)
    if (layer != "thawprint" && !(layer in known)) { complain("layer " layer " is not in the table"); next }
    name = $0
    sub(/^[^<"]*[<"]/, "", name)
    sub(/[>"].*$/, "", name)
    if (name in home) {
        fine = 0
        m = split(home[name], places, " ")
        for (j = 1; j <= m; j++) if (index(FILENAME, places[j]) == 1) fine = 1
        if (!fine) complain("<" name "> belongs to " home[name])
        next
    }
    local = index($0, "\"") > 0
    public = index(name, "thawprint/") == 1
    if (!local && !public) next
    slash = index(name, "/")
    target = slash ? substr(name, 1, slash - 1) : layer
    if (target != layer && !((layer, target) in may) && !((layer, name) in may)) complain(layer " may not include " name)
}
')
if [ -n "$found" ]; then
    echo "$found"
    echo "layers: $(echo "$found" | wc -l) includes break the table"
    exit 1
fi
echo "layers: all includes keep to the table"
