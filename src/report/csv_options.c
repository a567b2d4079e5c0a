/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Options as CSV. */
#include <math.h>

#include "csv.h"
#include "notes.h"
#include "options_words.h"

void te_write_options_header(te_buffer *buffer)
{
    te_buffer_text(buffer, "inspection,option,replaced,spares,verdict,worst_quantity,worst_status,"
                           "hours_left,hours_left_earliest,rate_basis,price,price_per_100h,note\n");
}

static void put_word(te_buffer *buffer, const char *word)
{
    te_csv_comma(buffer);
    te_buffer_text(buffer, word);
}

static void put_number(te_buffer *buffer, double value)
{
    te_csv_comma(buffer);
    te_csv_number(buffer, value);
}

/* The notes in one cell. */
static void put_notes(te_buffer *buffer, const te_options_told *told, const te_option *option,
                      const te_assessment *assessment)
{
    te_buffer lines = {0};
    te_csv_comma(buffer);
    size_t start = buffer->length;
    te_notes_option(&lines, told, option, assessment);
    te_notes_join(buffer, &lines);
    te_csv_finish(buffer, start);
    te_buffer_free(&lines);
}

/* kinds,parts */
static void put_replaced(te_buffer *buffer, const te_options_told *told, const te_option *option)
{
    te_csv_comma(buffer);
    size_t start = buffer->length;
    te_put_option_kinds(buffer, option);
    te_csv_finish(buffer, start);
    te_csv_comma(buffer);
    start = buffer->length;
    te_put_option_parts(buffer, told, option);
    te_csv_finish(buffer, start);
}

/* worst_quantity,worst_status */
static void put_worst(te_buffer *buffer, const te_options_told *told, const te_option *option)
{
    bool any = option->worst_quantity != TE_Q_NONE;
    te_csv_comma(buffer);
    size_t start = buffer->length;
    if (any) {
        te_put_quantity(buffer, told->shop, option->worst_quantity, option->worst_item);
    }
    te_csv_finish(buffer, start);
    put_word(buffer, any ? te_outcome_name(option->worst) : "");
}

static void put_option(te_buffer *buffer, const te_options_told *told, size_t at,
                       const te_assessment *assessment)
{
    const te_option *option = &told->options->items[at];
    const te_tables *tables = te_shop_tables(told->shop);
    te_csv_text(buffer,
                te_shop_text(told->shop, tables->inspections[told->options->inspection].id));
    te_csv_comma(buffer);
    te_put_count(buffer, at + 1);
    put_replaced(buffer, told, option);
    put_word(buffer, te_verdict_name(option->verdict));
    put_worst(buffer, told, option);
    put_number(buffer, option->lasting.left);
    put_number(buffer, option->lasting.earliest);
    put_word(buffer, te_rate_basis_name(option->lasting.basis));
    put_number(buffer, option->price);
    put_number(buffer, option->price_per_100h);
    put_notes(buffer, told, option, assessment);
    te_buffer_text(buffer, "\n");
}

typedef void (*option_writer)(te_buffer *buffer, const te_options_told *told, size_t at,
                              const te_assessment *assessment);

/* Each option with what it is predicted to measure. */
static void write_each(te_buffer *buffer, const te_options_told *told, option_writer write)
{
    te_assessment assessment = {0};
    for (size_t i = 0; i < told->options->count && !buffer->failed; i++) {
        if (te_option_assess(&assessment, told->options, told->shop, told->problems,
                             &told->options->items[i]) == TE_OK) {
            write(buffer, told, i, &assessment);
        } else {
            buffer->failed = true;
        }
    }
    te_assessment_free(&assessment);
}

void te_write_options_csv(te_buffer *buffer, const te_options_told *told)
{
    write_each(buffer, told, put_option);
}

void te_write_options_findings_header(te_buffer *buffer)
{
    te_buffer_text(buffer, "option,");
    te_write_findings_header(buffer);
}

static void put_findings(te_buffer *buffer, const te_options_told *told, size_t at,
                         const te_assessment *assessment)
{
    te_buffer front = {0};
    te_put_count(&front, at + 1);
    te_csv_comma(&front);
    te_csv_findings(buffer, &front, told->shop, assessment);
    te_buffer_free(&front);
}

void te_write_options_findings_csv(te_buffer *buffer, const te_options_told *told)
{
    write_each(buffer, told, put_findings);
}
