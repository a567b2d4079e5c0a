# SPDX-License-Identifier: GPL-3.0-or-later
# Compares the figures of a report with CSV: of its inspection, of all inspections of the engine, of
# the series, of the builds, then the figures as check-figures lists them. Exit 1 after saying what
# differs.
#
# Numbers have nine digits on both sides and are compared as they are written; but U, which is twice
# the CSV's u, and deviations, which are differences of such numbers.

function wrong(text) {
    print "    " title ": " text
    bad++
}

function near(a, b, tolerance) {
    return a - b <= tolerance && b - a <= tolerance
}

# U is twice u: both are rounded to nine digits, each by up to 5e-9 of itself
function twice(U, u) {
    return near(U, 2 * u, 1.1e-8 * U)
}

# the number behind a word in the line of a note
function after(word, text) {
    if (!match(text, word " -?[0-9][0-9.e+-]*")) {
        return ""
    }
    text = substr(text, RSTART, RLENGTH)
    sub(/^.* /, "", text)
    return text
}

function same(what, shown, expected) {
    compared++
    if (shown != expected || shown == "") {
        wrong(what " is " shown ", the CSV has " (expected == "" ? "none" : expected))
    }
}

# ---- the CSV: row[file, line, column] ----

FNR == 1 {
    file++
    if (file <= 4) {
        split("", names)
        count = split($0, cells, ",")
        for (i = 1; i <= count; i++) {
            names[i] = cells[i]
        }
        next
    }
}
file <= 4 {
    count = split($0, cells, ",")
    for (i = 1; i <= count; i++) {
        row[file, FNR, names[i]] = cells[i]
    }
    rows[file] = FNR
    next
}

# ---- the figures ----

function last_bore(quantity, column,    i, found) {
    found = ""
    for (i = 2; i <= rows[1]; i++) {
        if (row[1, i, "quantity"] == quantity) {
            found = row[1, i, column]
        }
    }
    return found
}

# The number of a bore's map, profile or sections.
function bore_note(text,    value, middle) {
    if (text ~ /^as new from /) {
        same("as new from", after("from", text), last_bore("bore", "new_min"))
        same("as new to", after("to", text), last_bore("bore", "new_max"))
    } else if (text ~ /^service limit (min|max) /) {
        same("the service limit", after("m..", text), last_bore("bore", "service_" substr(text, 15, 3)))
    } else if (text ~ /^out of round /) {
        value = after("round", text)
        ovals++
        most_oval = ovals == 1 || value + 0 > most_oval + 0 ? value : most_oval
    } else if (text ~ /^-?[0-9.e+-]+ mm, U /) {
        value = text
        sub(/ .*/, "", value)
        # of a diameter between 10 and 100 mm the ninth digit is 1e-7
        middle = (last_bore("bore", "new_min") + last_bore("bore", "new_max")) / 2
        if (!near(after("deviation", text), value - middle, 6e-8)) {
            wrong("the deviation of " value " from " middle " is " after("deviation", text))
        }
        points++
        if (points == 1 || value + 0 > most + 0) {
            most = value
            most_u = after("U", text)
        }
        least = points == 1 || value + 0 < least + 0 ? value : least
    } else if (text !~ /^(thrust|pin|[0-9.]+ degrees) direction$/) {
        wrong("cannot be read: " text)
    }
}

function end_bore() {
    same("the least diameter", least, last_bore("bore", "low"))
    same("the most diameter", most, last_bore("bore", "high"))
    if (!twice(most_u, last_bore("bore", "u_high"))) {
        wrong("U of " most " is " most_u ", u in the CSV " last_bore("bore", "u_high"))
    }
    if (title ~ /^Sections/) {
        same("the most out of round", most_oval, last_bore("out_of_round", "high"))
    }
}

# "end_gap 1, high, mm: PS05-R3": the row of the series
function find_series(    i, words, name, part) {
    part = title
    sub(/^[^:]*: /, "", part)
    split(title, words, /, |: /)
    side = words[2]
    quantity = item = words[1]
    sub(/ .*/, "", quantity)
    item = item ~ / / ? substr(item, length(quantity) + 2) : ""
    series = 0
    for (i = 2; i <= rows[3]; i++) {
        name = row[3, i, "part"]
        if (row[3, i, "quantity"] == quantity && row[3, i, "item"] == item &&
            row[3, i, "side"] == side && name == part) {
            series = i
        }
    }
    if (series == 0) {
        wrong("there is no such series in the CSV")
    }
}

