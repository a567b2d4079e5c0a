# SPDX-License-Identifier: GPL-3.0-or-later
# Lines NAME,NUMBER,NUMBER of two files, in any order: every number of the first stands in the second, to
# 9 digits, and no name more. With -v part=1 the second may leave out lines with an empty cell.
#
#   awk -f agree.awk WANTED FOUND
#
# Slopes: a difference of sizes of 66 mm has rounding of 1e-14 mm in it whatever its own size, so one below
# 1e-6 mm an hour need not have more digits than that one. Exit 1 after the first that differs.
BEGIN { FS = "," }

function off(wanted, found,    size, apart)
{
    if (wanted == "" || found == "") return wanted != found
    size = wanted < 0 ? -wanted : wanted + 0
    apart = wanted < found ? found - wanted : wanted - found
    return apart > 1e-9 * (size > 1e-6 ? size : 1e-6)
}

function differs(why)
{
    print FILENAME ": " why
    exit failed = 1
}

FNR == NR {
    first[$1] = $2
    second[$1] = $3
    wanted++
    optional += part && $3 == ""
    next
}
{ found++ }
!($1 in first) { differs($1 " is one too many, or stands there twice") }
off(first[$1], $2) || off(second[$1], $3) {
    differs($0 " is not " $1 "," first[$1] "," second[$1])
}
{ delete first[$1] }
END {
    if (!failed && (wanted == 0 || found < wanted - optional)) {
        differs(found + 0 " lines of " wanted + 0)
    }
    exit failed
}
