# SPDX-License-Identifier: GPL-3.0-or-later
# What the scripts beside it share; sourced by them, with the program as their first argument.
# Each has a scratch folder $work, and ends with finish.

[ -x "${1-}" ] || { echo "usage: ${0##*/} TOPEND" >&2; exit 2; }
topend=$(CDPATH='' cd -- "$(dirname -- "$1")" && pwd)/$(basename -- "$1")
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)
sample=$here/../../sample-data
work=$(mktemp -d) || exit 2
trap 'chmod -R u+rwX "$work" 2>/dev/null; rm -rf "$work"' EXIT
trap 'exit 2' HUP INT TERM
unset SOURCE_DATE_EPOCH
failed=0
passed=0

# judge CODE WHAT...: counts one check; says WHAT when CODE is not 0.
judge() {
    if [ "$1" -eq 0 ]; then
        passed=$((passed + 1))
    else
        failed=$((failed + 1))
        shift
        echo "FAIL $*"
    fi
}

need() {
    for tool; do
        command -v "$tool" >/dev/null || { echo "${0##*/}: $tool is not installed" >&2; exit 2; }
    done
}

# The engines of the sample shop, one a line.
engines() {
    awk -F, '/^#/ { next } column { print $column; next }
             { for (i = 1; i <= NF; i++) if ($i == "engine") column = i }' "$sample/engines.csv"
}

# make EXPECTED-EXITS ARGUMENTS...: runs the program; standard output is in $work/out, standard error
# in $work/said.
make() {
    wanted=$1
    shift
    code=0
    "$topend" "$@" >"$work/out" 2>"$work/said" || code=$?
    case " $wanted " in
    *" $code "*) judge 0 ;;
    *) judge 1 "topend $*: exit $code in place of $wanted: $(head -n 3 "$work/said")" ;;
    esac
}

finish() {
    echo "$passed passed, $failed failed"
    [ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
    exit
}
