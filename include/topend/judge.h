/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file judge.h  Values against limits: statuses, verdicts and their reasons. */
#ifndef TOPEND_JUDGE_H
#define TOPEND_JUDGE_H

#include "topend/measure.h"

#ifdef __cplusplus
extern "C" {
#endif

/** An answer that may be "cannot tell". A struct, so that `!answer` does not compile: not-yes is
 * not no. */
typedef struct te_truth {
    enum te_truth_value { TE_NO = 0, TE_YES, TE_CANNOT_TELL } is;
} te_truth;

/** Yes when both are; no when one is no; else cannot tell (Kleene's strong logic).
 * @param[in] a any
 * @param[in] b any
 */
te_truth te_truth_and(te_truth a, te_truth b);

/** What a finding comes to, in the order of precedence. */
typedef enum te_outcome {
    TE_MISSING = 0,
    TE_BEYOND,
    TE_UNDECIDED,
    TE_OUTSIDE_NEW,
    TE_AS_NEW,
    TE_SERVICEABLE,
    TE_NO_LIMIT
} te_outcome;

/** The word of an outcome (`outside_new`).
 * @param[in] outcome any
 */
const char *te_outcome_name(te_outcome outcome);

/** How grave an outcome is.
 * @param[in] outcome any
 * @return the graver the lower; what has no limit says the least and comes last
 */
int te_outcome_rank(te_outcome outcome);

/** What is judged: a low and a high value with their standard uncertainties. */
typedef struct te_interval {
    double low, high;     /**< finite */
    double u_low, u_high; /**< standard, not below 0; used only when stated */
    bool stated;
    /** Where go / no-go leaves leave a value: the least and the most that it can be; equal to the
     * value without leaves. */
    double low_least, low_most, high_least, high_most;
    bool never_at_zero; /**< not above zero is `beyond` (clearances and gaps) */
} te_interval;

/** Limits; NAN where there is none. */
typedef struct te_bounds {
    double new_min, new_max, service_min, service_max;
} te_bounds;

/** How an interval is judged. */
typedef struct te_judgement {
    te_outcome outcome; /**< never TE_MISSING */
    bool touching;      /**< beyond because a clearance or gap is not above 0 */
    bool by_new;        /**< an as-new limit settled it, on a side without a service limit */
    double p_within;    /**< probability of being within the service limits; NAN without */
    double u_needed;    /**< largest standard uncertainty that decides; NAN when it is decided or
                             none would */
} te_judgement;

/** Judges an interval by the rule of docs/method.md, "Judging" (JCGM 106:2012, 7.2 to 7.4 and
 * 8.3.3; ISO 14253-1:2017, 5 for the default confidence).
 * @param[out] judgement the result
 * @param[in] interval what was measured
 * @param[in] bounds the limits
 * @param[in] rule guarded or simple
 * @param[in] confidence in [0.5, 1)
 * @return TE_OK, or TE_ERR_DOMAIN when a value or an uncertainty is not finite
 */
te_status te_judge(te_judgement *judgement, const te_interval *interval, const te_bounds *bounds,
                   te_rule rule, double confidence);

/** Conformity probability of an interval to limits (JCGM 106:2012, 7.3 and 7.4).
 * @param[in] interval stated, finite
 * @param[in] least lower limit for low, NAN for none
 * @param[in] most upper limit for high, NAN for none
 * @return 0 to 1
 */
double te_conformity(const te_interval *interval, double least, double most);

/** One quantity of an inspection, judged. */
typedef struct te_finding {
    te_measured measured; /**< its forms are empty when it is missing and could not be computed */
    bool computed;
    te_interval interval; /**< when computed */
    bool has_limit;
    te_limit limit; /**< when has_limit, with the part's oversize added */
    te_judgement judgement;
    te_outcome outcome;
    uint32_t places_missing; /**< places of plan.csv that no reading covers */
    uint32_t place_missing;  /**< the first of them, index into plan; TE_NO_INDEX for none */
} te_finding;

/** Verdicts, the worst first. */
typedef enum te_verdict_value {
    TE_DO_NOT_REUSE = 0,
    TE_MEASURE_AGAIN,
    TE_INCOMPLETE,
    TE_REUSE
} te_verdict_value;

/** What a finding alone would make of a verdict.
 * @param[in] outcome any
 */
te_verdict_value te_verdict_of(te_outcome outcome);

/** The word of a verdict (`do_not_reuse`).
 * @param[in] verdict any
 */
const char *te_verdict_name(te_verdict_value verdict);

/** Why a verdict is what it is, or what it does not cover. */
typedef enum te_reason_kind {
    TE_REASON_FINDING,         /**< index: finding that does not pass */
    TE_REASON_CONDITION,       /**< index: condition row, `reject` or `watch` */
    TE_REASON_KIND_UNMEASURED, /**< index: te_kind that has required limits and no readings */
    TE_REASON_OWN_UNMEASURED,  /**< index: te_quantity, a required feature without a reading */
    TE_REASON_NOTHING_JUDGED,  /**< no value of it has a limit */
    TE_REASON_BY_PAIRS,        /**< judged by its pairs alone: it has no limit of its own */
    TE_REASON_PART,            /**< index: a part's verdict that is worse, in verdicts */
    TE_REASON_DAMAGED,        /**< rows of the files could not be read: what they hold is unknown */
    TE_REASON_WITHIN,         /**< index: how many of its values are within their limits */
    TE_REASON_TIGHT_UNJUDGED, /**< index: finding without a lower limit */
    TE_REASON_UNLIMITED,   /**< index: finding of a feature that was read and has no limit at all */
    TE_REASON_NO_CONDITION /**< no condition recorded */
} te_reason_kind;

typedef struct te_reason {
    te_reason_kind kind;
    uint32_t index;
} te_reason;

/** A verdict on a part, or on the assembly as measured (part 0, kind TE_KIND_NONE). */
typedef struct te_verdict {
    te_id part;
    te_kind kind;
    te_verdict_value verdict;
    bool measured;                       /**< it has a reading; else only a condition row */
    uint32_t first_reason, reason_count; /**< in te_assessment.reasons */
} te_verdict;

/** A place of plan.csv that readings leave open for a quantity at least. */
typedef struct te_open_place {
    uint32_t plan;       /**< index into plan */
    uint32_t first, end; /**< the observations of its feature; first is end without one */
} te_open_place;

/** What an inspection measured of its plan (docs/method.md, "Places").  Start with all zero; free with
 * te_places_free. */
typedef struct te_places {
    const te_observations *pool; /**< borrowed */
    const te_plan *plan;         /**< likewise */
    te_open_place *open; /**< in the order of the plan; what is not among them every quantity has */
    size_t open_count, open_capacity;
} te_places;

/** Holds the plan against the readings of an inspection.
 * @param[in,out] places replaced by the result, which is valid as long as the observations are
 * @param[in] pool observations, in the order in which te_observe adds them; borrowed
 * @param[in] from index of the inspection's first observation
 * @param[in] to index behind its last
 * @param[in] shop the shop
 * @param[in] model index: of the inspection's engine
 * @return TE_OK or TE_ERR_MEMORY
 */
te_status te_places_make(te_places *places, const te_observations *pool, uint32_t from, uint32_t to,
                         const te_shop *shop, uint32_t model);

/** Places of plan.csv that belong to a quantity and that no reading of its inspection covers.
 * @param[out] first the first of them, index into plan; TE_NO_INDEX for none
 * @param[in] places of the inspection
 * @param[in] measured a quantity made of these observations, or one without items
 * @return how many
 */
uint32_t te_places_missing(uint32_t *first, const te_places *places, const te_measured *measured);

/** Frees what places hold and leaves them empty.
 * @param[in,out] places may be NULL
 */
void te_places_free(te_places *places);

/** An inspection, measured and judged.  Start with all zero; te_assess may be called again on the
 * same one, which then keeps its memory; free with te_assessment_free. */
typedef struct te_assessment {
    uint32_t inspection;
    te_observations pool;
    te_quantities quantities;
    te_places places;
    te_finding *findings;
    size_t finding_count, finding_capacity;
    te_verdict *verdicts; /**< of the parts, in order of kind; the assembly's is the last */
    size_t verdict_count, verdict_capacity;
    te_reason *reasons;
    size_t reason_count, reason_capacity;
    te_work work; /**< the maker's own */
} te_assessment;

/** Measures and judges one inspection.
 * @param[in,out] assessment replaced by the result
 * @param[in] shop the shop
 * @param[in] inspection index; its engine must not be touched by an error
 * @param[in] damaged an error touches engines that cannot be told: no verdict is better than
 *   incomplete
 * @return TE_OK, TE_ERR_MEMORY, TE_ERR_DOMAIN
 */
te_status te_assess(te_assessment *assessment, const te_shop *shop, uint32_t inspection,
                    bool damaged);

/** What was measured at an inspection, in the memory of somebody else. */
typedef struct te_taken {
    const te_observations *pool;
    uint32_t first, end;           /**< its observations, as te_observe adds them */
    const te_measured *quantities; /**< may be NULL when count is 0 */
    size_t count;                  /**< of them: all that te_quantities_make lists */
} te_taken;

/** Judges an inspection that was measured already; what te_assess comes to.
 * @param[in,out] assessment as in te_assess; it holds copies
 * @param[in] shop as in te_assess
 * @param[in] inspection as in te_assess
 * @param[in] taken what was measured at it
 * @param[in] damaged as in te_assess
 * @return TE_OK, TE_ERR_MEMORY
 */
te_status te_assess_taken(te_assessment *assessment, const te_shop *shop, uint32_t inspection,
                          const te_taken *taken, bool damaged);

/** An inspection as it would be with other parts. */
typedef struct te_supposed {
    te_inspection inspection; /**< a copy of one of the shop's, with the parts as they would be */
    unsigned replaced;        /**< kinds that are not those measured: bits 1 << te_kind */
    unsigned worked_on;       /**< of them those that are the old part, worked on: what was seen on
                                        it still counts */
    double oversize[TE_KIND_NONE]; /**< of the replaced parts, as written; 0 for none */
} te_supposed;

/** Judges an inspection as it would be with other parts: limits move with their oversizes, and what
 * was seen on the parts replaced counts no more.
 * @param[in,out] assessment holds pool and quantities (te_quantities_make), made by the caller;
 *   receives the rest; its inspection is the index of the one copied
 * @param[in] shop the shop
 * @param[in] supposed what is supposed; borrowed during the call
 * @param[in] damaged as in te_assess
 * @return as te_assess
 */
te_status te_assess_supposed(te_assessment *assessment, const te_shop *shop,
                             const te_supposed *supposed, bool damaged);

/** Frees what an assessment holds and leaves it empty.
 * @param[in,out] assessment may be NULL
 */
void te_assessment_free(te_assessment *assessment);

/** True when the inspection has a reading of a feature.
 * @param[in] assessment with its observations, as made by te_assess
 * @param[in] feature a feature, known or of the user's own
 */
bool te_assessment_reads(const te_assessment *assessment, te_quantity feature);

/** The first finding of a quantity.
 * @param[in] assessment made by te_assess
 * @param[in] quantity any
 * @return borrowed; NULL when there is none
 */
const te_finding *te_assessment_finding(const te_assessment *assessment, te_quantity quantity);

/** The verdict on the part of a kind.
 * @param[in] assessment made by te_assess
 * @param[in] kind any; of several parts of kind `other` the first
 * @return borrowed; NULL when there is none
 */
const te_verdict *te_assessment_part(const te_assessment *assessment, te_kind kind);

/** True when a reason speaks against reuse; else it tells what a verdict rests on or does not cover.
 * @param[in] shop the shop
 * @param[in] reason one of an assessment's
 */
bool te_reason_is_against(const te_shop *shop, const te_reason *reason);

/** The verdict on the assembly.
 * @param[in] assessment made by te_assess
 * @return borrowed
 */
const te_verdict *te_assessment_assembly(const te_assessment *assessment);

#ifdef __cplusplus
}
#endif
#endif
