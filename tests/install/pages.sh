#!/bin/sh
# Man page and completion say what the program says, and are well made. usage: pages.sh PAGES_FOLDER PROGRAM
set -eu
here=$(cd "$(dirname "$0")" && pwd)
pages=$(cd "$1" && pwd)
page=$pages/thawprint.1
completion=$pages/thawprint
program=$(cd "$(dirname "$2")" && pwd)/$(basename "$2")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT INT TERM
fail() {
    echo "FAILED: $1"
    exit 1
}

mandoc -Tlint "$page" >"$work/lint" 2>&1 || fail "mandoc: $(cat "$work/lint")"
[ ! -s "$work/lint" ] || fail "mandoc: $(cat "$work/lint")"
LC_ALL=C.UTF-8 groff -ww -man -Tutf8 "$page" 2>"$work/lint" >"$work/groff" || fail "groff"
[ ! -s "$work/lint" ] || fail "groff: $(cat "$work/lint")"
LC_ALL=C.UTF-8 MANWIDTH=200 man -l "$page" 2>"$work/lint" | col -bx >"$work/text"
[ ! -s "$work/lint" ] || fail "man: $(cat "$work/lint")"
bash -n "$completion" || fail "bash -n"

# Every command, flag and line of help that the program prints is on the page.
flags_of() { # [COMMAND]
    "$program" "$@" --help | sed -n 's/^  \(-.,\|   \) --\([a-z-]*\).*/\2/p' | sort
}
commands=$("$program" --help | sed -n '/^Commands:/,/^$/s/^  \([a-z]*\) .*/\1/p')
[ "$(echo "$commands" | wc -w)" -ge 5 ] || fail "the program names few commands: $commands"
for command in $commands; do
    grep -q "^   $command " "$work/text" || fail "$command is not on the page"
    "$program" "$command" --help | sed -n '/^Examples:/,/^$/s/^  \(thawprint .*\)/\1/p' >"$work/examples"
    [ -s "$work/examples" ] || fail "$command has no examples"
    while IFS= read -r example; do
        grep -qF -e "$example" "$work/text" || fail "this example is not on the page: $example"
    done <"$work/examples"
    for flag in $(flags_of "$command"); do
        grep -Eq -e "^ *(-., )?--$flag( |$)" "$work/text" || fail "--$flag of $command is not on the page"
    done
    bash "$here/complete.bash" "$completion" thawprint "$command" -- | sed 's/^--//' | sort >"$work/offered"
    flags_of "$command" >"$work/known"
    diff "$work/known" "$work/offered" || fail "flags of $command: known (<) and offered (>) differ"
done
bash "$here/complete.bash" "$completion" thawprint '' | sort >"$work/offered"
echo "$commands" | tr ' ' '\n' | sort | diff - "$work/offered" || fail "commands: known (<) and offered (>) differ"

# What is offered, word by word.
mkdir "$work/cell" && cd "$work/cell"
mkdir -p 'a folder/inner' out && touch one.yaml two.yml three.csv 'a folder/four.yaml'
cat >"$work/cases" <<'END'
thawprint pre|preview
thawprint --ver|--version
thawprint -q pre|preview
thawprint -o out pre|preview
thawprint preview --detail |draft fine normal
thawprint preview --detail n|normal
thawprint preview --detail = d|draft
thawprint preview --detail =|draft fine normal
thawprint preview --seed |
thawprint preview -o |a folder out
thawprint preview -qo |a folder out
thawprint preview --output out |a folder one.yaml out two.yml
thawprint preview |a folder one.yaml out two.yml
thawprint preview -q one.yaml t|two.yml
thawprint preview --cloths |a folder one.yaml out three.csv two.yml
thawprint compare --vary ice.kind = cr|
thawprint compare --vary ice.kind = crushed o|one.yaml out
thawprint compare -- -|
thawprint gather |a folder out
thawprint list clo|cloths
thawprint list cloths --cl|--cloth --cloths
thawprint list --cloth silk|silk\ dupion silk\ habotai
thawprint list --cloth "silk|silk dupion silk habotai
thawprint list --cloth silk\ h|silk\ habotai
thawprint nonsense |
END
while IFS='|' read -r line wanted; do
    offered=$(bash "$here/complete.bash" "$completion" --line "$line" | sort | tr '\n' ' ')
    [ "${offered% }" = "$wanted" ] || fail "'$line': offered '${offered% }', wanted '$wanted'"
done <"$work/cases"

# The same with a finger on the TAB key of a bash that talks to a terminal.
python3 "$here/tab.py" "$completion" "$program" || fail "with TAB in a terminal"
echo "page and completion know $(echo "$commands" | wc -w) commands; $(wc -l <"$work/cases") completions"
