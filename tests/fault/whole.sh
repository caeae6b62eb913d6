# Sourced by the tests that stop the program: a folder that holds one whole result or another, and nothing else.
# Wants $program and $next_batch. Begins in an empty folder with `first` and `second`, the two results, and s.yaml.
work=$(mktemp -d)
said=$work/said
trap 'rm -rf "$work"' EXIT INT TERM
mkdir "$work/cell"
cd "$work/cell"
export OMP_WAIT_POLICY=passive
unset THAW_CALL_KILL THAW_CALL_FAIL THAW_CALL_SHORT THAW_CALL_SLOW || true
cat >s.yaml <<'YAML'
title: Test cloth
cloth: { kind: cotton twill, width: 6 cm, length: 5 cm }
ice:
  - { kind: cubes, mass: 30 g }
dye:
  - { colour: turquoise, mass: 50 mg }
leave: 10 min
detail: draft
YAML

complain() {
    echo "FAILED: $1"
    sed 's/^/    stderr| /' "$said" 2>/dev/null || true
    ls -lA here >&2 || true
    exit 1
}

run() { # SEED DIR [MORE...]
    seed=$1
    dir=$2
    shift 2
    "$program" preview -q --threads 1 --without-ranges --seed "$seed" -o "$dir" "$@" s.yaml >/dev/null 2>"$said"
}

run 1 first || complain "the first result"
run 2 second || complain "the second result"

fresh() { # `here` holds the first result
    rm -rf here
    cp -R first here
}

hidden() { # what lies hidden in `here`
    ls -A here | grep '^\.' || true
}

# Which result the files of `here` are, hidden ones aside: first, second or half.
which_result() {
    if diff -rq -x '.thawprint-*' -x card.txt first here >/dev/null; then
        echo first
    elif diff -rq -x '.thawprint-*' -x card.txt second here >/dev/null; then
        echo second
    else
        echo half
    fi
}

# The least that is another run into the folder: it clears what a dead one left.
next_run() {
    "$next_batch" here card.txt 2>"$said" || complain "the next run"
    [ -z "$(hidden)" ] || complain "something is left after the next run"
}
