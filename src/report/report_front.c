/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first page: the verdict, why, and what to do next. */
#include <math.h>
#include <string.h>

#include "options_words.h"
#include "report_parts.h"

/* ---- verdict ---- */

static void put_verdict(struct making *m)
{
    const te_verdict *assembly = te_assessment_assembly(m->assessment);
    static const char *const words[] = {"Do not reuse", "Measure again", "Incomplete", "Reuse"};
    te_buffer_safe(&m->line, te_shop_text(m->shop, m->engine->id));
    te_buffer_text(&m->line, " (");
    te_buffer_safe(&m->line, te_shop_text(m->shop, m->tables->models[m->engine->model].id));
    te_buffer_text(&m->line, "), the assembly as measured on ");
    te_put_date(&m->line, m->inspection->date);
    te_buffer_text(&m->line, " at ");
    te_put_number(&m->line, m->inspection->hours, 9);
    te_buffer_text(&m->line, " h");
    te_document_verdict(m->document, te_weight_of_verdict(assembly->verdict),
                        words[assembly->verdict], te_piece_text(m->document, &m->line));
    m->line.length = 0;
}

/* The warnings on the files that bear on the engine. */
static void put_problems(struct making *m)
{
    enum { SHOWN_MOST = 10 };
    const te_problems *problems = m->of->problems;
    size_t found = 0;
    for (size_t i = 0; problems != NULL && i < problems->count; i++) {
        const te_problem *p = &problems->items[i];
        if (p->severity != TE_WARNING || found++ >= SHOWN_MOST) {
            continue;
        }
        if (found == 1) {
            te_document_heading(m->document, 2, "Warnings: the result may rest on a slip");
        }
        te_buffer_safe(&m->line, p->file);
        te_buffer_text(&m->line, ":");
        if (p->line > 0) { /* 0: the file as a whole */
            te_put_count(&m->line, p->line);
            te_buffer_text(&m->line, ":");
        }
        te_buffer_text(&m->line, " ");
        te_buffer_safe(&m->line, p->what);
        te_buffer_text(&m->line, p->remedy[0] != '\0' ? "; " : "");
        te_buffer_safe(&m->line, p->remedy);
        te_report_item(m, TE_WEIGHT_WARNING);
    }
    if (found > SHOWN_MOST) {
        te_put_count(&m->line, found - SHOWN_MOST);
        te_buffer_text(&m->line, " more: see topend check");
        te_report_item(m, TE_WEIGHT_WARNING);
    }
}

/* A report of an inspection that was followed by another. */
static void put_superseded(struct making *m)
{
    uint32_t last = te_shop_last_inspection(m->shop, m->inspection->engine);
    if (last == m->assessment->inspection) {
        return;
    }
    te_buffer_text(&m->line, "Not the last inspection of this engine: see ");
    te_buffer_safe(&m->line, te_shop_text(m->shop, m->tables->inspections[last].id));
    te_buffer_text(&m->line, " of ");
    te_put_date(&m->line, m->tables->inspections[last].date);
    te_report_paragraph(m, TE_WEIGHT_STRONG);
}

static void put_warnings(struct making *m)
{
    put_superseded(m);
    te_piece_no_instrument(m->document, m->tables);
    put_problems(m);
}

/* Where a build wears otherwise than the one before: the first few, the rest stands below. */
static void put_faster_wear(struct making *m)
{
    enum { SHOWN_MOST = 3 };
    te_buffer lines = {0};
    te_slice line;
    size_t found = 0;
    te_notes_builds(&lines, m->shop, m->of->history, m->of->builds);
    m->document->failed = m->document->failed || lines.failed;
    for (size_t at = 0; te_notes_take(&line, &lines, &at);) {
        if (found++ < SHOWN_MOST) {
            te_buffer_add(&m->line, line.bytes, line.length);
            te_report_item(m, TE_WEIGHT_WARNING);
        }
    }
    if (found > SHOWN_MOST) {
        te_put_count(&m->line, found - SHOWN_MOST);
        te_buffer_text(&m->line, " more such differences: see \"Builds compared\"");
        te_report_item(m, TE_WEIGHT_WARNING);
    }
    te_buffer_free(&lines);
}

