# SPDX-License-Identifier: GPL-3.0-or-later
#
# What ./run asks, by R: Rscript extremes.R base|data.table FOLDER
words <- commandArgs(trailingOnly = TRUE)
readings_file <- file.path(words[2], "readings.csv")
inspections_file <- file.path(words[2], "inspections.csv")

by_base <- function() {
    readings <- read.csv(readings_file, colClasses = c(
        inspection = "character", feature = "character", item = "NULL", position = "character",
        direction = "character", reading = "numeric", no_go = "NULL", zero = "numeric",
        unit = "NULL", instrument = "NULL"))
    readings <- readings[readings$feature == "bore", ]
    place <- paste(readings$inspection, readings$position, readings$direction, sep = "\r")
    first <- !duplicated(place)
    place <- match(place, place[first])
    size <- rowsum(readings$zero + readings$reading, place) / tabulate(place)
    inspection <- readings$inspection[first]
    low <- tapply(size, inspection, min)
    bore <- data.frame(inspection = names(low), low = as.vector(low),
                       high = as.vector(tapply(size, inspection, max)))
    inspections <- read.csv(inspections_file, skip = 1, colClasses = c(
        inspection = "character", engine = "character", date = "NULL", hours = "numeric",
        state = "NULL", temperature = "NULL"))
    point <- merge(bore, inspections, by = "inspection")
    x <- point$hours - ave(point$hours, point$engine)
    y <- point$high - ave(point$high, point$engine)
    below <- tapply(x * x, point$engine, sum)
    rate <- tapply(x * y, point$engine, sum) / below
    list(bore = bore, slope = data.frame(engine = names(rate), rate = as.vector(rate))[below > 0, ])
}

by_data_table <- function() {
    library(data.table)
    readings <- fread(readings_file, select = c("inspection", "feature", "position", "direction",
                                                "reading", "zero"))
    place <- readings[feature == "bore", .(size = mean(zero + reading)),
                      by = .(inspection, position, direction)]
    bore <- place[, .(low = min(size), high = max(size)), by = inspection]
    inspections <- fread(inspections_file, skip = 1, select = c("inspection", "engine", "hours"))
    slope <- bore[inspections, on = "inspection", nomatch = NULL][
        , .(rate = sum((hours - mean(hours)) * (high - mean(high))) / sum((hours - mean(hours))^2),
            points = uniqueN(hours)), by = engine]
    list(bore = bore, slope = slope[points > 1, .(engine, rate)])
}

# To 15 digits, as CSV; fwrite would be quicker than base R's own, which the base is held to use.
put <- function(table, fast) {
    if (fast) {
        fwrite(table, col.names = FALSE, na = "")
    } else {
        write.table(table, sep = ",", quote = FALSE, row.names = FALSE, col.names = FALSE,
                    na = "")
    }
}

fast <- words[1] == "data.table"
options(digits = 15)
told <- if (fast) by_data_table() else by_base()
put(told$bore, fast)
told$slope$none <- rep(NA, nrow(told$slope)) # an empty cell
put(told$slope, fast)
