/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/judge.h"

te_truth te_truth_and(te_truth a, te_truth b)
{
    if (a.is == TE_NO || b.is == TE_NO) {
        return (te_truth){TE_NO};
    }
    return (te_truth){a.is == TE_YES && b.is == TE_YES ? TE_YES : TE_CANNOT_TELL};
}

const char *te_outcome_name(te_outcome outcome)
{
    static const char *const names[] = {"missing", "beyond",      "undecided", "outside_new",
                                        "as_new",  "serviceable", "no_limit"};
    return names[outcome];
}

const char *te_verdict_name(te_verdict_value verdict)
{
    static const char *const names[] = {"do_not_reuse", "measure_again", "incomplete", "reuse"};
    return names[verdict];
}

int te_outcome_rank(te_outcome outcome)
{
    switch (outcome) { /* GCOVR_EXCL_BR_LINE: each has a case */
    case TE_BEYOND: return 0;
    case TE_UNDECIDED: return 1;
    case TE_MISSING: return 2;
    case TE_OUTSIDE_NEW: return 3;
    case TE_SERVICEABLE: return 4;
    case TE_AS_NEW: return 5;
    case TE_NO_LIMIT: break;
    }
    return 6;
}

te_verdict_value te_verdict_of(te_outcome outcome)
{
    switch (outcome) { /* GCOVR_EXCL_BR_LINE: each has a case */
    case TE_BEYOND: return TE_DO_NOT_REUSE;
    case TE_UNDECIDED: return TE_MEASURE_AGAIN;
    case TE_MISSING:
    case TE_OUTSIDE_NEW: return TE_INCOMPLETE;
    case TE_AS_NEW:
    case TE_SERVICEABLE:
    case TE_NO_LIMIT: break;
    }
    return TE_REUSE;
}