static void put_reasons(struct making *m)
{
    const te_verdict *assembly = te_assessment_assembly(m->assessment);
    te_document_heading(m->document, 2, "Why");
    for (uint32_t i = 0; i < assembly->reason_count; i++) {
        te_write_reason(&m->line, m->shop, m->assessment,
                        &m->assessment->reasons[assembly->first_reason + i]);
        te_report_item(m, TE_WEIGHT_PLAIN);
    }
    put_faster_wear(m);
}

/* ---- what to do next ---- */

static void put_part(struct making *m, const te_verdict *verdict)
{
    te_put_part(&m->line, m->shop, verdict->kind, verdict->part);
}

static void put_refused_parts(struct making *m)
{
    for (size_t i = 0; i + 1 < m->assessment->verdict_count; i++) {
        const te_verdict *verdict = &m->assessment->verdicts[i];
        if (verdict->verdict == TE_DO_NOT_REUSE) {
            bool engine = verdict->kind == TE_KIND_OTHER; /* no part to take off */
            te_buffer_text(&m->line, engine ? "Find the cause, or replace: " : "Replace: ");
            put_part(m, verdict);
            te_report_item(m, TE_WEIGHT_BAD);
        }
    }
}

/* The quantity and the parts that it is of. */
static void put_subject(struct making *m, const te_finding *finding)
{
    te_put_quantity(&m->line, m->shop, finding->measured.quantity, finding->measured.item);
    if (finding->computed) {
        te_buffer_text(&m->line, " of ");
        te_write_parts(&m->line, m->shop, &finding->measured);
    }
}

static void put_finding_step(struct making *m, const te_finding *finding)
{
    bool pair = finding->measured.second_kind != TE_KIND_NONE;
    switch (finding->outcome) {
    case TE_BEYOND:
        if (!pair) {
            return; /* its part stands among those to replace */
        }
        te_buffer_text(&m->line, "Do not put together: ");
        te_write_parts(&m->line, m->shop, &finding->measured);
        te_buffer_text(&m->line, " (");
        te_put_quantity(&m->line, m->shop, finding->measured.quantity, finding->measured.item);
        te_buffer_text(&m->line, ")");
        te_report_item(m, TE_WEIGHT_BAD);
        return;
    case TE_UNDECIDED:
        te_buffer_text(&m->line, finding->interval.stated
                                     ? "Measure again with a finer gauge, or replace: "
                                     : "State the uncertainty of the gauge in instruments.csv, or "
                                       "measure again with one that has it: ");
        break;
    case TE_MISSING: te_buffer_text(&m->line, "Measure what is missing: "); break;
    case TE_OUTSIDE_NEW:
        te_buffer_text(&m->line, "Find the service limit in the maker's manual, or replace: ");
        break;
    case TE_AS_NEW:
    case TE_SERVICEABLE:
    case TE_NO_LIMIT: return;
    }
    put_subject(m, finding);
    te_report_item(m, TE_WEIGHT_WARNING);
}

/* What was found worth watching has a cause. */
static void put_watch(struct making *m, uint32_t condition)
{
    const te_condition *row = &m->tables->conditions[condition];
    if (row->severity != TE_WATCH) {
        return;
    }
    te_buffer_text(&m->line, "Find the cause before it runs: ");
    te_buffer_safe(&m->line, te_shop_text(m->shop, row->finding));
    te_buffer_text(&m->line, " (");
    te_put_part(&m->line, m->shop, row->kind, row->part);
    te_buffer_text(&m->line, ")");
    te_report_item(m, TE_WEIGHT_WARNING);
}

static void put_unmeasured(struct making *m)
{
    const te_verdict *assembly = te_assessment_assembly(m->assessment);
    for (uint32_t i = 0; i < assembly->reason_count; i++) {
        const te_reason *reason = &m->assessment->reasons[assembly->first_reason + i];
        switch (reason->kind) {
        case TE_REASON_KIND_UNMEASURED:
            te_buffer_text(&m->line, "Measure what is missing: ");
            te_put_words(&m->line, te_kind_name((te_kind)reason->index));
            te_report_item(m, TE_WEIGHT_WARNING);
            break;
        case TE_REASON_OWN_UNMEASURED:
            te_buffer_text(&m->line, "Measure what is missing: ");
            te_buffer_safe(&m->line, te_shop_quantity_name(m->shop, reason->index));
            te_report_item(m, TE_WEIGHT_WARNING);
            break;
        case TE_REASON_CONDITION: put_watch(m, reason->index); break;
        case TE_REASON_NOTHING_JUDGED:
            te_document_item(m->document, TE_WEIGHT_WARNING,
                             "Write the limits of the maker's manual into limits.csv, with their "
                             "source, and judge again");
            break;
        case TE_REASON_DAMAGED:
            te_document_item(m->document, TE_WEIGHT_WARNING,
                             "Mend the errors that topend check lists, and judge again");
            break;
        default: break; /* told elsewhere */
        }
    }
}

