/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file wear.h  Wear over time: series of a quantity over a part's own hours, rates, when a limit
 * is met, builds compared, and which engine is due.
 *
 * Life cycle: zero a te_history, te_history_make for one engine after the other on the same one
 * (it keeps its memory), te_history_free.  Thread-safe for different histories; the shop is only
 * read.  Hours are engine hours where the name says so, else hours of the series: the part's own
 * hours, or for a pair the hours since the later of the two was fitted.
 */
#ifndef TOPEND_WEAR_H
#define TOPEND_WEAR_H

#include "topend/judge.h"
#include "topend/line.h"

#ifdef __cplusplus
extern "C" {
#endif

/** No best estimate and no earliest hours are given beyond this (h): more than an engine sees. */
#define TE_HOURS_MOST 1e5

/** The first hours at which a line or its bound meets a limit (te_line_meets); none beyond
 * TE_HOURS_MOST.
 * @param[in] line fitted
 * @param[in] limit finite
 * @param[in] upper as in te_line_meets
 * @param[in] quantile as in te_line_meets
 * @return hours, not before line->at; NAN when it is not met
 */
double te_line_reaches(const te_line *line, double limit, bool upper, double quantile);

/** Most points of one series; its covariance matrix grows by their square. */
#define TE_SERIES_POINTS 1000

/** Probability below which a chi2 is remarkable: the points scatter more than their uncertainty
 * explains (the customary one in twenty; ISO/TS 28037:2010, 6.2.1 tests at it). */
#define TE_REMARKABLE 0.05

/** A part's own time at some engine hours. */
typedef struct te_part_time {
    double own;   /**< own hours; NAN: before a row of parts.csv that says the history is unknown */
    bool unknown; /**< the history is unknown: own counts from the part's first reading */
    bool original; /**< parts.csv has no row for it: true only if it was never changed */
    double joined; /**< engine hours from which a pair with it counts: of its fitting, or where this
                        stay's history is unknown of its first reading there */
    double fitted; /**< engine hours at which this stay began */
} te_part_time;

/** A part's own hours: hours_before + hours - fitted_hours of the stay, where touching stays on one
 * engine are one.  With an unknown history they count from the first reading of the part at or
 * after the last row that says so; later rows are joined by their hours_before.
 * @param[out] time the answer
 * @param[in] shop the shop
 * @param[in] part its id
 * @param[in] engine index of an engine that it is on at those hours
 * @param[in] hours engine hours
 */
void te_part_time_at(te_part_time *time, const te_shop *shop, te_id part, uint32_t engine,
                     double hours);

/** Which value of a quantity a series follows. */
typedef enum te_side { TE_SIDE_LOW = 0, TE_SIDE_HIGH } te_side;

/** The word of a side (`low`, `high`).
 * @param[in] side any
 * @return a static string
 */
const char *te_side_name(te_side side);

/** One point of a series. */
typedef struct te_point {
    double hours;        /**< of the series, not below 0 */
    double engine_hours; /**< of the engine it was measured on; assumed: when the part was fitted */
    double value, u;     /**< u: standard uncertainty; meaningful when stated */
    te_form form;        /**< over te_history.pool */
    uint32_t engine;     /**< index */
    uint32_t inspection; /**< index; TE_NO_INDEX for the assumed point */
    bool stated;         /**< true for the assumed point */
    bool assumed;        /**< as new at 0 h, by the as-new limits; not measured */
    bool partial;        /**< plan.csv names places for it that were not measured then */
    bool run_in;         /**< before run_in_hours */
    bool fitted;         /**< false: run-in or partial, shown only */
} te_point;

/** How a rate was found. */
typedef enum te_rate_method {
    TE_RATE_NONE = 0,    /**< fewer than two distinct hours */
    TE_RATE_GENERALISED, /**< with the full covariance of the points */
    TE_RATE_ORDINARY     /**< an uncertainty is not stated */
} te_rate_method;

/** One quantity of one part or pair over its inspections, on one side. */
typedef struct te_series {
    te_quantity quantity;
    te_id item;
    te_id part, second_part; /**< second_part 0 when it rests on one part */
    te_kind kind, second_kind;
    te_side side;
    uint32_t engine;      /**< of the last inspection */
    uint32_t inspection;  /**< the last one */
    uint32_t first_point; /**< index into te_history.points */
    uint32_t point_count; /**< all points, in order of hours */
    uint32_t
        last_fitted; /**< index into te_history.points: the last of the fitted points, if any */
    te_id cylinder;  /**< of an end gap: in which it was measured; else 0 */
    uint32_t fitted_count; /**< of them fitted, the assumed one included */
    uint32_t dropped;      /**< measurements on no common axis: before an unknown history, before
                                    a pair came together again, of a gap in another cylinder */
    bool assumed;          /**< an assumed point is among the fitted ones */
    bool unknown;          /**< a part's history is unknown: hours count from its first reading */
    bool original;         /**< a part has no row in parts.csv: holds only if never changed */
    bool fitted_now;       /**< its parts are on `engine` still */
    bool partial;          /**< a partial point is among the fitted ones */
    bool singular;      /**< nearly all uncertainty is common to the points: the rest is widened */
    double hours_first; /**< of the fitted points */
    double hours_last;  /**< likewise */
    double value_last;  /**< of the last fitted point */
    bool has_limit;     /**< limits.csv has a row for it */
    te_limit limit;     /**< when has_limit, with the part's oversize added */
    double service;     /**< the service limit that `side` runs to; NAN without one */
    te_rate_method method;
    te_line line;    /**< unless TE_RATE_NONE: then all zero; its `at` is hours_last */
    bool met;        /**< the last value or the line is at the limit or past it: nothing is left,
                          at_limit and at_limit_earliest are hours_last */
    double at_limit; /**< hours at which the line meets the limit; NAN: never, or none */
    double
        at_limit_earliest; /**< hours at which its one-sided bound does; without a line hours_last
                                   where the last value's own bound does; NAN likewise */
} te_series;

/** All series of the parts that were ever on one engine.  Start with all zero. */
typedef struct te_history {
    uint32_t engine;
    te_observations pool; /**< every inspection looked at, and the assumed points */
    te_quantities quantities;
    te_places places; /**< of the inspection looked at last */
    te_point *points;
    size_t point_count, point_capacity;
    te_series *series; /**< in order of quantity, item, first inspection, side; also of parts that
                            were last measured on another engine (series.engine tells) */
    size_t series_count, series_capacity;
    uint32_t *inspections; /**< those looked at, in order of date */
    size_t inspection_count, inspection_capacity;
    uint32_t *first_observation; /**< of each of them, index into pool; one more at the end */
    uint32_t *first_quantity;    /**< likewise, index into quantities.items */
    size_t first_capacity, first_quantity_capacity;
    size_t left_out; /**< parts of the engine whose history errors touch: they have no series */
    size_t lost;     /**< quantities of parts now on it, all of whose measurements stand before an
                          unknown history: they have no series */
    te_work work, group_work, fit_work, covariance_work; /**< the maker's own */
} te_history;

/** Makes the series of an engine (docs/method.md, "Wear over time").
 * @param[in,out] history replaced by the result
 * @param[in] shop the shop
 * @param[in] problems filled when the shop was made; NULL: none. Engines that errors touch are left
 *   out, and with them every part that was ever on one
 * @param[in] engine index; no error may touch it
 * @return TE_OK; TE_ERR_MEMORY; TE_ERR_DOMAIN; TE_ERR_FULL: a series has more than
 *   TE_SERIES_POINTS points
 */
te_status te_history_make(te_history *history, const te_shop *shop, const te_problems *problems,
                          uint32_t engine);

/** Makes the series of an engine as they stood at one of its inspections: what was measured later is
 * not looked at.
 * @param[in,out] history as in te_history_make
 * @param[in] shop the shop
 * @param[in] problems as in te_history_make
 * @param[in] last index of an inspection of the engine, the last to be looked at (in order of date,
 *   hours, file)
 * @return as te_history_make
 */
te_status te_history_make_until(te_history *history, const te_shop *shop,
                                const te_problems *problems, uint32_t last);

/** Makes of the series of an engine what te_due_make tells of, which takes less time: one of parts that are
 * not on the engine now, or without a service limit, has its names alone: no limit (has_limit is false), no
 * points and no rate. Nothing but te_due_make and te_history_assess is for such a history.
 * @param[in,out] history as in te_history_make
 * @param[in] shop the shop
 * @param[in] problems as in te_history_make
 * @param[in] engine as in te_history_make
 * @return as te_history_make; a series without points is never too long
 */
te_status te_history_make_due(te_history *history, const te_shop *shop, const te_problems *problems,
                              uint32_t engine);

/** Judges an inspection that a history looked at, by what it measured then; what te_assess comes to.
 * @param[in,out] assessment as in te_assess
 * @param[in] history of the shop, filled
 * @param[in] shop as in te_assess
 * @param[in] inspection as in te_assess; one that the history did not look at is measured
 * @param[in] damaged as in te_assess
 * @return as te_assess
 */
te_status te_history_assess(te_assessment *assessment, const te_history *history,
                            const te_shop *shop, uint32_t inspection, bool damaged);

/** Frees what a history holds and leaves it empty.
 * @param[in,out] history may be NULL
 */
void te_history_free(te_history *history);

/** The growth of a ring's end gap between its first and last measured points, told apart: from the
 * bore pi times the growth of its mean diameter at the gap's position, the rest from the ring's
 * face, 2 pi times its radial wear (docs/method.md, "Ring and bore"). */
typedef struct te_gap_split {
    double hours_from, hours_to;   /**< of the series */
    double position;               /**< mm below the deck */
    double growth, u_growth;       /**< of the gap, mm */
    double from_bore, u_from_bore; /**< share of the bore, mm of gap */
    double ring_wear, u_ring_wear; /**< radial, mm */
    bool stated;                   /**< the three uncertainties are known */
    size_t directions;             /**< of the bore, taken both times */
} te_gap_split;

/** Engine hours at which a series reaches an hour of its own, when its parts stay on.
 * @param[in] history the series' history
 * @param[in] shop the shop
 * @param[in] series one of the history's
 * @param[in] hours of the series
 * @return hours of the history's engine; NAN when its parts are not on that engine now
 */
double te_series_engine_hours(const te_history *history, const te_shop *shop,
                              const te_series *series, double hours);

/** Why a gap's growth cannot be told apart. */
typedef enum te_split_answer {
    TE_SPLIT_GOOD = 0,
    TE_SPLIT_NOT_GAP,  /**< the series is none of an end gap */
    TE_SPLIT_ONE,      /**< it was measured at one time only */
    TE_SPLIT_POSITION, /**< at two heights, or at an unknown one */
    TE_SPLIT_NO_BORE   /**< the bore was not gauged there, in one direction, both times */
} te_split_answer;

/** Tells the growth of a gap apart.
 * @param[out] split when the answer is TE_SPLIT_GOOD
 * @param[in] history the series' history
 * @param[in] series one of the history's
 */
te_split_answer te_gap_split_of(te_gap_split *split, const te_history *history,
                                const te_series *series);

/** The wear of one quantity within one build: its last point less its first. */
typedef struct te_build_wear {
    uint32_t series;             /**< index into te_history.series */
    uint32_t build;              /**< from 1 */
    double hours_from, hours_to; /**< engine hours of the two points */
    bool assumed;                /**< the first of them is the assumed as-new point */
    bool stated;                 /**< u_wear, u_rate are known */
    double wear, u_wear;         /**< signed */
    double rate, u_rate;         /**< per hour */
    te_form rate_form;           /**< the rate as a form over te_history.pool */
    double ratio;  /**< rate over that of the build before; NAN without one, or when that is 0 */
    double before; /**< the rate of the build before; NAN without one */
    double p_same; /**< two-sided probability of such a difference by chance; NAN without */
    double p_holm; /**< p_same adjusted for all rows (S. Holm, Scand. J. Statist. 6 (1979) 65) */
} te_build_wear;

/** The builds of an engine.  Start with all zero. */
typedef struct te_builds {
    double *starts; /**< engine hours at which each build began, rising; the last still runs */
    size_t build_count, build_capacity;
    te_build_wear *wears; /**< in order of quantity, item, side, build */
    size_t wear_count, wear_capacity;
} te_builds;

/** Cuts the series of an engine into builds and compares each with the one before (docs/method.md,
 * "Builds").
 * @param[in,out] builds replaced by the result
 * @param[in] history the engine's
 * @param[in] shop the shop
 * @return TE_OK or TE_ERR_MEMORY
 */
te_status te_builds_make(te_builds *builds, const te_history *history, const te_shop *shop);

/** Frees what a list of builds holds and leaves it empty.
 * @param[in,out] builds may be NULL
 */
void te_builds_free(te_builds *builds);

/** What tells when an engine is due. */
typedef enum te_due_basis {
    TE_DUE_CANNOT_TELL = 0, /**< nothing does */
    TE_DUE_EARLIEST,        /**< the earliest hours of a series */
    TE_DUE_BEST,            /**< the best estimate of a series that has no interval */
    TE_DUE_INTERVAL         /**< inspect_every_hours of the model */
} te_due_basis;

/** The word of a basis (`cannot_tell`).
 * @param[in] basis any
 * @return a static string
 */
const char *te_due_basis_name(te_due_basis basis);

/** When an engine is due. */
typedef struct te_due {
    uint32_t engine;
    uint32_t inspection; /**< the last; TE_NO_INDEX: none */
    te_due_basis basis;
    double due_hours;     /**< engine hours; NAN when it cannot be told */
    double hours_left;    /**< due_hours less those of the last inspection; may be negative */
    te_quantity quantity; /**< that decides; TE_Q_NONE when no series does */
    te_id item, part, second_part;
    te_kind kind, second_kind;
    te_side side;      /**< of the deciding series */
    double limit;      /**< its service limit; NAN without one */
    uint32_t measured; /**< index of the inspection of its last point; TE_NO_INDEX without one */
    bool assumed;      /**< the deciding series rests on an assumed as-new point */
    bool original; /**< likewise on a part that parts.csv does not name: only if never changed */
    bool met;      /**< its limit is met already */
    bool scatter;  /**< its points scatter more than their uncertainty explains */
    te_id condemned_part;   /**< when condemned: the first such part */
    te_kind condemned_kind; /**< its kind */
    bool condemned; /**< what the last inspection found beyond, or any rejected, is still on the
                         engine */
    bool changed;   /**< a part now on was not at the last inspection: its verdict is older */
    bool no_meter;  /**< inspected on several days, always at 0 h: no hours are counted */
    size_t untold; /**< series of fitted parts with a service limit that tell nothing, or not all */
    size_t unmeasured; /**< parts now on, of kinds with a required limit, that no inspection read */
    size_t left_out;   /**< parts of it whose history errors touch */
    te_outcome worst;  /**< worst status of the last inspection */
    te_verdict_value verdict; /**< on the assembly at the last inspection */
} te_due;

/** Tells when an engine is due: the smallest, over the series of the parts now on it, of the engine
 * hours at which their limit is met at the earliest (without an interval: by the best estimate),
 * and not later than inspect_every_hours after its last inspection.
 * @param[out] due the answer
 * @param[in] history the engine's, by te_history_make or te_history_make_due: the answer is the same
 * @param[in] assessment of its last inspection; NULL when it has none
 * @param[in] shop the shop
 */
void te_due_make(te_due *due, const te_history *history, const te_assessment *assessment,
                 const te_shop *shop);

/** True when the engine has run as long as it may: nothing is left, or a part is still on it that
 * the last inspection condemned.
 * @param[in] due any
 * @return true when it is due now
 */
bool te_due_is_over(const te_due *due);

/** Orders engines by urgency: those that cannot be told first, then those with a condemned part
 * still on, then by hours left, then as in engines.csv.
 * @param[in,out] list any
 * @param[in] count of @p list
 */
void te_due_sort(te_due *list, size_t count);

#ifdef __cplusplus
}
#endif
#endif
