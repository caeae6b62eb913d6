#!/bin/sh
# docs/accuracy.md from the rows that the tests wrote: `accuracy.sh write [BUILD/tests]` writes it, `accuracy.sh check`
# fails if it is not what the rows give. In front stands accuracy-head.md, at the end planted.md.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
page=$here/../../docs/accuracy.md
tests=${2:-$here/../../build/tests}

join() {
    cat "$here/accuracy-head.md"
    while read -r program case; do
        [ ! -f "$tests/rows/$case.row" ] || sed "s/^/$program /" "$tests/rows/$case.row"
    done <"$tests/rows.order" | awk '
        function heading(program, text) { order[++n_known] = program; title[program] = text }
        BEGIN {
            heading("calibration_test", "Melt calibration table")
            heading("water_air_test", "Water, ice and air")
            heading("melt_test", "Melting ice and warmth of the cloth")
            heading("wicking_test", "Water in cloth")
            heading("strip_test", "Wicking strips and siphons")
            heading("dye_test", "Dye")
            heading("dye_carry_test", "Dye on its way")
            heading("books_test", "What goes in comes out")
            heading("colour_test", "Colour")
            heading("random_test", "Random numbers")
            heading("water_test", "Observed orders: water")
            heading("smooth_water_test", "Observed orders: smooth water")
            heading("carry_test", "Observed orders: carried dye")
        }
        {
            program = $1
            sub(/^[^ ]+ /, "")
            if (!(program in title)) { heading(program, program) }
            rows[program] = rows[program] $0 "\n"
            count[program]++
            all++
            told += / - \|$/
            failed += / NO \|$/
        }
        END {
            printf "## The checks, one by one\n\n"
            printf "%d rows: %d pass, %d fail, %d are told and not asserted.\n", all, all - told - failed, failed, told
            for (i = 1; i <= n_known; i++) {
                if (count[order[i]]) {
                    printf "\n### %s (%d)\n\n", title[order[i]], count[order[i]]
                    printf "| check | source | expected | ours | tolerance | pass |\n|---|---|---|---|---|---|\n%s", rows[order[i]]
                }
            }
        }'
    echo
    cat "$here/planted.md"
}

case ${1:-} in
write)
    join >"$page.new"
    mv "$page.new" "$page"
    sed -n 's/^[0-9]* rows: /docs\/accuracy.md: &/p' "$page"
    ;;
check)
    if ! join | diff "$page" -; then
        echo "docs/accuracy.md (<) is not what this run gives (>). If the new rows are right, write it anew:"
        echo "    sh tests/outside/accuracy.sh write $tests"
        exit 1
    fi
    sed -n 's/^[0-9]* rows: /docs\/accuracy.md is fresh, &/p' "$page"
    ;;
*)
    echo "usage: accuracy.sh write|check [BUILD/tests]" >&2
    exit 2
    ;;
esac