static bool has_condition(const struct making *m, te_id part)
{
    for (uint32_t i = 0; i < m->inspection->condition_count; i++) {
        if (m->tables->conditions[m->inspection->first_condition + i].part == part) {
            return true;
        }
    }
    return false;
}

/* Parts that were measured, with nothing written down of what the eye found. */
static void put_unseen(struct making *m)
{
    bool any = false;
    for (size_t i = 0; i + 1 < m->assessment->verdict_count; i++) {
        const te_verdict *verdict = &m->assessment->verdicts[i];
        if (verdict->kind == TE_KIND_OTHER || has_condition(m, verdict->part)) {
            continue;
        }
        te_buffer_text(&m->line,
                       any ? ", "
                           : "Look for cracks, loose plating and scuffing, and write down "
                             "what is seen. Nothing is recorded of: ");
        put_part(m, verdict);
        any = true;
    }
    if (any) {
        te_report_item(m, TE_WEIGHT_PLAIN);
    }
}

/* When it is due; of what does not go back in the hours are told only when they are run out. */
static void put_due(struct making *m)
{
    const te_due *due = m->of->due;
    te_buffer lines = {0};
    te_slice line;
    bool first = true;
    bool reuse = te_assessment_assembly(m->assessment)->verdict == TE_REUSE;
    if (due == NULL || (!reuse && !(due->hours_left <= 0.0))) {
        return;
    }
    te_notes_due(&lines, m->shop, due);
    m->document->failed = m->document->failed || lines.failed;
    for (size_t at = 0; te_notes_take(&line, &lines, &at); first = false) {
        bool sure = first && due->basis != TE_DUE_BEST && !isnan(due->due_hours);
        te_buffer_add(&m->line, line.bytes, line.length);
        te_report_item(m, first && te_due_is_over(due) ? TE_WEIGHT_BAD
                          : sure                       ? TE_WEIGHT_PLAIN
                                                       : TE_WEIGHT_WARNING);
    }
    te_buffer_free(&lines);
}

/* The good news, unless the hours are run out. */
static void put_reuse(struct making *m)
{
    const te_due *due = m->of->due;
    if (te_assessment_assembly(m->assessment)->verdict != TE_REUSE) {
        return;
    }
    if (due != NULL && te_due_is_over(due)) {
        te_document_item(m->document, TE_WEIGHT_WARNING,
                         "By their sizes the parts measured may go back in, but they have run as "
                         "long as they may: measure first what is due");
    } else {
        te_document_item(m->document, TE_WEIGHT_GOOD,
                         "The parts measured may go back in, as far as their sizes tell");
    }
}

/* What would put it back, in short; the table stands below. */
static void put_advice(struct making *m)
{
    te_buffer lines = {0};
    const te_options *options = m->of->options == NULL ? NULL : m->of->options->options;
    bool reuse = te_assessment_assembly(m->assessment)->verdict == TE_REUSE;
    if (options != NULL && (!reuse || options->rejected != 0 || options->rejected_other != 0)) {
        te_notes_advice(&lines, m->of->options);
        te_report_notes(m, &lines);
    }
}

static void put_steps(struct making *m)
{
    te_document_heading(m->document, 2, "What to do next");
    put_refused_parts(m);
    put_advice(m);
    for (size_t i = 0; i < m->assessment->finding_count; i++) {
        put_finding_step(m, &m->assessment->findings[i]);
    }
    put_unmeasured(m);
    put_unseen(m);
    put_reuse(m);
    put_due(m);
    te_document_item(m->document, TE_WEIGHT_PLAIN,
                     "Read the cautions below: the maker's manual and local rules come first");
}

void te_report_front(struct making *m)
{
    put_verdict(m);
    put_warnings(m);
    put_reasons(m);
    put_steps(m);
}