# A point has to be some inspection's finding, its U twice the u of it.
function find_point(value, u,    i) {
    for (i = 2; i <= rows[2]; i++) {
        if (row[2, i, "quantity"] == quantity && row[2, i, "item"] == item &&
            row[2, i, side] == value && twice(u, row[2, i, "u_" side])) {
            return 1
        }
    }
    return 0
}

function series_note(text,    value) {
    if (text ~ /^service limit (min|max) /) {
        same("the limit", after("m..", text), row[3, series, "limit"])
    } else if (text ~ /^rate /) {
        lines++
        same("the rate", after("rate", text), row[3, series, "rate"])
        same("the level", after("level", text), row[3, series, "level"])
        same("the hours of the level", after("at", text), row[3, series, "hours_last"])
    } else if (text ~ /^earliest at the limit: /) {
        earliest++
        same("earliest", after("limit:", text), row[3, series, "hours_at_limit_earliest"])
    } else if (text ~ /^line at the limit: /) {
        best++
        same("the line at the limit", after("limit:", text), row[3, series, "hours_at_limit"])
    } else if (text ~ /^-?[0-9.e+-]+ [^ ]+, U /) {
        value = text
        sub(/ .*/, "", value)
        points += text !~ /not fitted/
        assumed += text ~ /assumed as new, not measured$/
        if (text !~ /assumed/ && !find_point(value, after("U", text))) {
            wrong("no inspection found " text)
        }
        if (text !~ /assumed/) {
            newest = value
            newest_at = after("at", text)
        }
    } else {
        wrong("cannot be read: " text)
    }
}

function end_series() {
    same("the count of points", points "", row[3, series, "points"])
    same("the count of assumed points", assumed + 0 "", row[3, series, "assumed_points"])
    same("the last value", newest, row[3, series, "value_last"])
    same("the hours of the last value", newest_at, row[3, series, "hours_last"])
    same("the count of lines", lines + 0 "", row[3, series, "rate"] == "" ? "0" : "1")
    if (earliest > 1 || best > 1 || (earliest && row[3, series, "hours_at_limit_earliest"] == "")) {
        wrong("a mark too many at the limit")
    }
}

# "0.0118661453 mm, U 0.0028359689, per 100 h, build 1, from 0 to 118.4 h"
function build_note(text,    i, value) {
    value = text
    sub(/ .*/, "", value)
    points++
    for (i = 2; i <= rows[4]; i++) {
        if (row[4, i, "quantity"] == quantity && row[4, i, "item"] == item &&
            row[4, i, "side"] == side && row[4, i, "build"] == after("build", text) &&
            row[4, i, "hours_from"] == after("from", text) &&
            row[4, i, "hours_to"] == after("to", text)) {
            same("the rate in build " after("build", text), value, row[4, i, "rate_per_100h"])
            if (!twice(after("U", text), row[4, i, "u_rate_per_100h"])) {
                wrong("U of " text " is not twice " row[4, i, "u_rate_per_100h"])
            }
            return
        }
    }
    wrong("no such build in the CSV: " text)
}

function start_builds(    name) {
    name = title
    sub(/: .*/, "", name)
    side = name
    sub(/.*, /, "", side)
    sub(/, .*/, "", name)
    quantity = name
    sub(/ .*/, "", quantity)
    item = name ~ / / ? substr(name, length(quantity) + 2) : ""
}

function end_builds(    i, expected) {
    for (i = 2; i <= rows[4]; i++) {
        expected += row[4, i, "quantity"] == quantity && row[4, i, "item"] == item &&
                    row[4, i, "side"] == side
    }
    same("the count of builds", points "", expected + 0 "")
}

function end_figure() {
    if (kind == "bore") {
        end_bore()
    } else if (kind == "builds") {
        end_builds()
    } else if (kind == "series") {
        end_series()
    }
    points = assumed = ovals = lines = earliest = best = 0
    newest = newest_at = ""
}

/^figure / {
    end_figure()
    title = substr($0, 8)
    figures++
    kind = title ~ /of the bore/ ? "bore" : title ~ /in each build/ ? "builds" : "series"
    if (kind == "builds") {
        start_builds()
    } else if (kind == "series") {
        find_series()
    }
    next
}
/^note / {
    if (kind == "bore") {
        bore_note(substr($0, 6))
    } else if (kind == "builds") {
        build_note(substr($0, 6))
    } else {
        series_note(substr($0, 6))
    }
}

END {
    end_figure()
    if (figures < 4 || compared < 20) {
        title = "all"
        wrong("only " figures + 0 " figures, " compared + 0 " numbers compared")
    }
    exit bad > 0
}
