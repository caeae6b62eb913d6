#!/bin/sh
# Notebook pages in a real browser. usage: run.sh PROGRAM SHRUNK FOLDER
# Installs the packages of package-lock.json into FOLDER, makes the page of each shipped scenario at small size there, and
# runs pages.mjs. Exit 77 (skipped) without chromium, node or npm, or where the packages cannot be had.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
shrunk=$(cd "$(dirname "$2")" && pwd)/$(basename "$2")
mkdir -p "$3"
cd "$3"
export OMP_WAIT_POLICY=passive
skip() {
    echo "skipped: $1"
    exit 77
}
for tool in chromium node npm pdftotext pdfinfo; do
    command -v $tool >/dev/null 2>&1 || skip "there is no $tool"
done
if ! cmp -s "$here/package-lock.json" installed.json; then
    cp "$here/package.json" "$here/package-lock.json" .
    npm ci --ignore-scripts --no-audit --no-fund >npm.log 2>&1 || skip "the packages cannot be installed, see $PWD/npm.log"
    cp package-lock.json installed.json
fi
rm -rf pages run
mkdir pages run
# One in depth: chances, a record, and texts that try to be more than text.
"$shrunk" tide-backdrop 0.25 24 run/s.yaml
sed -i "s|^title: .*|title: 'Tide <b>\&amp;</b> \"x\" <script>alert(1)</script> <img src=x onerror=alert(2)>'|" run/s.yaml
"$program" preview -q --chances 3 --frames 24 -o run/done run/s.yaml >/dev/null
cp run/done/typical.png run/done/record-photo.png
cat >run/done/record.json <<'END'
{"melted_h": 3.5, "rinsed_h": 24, "white_percent": 6, "remarks": "</p><script>alert(3)</script>\u202e\u0007 <svg onload=alert(4)>",
 "photo": {"file": "record-photo.png", "figures": {"fineness": 0.1, "grain_weft_mm": 14, "grain_warp_mm": 15, "palette": [{"srgb": "#1c6e8c", "share": 0.4}]}}}
END
"$program" notebook -q --date '<i>26</i> November' -o pages/depth.html run/done >/dev/null
# All others: one run each, no ranges, few frames. Painted places lie beside them.
scenarios=$here/../../scenarios
cp "$scenarios"/*.png "$scenarios"/set-ups/*.png run/
for scenario in "$scenarios"/*.yaml "$scenarios"/set-ups/*.yaml; do
    path=${scenario#"$scenarios"/}
    path=${path%.yaml}
    name=$(basename "$path")
    case $path in
    set-ups/*) factor=1 hours=0.5 ;; # small as they are, with places in cm
    breaker-shirt) factor=0.4 hours=2 ;; # a garment is at least 25 cm long
    *) factor=0.3 hours=2 ;;
    esac
    "$shrunk" "$path" $factor $hours "run/$name.yaml"
    "$program" notebook -q --without-ranges --frames 6 -o "pages/$name.html" "run/$name.yaml" >/dev/null
done
cp "$here"/*.mjs .
node pages.mjs pages
