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

static void put_buffer(te_buffer *buffer, te_buffer *cell)
{
    te_csv_comma(buffer);
    buffer->failed = buffer->failed || cell->failed;
    te_csv_cell(buffer, cell->length == 0 ? "" : cell->bytes);
    te_buffer_free(cell);
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
    te_buffer cell = {0};
    te_notes_option(&lines, told, option, assessment);
    te_notes_join(&cell, &lines);
    te_buffer_free(&lines);
    put_buffer(buffer, &cell);
}

static void put_option(te_buffer *buffer, const te_options_told *told, size_t at,
                       const te_assessment *assessment)
{
    const te_option *option = &told->options->items[at];
    const te_tables *tables = te_shop_tables(told->shop);
    te_buffer kinds = {0};
    te_buffer parts = {0};
    te_buffer worst = {0};
    te_csv_text(buffer,
                te_shop_text(told->shop, tables->inspections[told->options->inspection].id));
    te_csv_comma(buffer);
    te_put_count(buffer, at + 1);
    te_put_option_kinds(&kinds, option);
    put_buffer(buffer, &kinds);
    te_put_option_parts(&parts, told, option);
    put_buffer(buffer, &parts);
    put_word(buffer, te_verdict_name(option->verdict));
    if (option->worst_quantity != TE_Q_NONE) {
        te_put_quantity(&worst, told->shop, option->worst_quantity, option->worst_item);
    }
    put_buffer(buffer, &worst);
    put_word(buffer, option->worst_quantity == TE_Q_NONE ? "" : te_outcome_name(option->worst));
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
    for (size_t i = 0; i < assessment->finding_count; i++) {
        te_put_count(buffer, at + 1);
        te_csv_comma(buffer);
        te_csv_finding(buffer, told->shop, assessment, &assessment->findings[i]);
    }
}

void te_write_options_findings_csv(te_buffer *buffer, const te_options_told *told)
{
    write_each(buffer, told, put_findings);
}
