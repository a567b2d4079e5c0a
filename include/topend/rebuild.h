/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file rebuild.h  What to replace: sets of parts that could be fitted, what the engine would then
 * measure, how long it would last, what it costs; which spare fits.
 *
 * Life cycle: zero a te_options, te_options_make for one inspection after the other on the same one
 * (it keeps its memory), te_option_assess for the findings of one of its options, te_options_free.
 * Thread-safe for different te_options; the shop is only read.  The rules stand in docs/method.md,
 * "What to replace".
 */
#ifndef TOPEND_REBUILD_H
#define TOPEND_REBUILD_H

#include "topend/wear.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Honing allowance of a bore (mm, of the diameter) unless the user gives one: what boring leaves for
 * the hone to take off. */
#define TE_HONE 0.02

/** Most sets of parts that are tried for one inspection. */
#define TE_OPTIONS_MOST 100000

/* ---- rates ---- */

/** Where a rate comes from. */
typedef enum te_rate_basis {
    TE_RATE_UNKNOWN = 0, /**< from nowhere: nobody measured it twice */
    TE_RATE_ENGINE,      /**< seen on this engine */
    TE_RATE_MODEL        /**< of the model, over all its engines in this shop */
} te_rate_basis;

/** The word of a basis (`none`, `engine`, `model`).
 * @param[in] basis any
 * @return a static string
 */
const char *te_rate_basis_name(te_rate_basis basis);

/** Rates of several series brought together. */
typedef struct te_pooled_rate {
    double rate;    /**< unit per hour; NAN: none */
    double u;       /**< standard uncertainty of the rate of one more member; NAN: not known */
    double between; /**< standard deviation between the members; 0 for one */
    size_t members; /**< how many there are */
} te_pooled_rate;

/** Pools rates with the variance between them: moments estimate of that variance, weights
 * 1 / (u_i^2 + between^2), and for one more member the variance of the mean and that between members
 * (R. DerSimonian, N. Laird, Control. Clin. Trials 7 (1986) 177; J. P. T. Higgins, S. G. Thompson,
 * D. J. Spiegelhalter, J. R. Stat. Soc. A 172 (2009) 137, 4.1).  Where a u_i is not known, all weigh
 * alike and their scatter tells the variance.
 * @param[out] pooled the result; a single member as it is; rate NAN when @p count is 0
 * @param[in] rates signed, finite
 * @param[in] u their standard uncertainties, not below 0; NAN: not known
 * @param[in] count of both
 */
void te_rates_pool(te_pooled_rate *pooled, const double *rates, const double *u, size_t count);

/** The pooled rate of one quantity over the engines of a model. */
typedef struct te_model_rate {
    te_quantity quantity;
    te_id item;
    te_side side;
    te_pooled_rate pooled; /**< members: engines */
} te_model_rate;

/** The rates of a model.  Start with all zero. */
typedef struct te_model_rates {
    bool made;
    uint32_t model;
    te_model_rate *items;
    size_t count, capacity;
    size_t left_out; /**< engines that errors touch, or whose series are too long */
} te_model_rates;

/** Pools the rates of every engine of a model, each engine's parts first.
 * @param[in,out] rates replaced by the result
 * @param[in] shop the shop
 * @param[in] problems as in te_history_make
 * @param[in] model index
 * @return TE_OK, TE_ERR_MEMORY, TE_ERR_DOMAIN
 */
te_status te_model_rates_make(te_model_rates *rates, const te_shop *shop,
                              const te_problems *problems, uint32_t model);

/** Frees what they hold and leaves them empty.
 * @param[in,out] rates may be NULL
 */
void te_model_rates_free(te_model_rates *rates);

/* ---- parts ---- */

