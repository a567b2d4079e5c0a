-- SPDX-License-Identifier: GPL-3.0-or-later
-- The query, for SQLite and DuckDB; ./run says what it asks.
WITH
place AS (
    SELECT inspection, avg(zero + reading) AS size
    FROM readings
    WHERE feature = 'bore'
    GROUP BY inspection, position, direction),
bore AS (
    SELECT inspection, min(size) AS low, max(size) AS high
    FROM place
    GROUP BY inspection),
point AS (
    SELECT engine, hours, high
    FROM bore JOIN inspections USING (inspection)),
middle AS (
    SELECT engine, avg(hours) AS hours, avg(high) AS high
    FROM point
    GROUP BY engine
    HAVING max(hours) > min(hours)),
slope AS (
    SELECT engine, sum((point.hours - middle.hours) * (point.high - middle.high))
        / sum((point.hours - middle.hours) * (point.hours - middle.hours)) AS rate
    FROM point JOIN middle USING (engine)
    GROUP BY engine)
SELECT inspection, low, high FROM bore
UNION ALL
SELECT engine, rate, NULL FROM slope
