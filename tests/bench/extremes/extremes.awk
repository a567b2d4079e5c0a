# SPDX-License-Identifier: GPL-3.0-or-later
# What ./run asks, in plain steps: what the other tools are held to.
#
#   awk -f extremes.awk FOLDER/inspections.csv FOLDER/readings.csv
BEGIN { FS = ","; OFS = ","; OFMT = "%.17g"; CONVFMT = "%.17g" }

# inspection,engine,date,hours,...
FNR == NR {
    if (FNR > 2) {
        engine_of[$1] = $2
        hours_of[$1] = $4
    }
    next
}

# All rows of an inspection stand together, so its places need not be kept.
function finish_inspection(    place, size, low, high, engine)
{
    low = high = ""
    for (place in times) {
        size = sum[place] / times[place]
        if (low == "" || size < low) low = size
        if (high == "" || size > high) high = size
    }
    split("", sum)
    split("", times)
    if (low == "") return
    print inspection, low + 0, high + 0
    engine = engine_of[inspection]
    points[engine]++
    x[engine, points[engine]] = hours_of[inspection]
    y[engine, points[engine]] = high
}

# inspection,feature,item,position,direction,reading,no_go,zero,...
FNR > 1 {
    if ($1 != inspection) {
        finish_inspection()
        if ($1 in seen) {
            print "extremes.awk: the rows of " $1 " do not stand together" > "/dev/stderr"
            exit failed = 2
        }
        inspection = $1
        seen[$1]
    }
    if ($2 == "bore") {
        sum[$4, $5] += $8 + $6
        times[$4, $5]++
    }
}

function print_slope(engine,    i, n, middle_x, middle_y, above, below)
{
    n = points[engine]
    for (i = 1; i <= n; i++) {
        middle_x += x[engine, i] / n
        middle_y += y[engine, i] / n
    }
    for (i = 1; i <= n; i++) {
        above += (x[engine, i] - middle_x) * (y[engine, i] - middle_y)
        below += (x[engine, i] - middle_x) * (x[engine, i] - middle_x)
    }
    if (below > 0) print engine, above / below, ""
}

END {
    if (failed) exit failed
    finish_inspection()
    for (engine in points) print_slope(engine)
}