/** A part that could be fitted. */
typedef struct te_candidate {
    te_kind kind;
    te_id part;      /**< name of the spare; of a new part or the rebored cylinder (te_tables) */
    bool spare;      /**< it is in spares.csv */
    bool rebored;    /**< the engine's own cylinder, bored for a piston of the next oversize */
    uint32_t piston; /**< when rebored: the candidate that it is bored for */
    double oversize; /**< as written; 0 for none */
    double price; /**< in the shop's currency; NAN: not given. Of the rebored cylinder 0: the work
                           is not priced */
    double bore;  /**< when rebored: the finished size, mm */
    double clearance; /**< when rebored: of that piston in it, mm */
} te_candidate;

/** How a piston suits a bore. */
typedef enum te_fit_answer {
    TE_FIT_AS_NEW = 0, /**< within the as-new clearance at its tightest and at its loosest */
    TE_FIT_WITHIN,     /**< within the service limits at both */
    TE_FIT_TIGHT,      /**< its tight end is under the least clearance: it may seize */
    TE_FIT_LOOSE,      /**< its loose end is over the largest clearance */
    TE_FIT_NO_LIMIT,   /**< no limit of the clearance to hold it against */
    TE_FIT_UNKNOWN     /**< its size or its tolerance is not known */
} te_fit_answer;

/** The word of an answer (`as_new`, `too_tight`).
 * @param[in] answer any
 * @return a static string
 */
const char *te_fit_answer_name(te_fit_answer answer);

/** A piston in the bore as measured. */
typedef struct te_piston_fit {
    uint32_t candidate;
    double tight,
        loose; /**< clearance at the tightest and loosest point, at the ends of the piston's
                              tolerance, mm; NAN: not known */
    te_fit_answer answer;
} te_piston_fit;

/** A new ring in the bore as measured. */
typedef struct te_gap_fit {
    uint32_t candidate;
    te_id item;         /**< number of the ring, 0 where none is named */
    double position;    /**< mm below the deck; NAN: not known */
    bool at_position;   /**< the bore was gauged there; else its ends are taken */
    double least, most; /**< predicted gap at the ends of the ring's as-new range, mm; NAN */
    te_fit_answer answer;
} te_gap_fit;

/** Whether the cylinder can be bored to the next oversize. */
typedef enum te_rebore_answer {
    TE_REBORE_OFFERED = 0,
    TE_REBORE_NOT_SAID, /**< models.csv does not say that it may be: a plated bore never is */
    TE_REBORE_REJECTED, /**< the cylinder was rejected: boring does not mend what the eye found */
    TE_REBORE_NO_BORE,  /**< the bore was not measured, or not at every place of plan.csv */
    TE_REBORE_NO_CLEARANCE, /**< no as-new clearance to bore for */
    TE_REBORE_NO_PISTON,    /**< no piston of a larger oversize with a size */
    TE_REBORE_TOO_WORN      /**< none of them cleans the bore up */
} te_rebore_answer;

typedef struct te_rebore {
    te_rebore_answer answer;
    double largest;  /**< the largest bore as measured, mm; NAN */
    double hone;     /**< allowance, mm */
    double oversize; /**< when offered: as written in spares.csv */
} te_rebore;

/* ---- options ---- */

/** How long something lasts, in engine hours from the inspection. */
typedef struct te_lasting {
    double left;               /**< until the first limit by the best estimates; NAN: none tells */
    double earliest;           /**< at the earliest; where a quantity has no interval by its best
                                  estimate; NAN likewise */
    te_quantity quantity;      /**< that is first, by `earliest`; TE_Q_NONE: none */
    te_id item;                /**< its item */
    te_kind kind, second_kind; /**< of its parts */
    te_side side;              /**< its side */
    te_rate_basis basis;       /**< of its rate; TE_RATE_UNKNOWN when no rate tells anything */
    size_t engines;            /**< how many the rate is pooled over, when by the model */
    bool bounded;              /**< its earliest hours are a bound, not a best estimate */
    size_t told;               /**< quantities with a service limit and a rate */
    size_t untold;             /**< with a service limit and no rate */
    size_t unbounded;          /**< with a rate that has no interval */
    size_t by_model;           /**< with a rate of the model */
    te_quantity untold_quantity; /**< the first of the untold; TE_Q_NONE */
    te_id untold_item;           /**< its item */
} te_lasting;

