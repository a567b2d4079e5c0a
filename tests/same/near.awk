# SPDX-License-Identifier: GPL-3.0-or-later
#
# Two texts that may differ in the last digits of their numbers, and in nothing else:
#
#   awk -f near.awk [-v places=0.01] A B
#
# Numbers agree when they differ by no more than 2e-9 of the larger, or by `places`, or when both are
# below 1e-20 (what is left of a zero by rounding). Prints the first lines that differ by more, and
# how many differ by less. Exit: 0 they agree, 1 not.
function split_numbers(line, texts, numbers,    n) {
    n = 0
    while (match(line, /[0-9]+(\.[0-9]+)?(e[-+]?[0-9]+)?/)) {
        n++
        texts[n] = substr(line, 1, RSTART - 1)
        numbers[n] = substr(line, RSTART, RLENGTH)
        line = substr(line, RSTART + RLENGTH)
    }
    texts[n + 1] = line
    return n
}
function agree(a, b,    gap, larger) {
    if (a == b) return 1
    a += 0
    b += 0
    gap = a > b ? a - b : b - a
    larger = a > b ? a : b
    return gap <= 2e-9 * larger || gap <= places * 1.0001 || larger < 1e-20
}
function near(a, b,    n, i, ta, na, tb, nb) {
    n = split_numbers(a, ta, na)
    if (split_numbers(b, tb, nb) != n) return 0
    for (i = 1; i <= n; i++)
        if (ta[i] != tb[i] || !agree(na[i], nb[i])) return 0
    return ta[n + 1] == tb[n + 1]
}
FNR == NR { first[FNR] = $0; count = FNR; next }
$0 != first[FNR] {
    if (near(first[FNR], $0)) close_ones++
    else if (far++ < 3) printf "line %d:\n< %s\n> %s\n", FNR, first[FNR], $0
}
END {
    if (FNR != count) { print "not as many lines"; exit 1 }
    if (close_ones > 0) print close_ones " lines differ in last digits: " FILENAME
    exit far > 0
}
