#!/bin/sh
# Pages whose tables come from the program. usage: pages.sh check|write PROGRAM
# A line `<!-- from: thawprint ARGUMENTS -->` is followed by a block of that output; a line
# `<!-- table: cloths KEY... -->` by a table of those figures. Each ends at `<!-- end -->`.
set -u
program=$(cd "$(dirname "$2")" && pwd)/$(basename "$2")
cd "$(dirname "$0")/../.." || exit 1
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT INT TERM

table() { # KIND KEY...: a row a cloth or dye; behind each figure its tag
    kind=$1
    shift
    "$program" list -v "$kind" | awk -v keys="$*" '
    function tag(text) {
        if (text ~ /^seen/) return "S"
        if (text ~ /^from memory/) return "M"
        if (text ~ /^computed/) return "C"
        if (text ~ /^estimate/) return "E"
        return text ~ /^definition/ ? "D" : "?"
    }
    function flush(    i, line) {
        if (name == "") return
        line = "| " name " |"
        for (i = 1; i <= n; i++) line = line " " cell[key[i]] " |"
        rows[++m] = line
    }
    BEGIN { n = split(keys, key, " ") }
    /^  [^ ]/ { flush(); name = substr($0, 3, 22); sub(/ +$/, "", name); body = m >= 0 }
    /^    [a-z]/ {
        at = substr($0, 5, 20); sub(/ +$/, "", at)
        value = substr($0, 26, 8); gsub(/ /, "", value)
        units = substr($0, 35, 10); sub(/ +$/, "", units)
        if (at in unit == 0) unit[at] = units
        cell[at] = value " " tag(substr($0, 47))
    }
    END {
        flush()
        line = "| |"; rule = "|---|"
        for (i = 1; i <= n; i++) { line = line " " key[i] (unit[key[i]] == "" ? "" : ", " unit[key[i]]) " |"; rule = rule "---|" }
        print line; print rule
        for (i = 1; i <= m; i++) if (rows[i] ~ /[0-9] [SMCED] /) print rows[i]
    }'
}

remake() { # PAGE
    while IFS= read -r line; do
        printf '%s\n' "$line"
        case $line in
        '<!-- from: '*) words=${line#'<!-- from: thawprint '}; words=${words%' -->'}
            # shellcheck disable=SC2086
            printf '```\n'; "$program" $words; printf '```\n' ;;
        '<!-- table: '*) words=${line#'<!-- table: '}; words=${words%' -->'}
            # shellcheck disable=SC2086
            table $words ;;
        *) continue ;;
        esac
        while IFS= read -r line && [ "$line" != '<!-- end -->' ]; do :; done
        printf '%s\n' "$line"
    done <"$1"
}

failed=0
for page in docs/cloths.md docs/colours.md; do
    remake "$page" >"$work/page"
    if [ "$1" = write ]; then
        cp "$work/page" "$page"
    elif ! diff -u "$page" "$work/page"; then
        echo "$page is not what the program says: sh tests/docs/pages.sh write PROGRAM"
        failed=1
    fi
done
exit $failed