/** A set of parts to fit, and what comes of it. */
typedef struct te_option {
    uint32_t
        candidate[TE_KIND_NONE]; /**< into te_options.candidates; TE_NO_INDEX: the part stays */
    unsigned replaced;           /**< the kinds, bits 1 << te_kind */
    size_t parts;                /**< how many */
    te_verdict_value verdict;    /**< on the assembly as it would be; a piston that may seize is
                                           refused: do_not_reuse */
    bool refused;                /**< that is why */
    double tight;                /**< when refused: the clearance at the tight end, mm */
    double least;                /**< and the least that is allowed, mm */
    size_t failing;              /**< values, parts and kinds that do not pass */
    te_quantity worst_quantity;  /**< TE_Q_NONE: no finding */
    te_id worst_item;
    te_outcome worst;
    te_lasting lasting;
    double price;          /**< of the spares; NAN: one has no price */
    double price_per_100h; /**< over the earliest hours; NAN: not known, or it may not go back */
} te_option;

/** What is asked for. */
typedef struct te_wish {
    double hone;  /**< honing allowance, mm, not below 0 */
    double hours; /**< it is to last so long; NAN: however long */
} te_wish;

/** The options of an inspection.  Start with all zero. */
typedef struct te_options {
    uint32_t inspection;
    te_candidate *candidates; /**< in order of kind, then of spares.csv; those of the
                                   rebored cylinder last */
    size_t candidate_count, candidate_capacity;
    te_option *items; /**< by verdict, `reuse` first, `do_not_reuse` last; then by price, then by
                           fewest parts */
    size_t count, capacity;
    bool too_many;        /**< the spares allow more than TE_OPTIONS_MOST sets: none was tried */
    size_t looked_at;     /**< sets that keep nothing rejected: those that may gain were tried */
    size_t good;          /**< options that are good (te_option_is_good) */
    unsigned rejected;    /**< kinds whose part must not be kept, bits 1 << te_kind */
    te_id rejected_other; /**< a rejected part of kind `other`, which no option replaces; 0: none */
    te_piston_fit *pistons;
    size_t piston_count, piston_capacity;
    te_gap_fit *gaps;
    size_t gap_count, gap_capacity;
    te_rebore rebore;
    te_limit clearance; /**< limits of the skirt clearance, when has_clearance */
    bool has_clearance;
    te_assessment base; /**< the inspection as measured */
    te_history history; /**< of its engine, made until the inspection */
    void *work;         /**< the maker's own */
    size_t work_capacity;
} te_options;

/** Makes the options of an inspection.
 * @param[in,out] options replaced by the result
 * @param[in,out] rates of the model, made when they are needed; the caller keeps them for the next
 *   inspection
 * @param[in] shop the shop, read with its spares
 * @param[in] problems as in te_history_make
 * @param[in] inspection index; its engine must not be touched by an error
 * @param[in] wish what is asked for
 * @return TE_OK; TE_ERR_MEMORY; TE_ERR_DOMAIN; TE_ERR_FULL: a series is too long
 */
te_status te_options_make(te_options *options, te_model_rates *rates, const te_shop *shop,
                          const te_problems *problems, uint32_t inspection, const te_wish *wish);

/** True for an option that may go back, and whose first limit is not met at once.
 * @param[in] option any
 */
bool te_option_is_good(const te_option *option);

/** The assessment of the engine as an option would leave it.
 * @param[in,out] assessment replaced by the result
 * @param[in] options made by te_options_make
 * @param[in] shop the shop
 * @param[in] problems as in te_history_make
 * @param[in] option one of its options
 * @return TE_OK, TE_ERR_MEMORY, TE_ERR_DOMAIN
 */
te_status te_option_assess(te_assessment *assessment, const te_options *options,
                           const te_shop *shop, const te_problems *problems,
                           const te_option *option);

/** Frees what they hold and leaves them empty.
 * @param[in,out] options may be NULL
 */
void te_options_free(te_options *options);

#ifdef __cplusplus
}
#endif
#endif
