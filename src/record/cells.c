/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "readings.h"

const struct te_range te_range_any = {-1e22, 1e22, false, false, "a number"};
const struct te_range te_range_positive = {0.0, 1e22, true, false, "above 0"};
const struct te_range te_range_not_negative = {0.0, 1e22, false, false, "not below 0"};

bool te_cell_is(const struct te_table *table, int column, const char *word)
{
    return te_text_same_word(te_cell(table, column), word);
}

te_id te_cell_text(struct te_table *table, int column)
{
    return te_shop_intern(table->shop, te_cell(table, column));
}

uint32_t te_cell_find(struct last_found *last, const struct te_table *table,
                      const struct id_map *map, te_slice cell)
{
    const struct names *names = &table->shop->names;
    bool same = cell.length == last->length &&
                memcmp(te_names_text(names, last->name), cell.bytes, cell.length) == 0;
    if (!same) {
        last->name = te_names_find(names, cell);
        last->length = last->name == 0 ? 0 : cell.length;
        last->row = te_id_map_get(map, last->name);
    }
    return last->row;
}

const char *te_cell_shown(char out[TE_SHOWN], te_slice cell)
{
    size_t full = te_text_safe(out, TE_SHOWN - 3, cell);
    if (full >= TE_SHOWN - 3) {
        memcpy(out + strlen(out), "...", 4);
    }
    return out;
}

static void refuse_number(struct te_table *table, int column, te_number_fault fault)
{
    static const struct {
        const char *what;
        const char *remedy;
    } words[] = {
        [TE_NUMBER_GOOD] = {"", ""},
        [TE_NUMBER_EMPTY] = {"is empty", "write a number"},
        [TE_NUMBER_NOT_A_NUMBER] = {"is not a number",
                                    "write digits with one decimal mark and nothing else"},
        [TE_NUMBER_TWO_MARKS] = {"has more than one decimal mark",
                                 "write one mark and no grouping of digits"},
        [TE_NUMBER_GROUPED] = {"has its digits in groups", "write the digits without gaps"},
        [TE_NUMBER_LEADING_ZERO] = {"begins with a needless zero",
                                    "check for a lost mark and write it without the zero"},
        [TE_NUMBER_TOO_LONG] = {"has more than 15 digits",
                                "write it as it was read from the gauge"},
        [TE_NUMBER_RANGE] = {"is too large or too small", "check the exponent"},
        [TE_NUMBER_MARK_AT_END] = {"ends with a decimal mark",
                                   "add the digits that are missing or take the mark away"},
        [TE_NUMBER_EXPONENT] = {"has an exponent that changes nothing",
                                "was a digit lost? Write the number without it"},
    };
    char shown[TE_SHOWN];
    te_row_error(table, column, words[fault].remedy, "\"%s\" %s",
                 te_cell_shown(shown, te_cell(table, column)), words[fault].what);
}

/* One mark in a file: in a comma-delimited one the point, else the first that is met. */
static bool mark_is_right(struct te_table *table, int column, char mark)
{
    char shown[TE_SHOWN];
    if (mark == 0 || mark == table->mark) {
        return true;
    }
    (void)te_cell_shown(shown, te_cell(table, column));
    if (table->delimiter == ',' && mark == ',') {
        te_row_error(table, column, "write it with a decimal point",
                     "\"%s\" has a decimal comma in a comma-delimited file", shown);
        return false;
    }
    if (table->mark == 0) {
        table->mark = mark;
        table->mark_line = table->origin.line;
    }
    if (table->mark != mark) {
        te_row_error(table, column, "use one decimal mark in the whole file",
                     "\"%s\" has another decimal mark than line %u", shown,
                     (unsigned)table->mark_line);
        return false;
    }
    return true;
}

bool te_in_range(double value, const struct te_range *range)
{
    bool low = range->above ? value > range->least : value >= range->least;
    bool high = range->below ? value < range->most : value <= range->most;
    return low && high;
}

/* Decimals that the figure tells: of 6.610E+01 two. */
static int decimals_told(const te_number *number)
{
    return (int)number->decimals - number->exponent;
}

/* A spreadsheet that shows 66.119 as 6.61E+01, which is how it shows exponents, saves it so; with one digit more
 * in its format as 6.612E+01. Gauges read thousandths of a millimetre. */
static bool may_be_cut(const struct te_table *table, int column, te_unit unit,
                       const te_number *number)
{
    static const int needed[] = {
        [TE_UNIT_MM] = 3, [TE_UNIT_UM] = 0, [TE_UNIT_IN] = 4, [TE_UNIT_THOU] = 1};
    bool few = unit != TE_UNIT_OWN && decimals_told(number) < needed[unit];
    return (table->schema->columns[column].traits & TE_COLUMN_DIGITS) != 0 &&
           number->exponent != 0 && (number->decimals <= 2 || few);
}

double te_cell_figure(struct te_table *table, int column, te_unit unit,
                      const struct te_range *range, unsigned *decimals)
{
    te_slice cell = te_cell(table, column);
    te_number number = {0};
    char shown[TE_SHOWN];
    if (cell.length == 0) {
        return NAN;
    }
    te_number_fault fault = te_number_parse(&number, cell);
    if (fault != TE_NUMBER_GOOD) {
        refuse_number(table, column, fault);
        return NAN;
    }
    if (!mark_is_right(table, column, number.mark)) {
        return NAN;
    }
    if (may_be_cut(table, column, unit, &number)) {
        te_row_error(table, column, "show the column as a plain number, and save the file again",
                     "\"%s\" has an exponent and so few digits that some may have been cut",
                     te_cell_shown(shown, cell));
        return NAN;
    }
    bool may_be_grouped = (table->schema->columns[column].traits & TE_COLUMN_GROUPED) != 0 &&
                          number.mark != 0 && number.decimals == 3 && number.exponent == 0;
    if (may_be_grouped) {
        te_row_error(table, column, "write it without a mark, or with fewer or more decimals",
                     "\"%s\" may be a whole number with its thousands marked",
                     te_cell_shown(shown, cell));
        return NAN;
    }
    if (!te_in_range(number.value, range)) {
        te_row_error(table, column, "check the number and its unit", "\"%s\" must be %s",
                     te_cell_shown(shown, cell), range->words);
        return NAN;
    }
    if (decimals != NULL) {
        *decimals = decimals_told(&number) > 0 ? (unsigned)decimals_told(&number) : 0;
    }
    return number.value;
}

double te_cell_number(struct te_table *table, int column, const struct te_range *range)
{
    return te_cell_figure(table, column, TE_UNIT_OWN, range, NULL);
}

double te_cell_length(struct te_table *table, int column, te_unit unit,
                      const struct te_range *range)
{
    return te_unit_to_mm(te_cell_figure(table, column, unit, range, NULL), unit);
}

te_date te_cell_date(struct te_table *table, int column)
{
    static const char *const words[] = {
        [TE_DATE_GOOD] = "",
        [TE_DATE_FORM] = "is not a date",
        [TE_DATE_ORDER] = "has slashes and the year last",
        [TE_DATE_CALENDAR] = "is not a day of the calendar from 1900 to 2199",
        [TE_DATE_ORDER_DMY_MDY] = "does not fit the date_order of shop.csv",
    };
    te_slice cell = te_cell(table, column);
    te_date date = TE_NO_DATE;
    char shown[TE_SHOWN];
    if (cell.length == 0) {
        return TE_NO_DATE;
    }
    te_date_fault fault = te_date_parse(&date, cell, table->shop->tables.date_order);
    if (fault != TE_DATE_GOOD) {
        const char *remedy = fault == TE_DATE_ORDER
                                 ? "write 2026-04-18, or give date_order in shop.csv"
                                 : "write it as 2026-04-18";
        te_row_error(table, column, remedy, "\"%s\" %s", te_cell_shown(shown, cell), words[fault]);
    }
    return date;
}

size_t te_likely_edits(size_t length)
{
    return length < 6 ? 1 : 2;
}

const char *te_nearest(te_slice text, const char *const *words, size_t count)
{
    char copy[64];
    const char *nearest = NULL;
    size_t least = SIZE_MAX;
    if (text.length >= sizeof copy) {
        return NULL;
    }
    memcpy(copy, text.bytes, text.length);
    copy[text.length] = '\0';
    te_text_fold(copy, text.length);
    for (size_t i = 0; i < count; i++) {
        size_t distance = te_text_distance(copy, words[i]);
        if (distance < least && distance <= te_likely_edits(strlen(words[i]))) {
            least = distance;
            nearest = words[i];
        }
    }
    return nearest;
}

static void tell_choice(struct te_table *table, int column, const char *const *words, size_t count)
{
    char shown[TE_SHOWN];
    char remedy[TE_PROBLEM_TEXT] = "write one of:";
    size_t used = strlen(remedy);
    for (size_t i = 0; i < count; i++) {
        int put = snprintf(remedy + used, sizeof remedy - used, "%s %s", i == 0 ? "" : ",",
                           words[i]);
        bool fits = put > 0 && (size_t)put < sizeof remedy - used; /* GCOVR_EXCL_BR_LINE: all do */
        used += fits ? (size_t)put : 0;                            /* GCOVR_EXCL_BR_LINE: all do */
    }
    te_row_error(table, column, remedy, "\"%s\" is not a word that this column knows",
                 te_cell_shown(shown, te_cell(table, column)));
}

int te_cell_choice(struct te_table *table, int column, const char *const *words, size_t count,
                   int blank)
{
    te_slice cell = te_cell(table, column);
    if (cell.length == 0) {
        return blank;
    }
    for (size_t i = 0; i < count; i++) {
        if (te_text_same_word(cell, words[i])) {
            return (int)i;
        }
    }
    tell_choice(table, column, words, count);
    return -1;
}

te_kind te_cell_kind(struct te_table *table, int column)
{
    const char *words[TE_KIND_NONE];
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        words[kind] = te_kind_name((te_kind)kind);
    }
    int kind = te_cell_choice(table, column, words, TE_KIND_NONE, TE_KIND_NONE);
    return kind < 0 ? TE_KIND_NONE : (te_kind)kind;
}

bool te_is_own_name(te_slice cell)
{
    unsigned char c = (unsigned char)cell.bytes[0];
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c >= 0x80;
}

te_quantity te_cell_quantity(struct te_table *table, int column, bool feature)
{
    te_slice cell = te_cell(table, column);
    te_quantity quantity = te_quantity_find(cell);
    char remedy[TE_PROBLEM_TEXT];
    if (cell.length == 0) {
        return TE_Q_NONE;
    }
    if (quantity == TE_Q_NONE && !te_is_own_name(cell)) {
        char shown[TE_SHOWN];
        te_row_error(table, column, "the name of a feature of your own begins with a letter",
                     "\"%s\" is no name of a quantity", te_cell_shown(shown, cell));
        return TE_Q_NONE;
    }
    if (quantity == TE_Q_NONE) {
        return te_shop_own_feature(table->shop, cell, table->origin);
    }
    if (feature && !te_quantity_is(quantity, TE_TRAIT_READ)) {
        const char *name = te_quantity_info_of(quantity)->name;
        (void)snprintf(remedy, sizeof remedy,
                       "give what is measured, or use a name of your own such as %s_feeler", name);
        te_row_error(table, column, remedy, "%s is computed, it is not read from a gauge", name);
        return TE_Q_NONE;
    }
    return quantity;
}

static bool is_ring_number(te_slice cell)
{
    bool good = cell.length <= 2 && cell.bytes[0] != '0';
    for (size_t i = 0; i < cell.length; i++) {
        good = good && cell.bytes[i] >= '0' && cell.bytes[i] <= '9';
    }
    return good;
}

te_id te_cell_item(struct te_table *table, int column, te_quantity quantity)
{
    te_slice cell = te_cell(table, column);
    char shown[TE_SHOWN];
    if (cell.length == 0 || quantity == TE_Q_NONE) {
        return 0;
    }
    const te_quantity_info *info = te_quantity_info_of(quantity);
    switch (info->items) { /* GCOVR_EXCL_BR_LINE: each has a case */
    case TE_ITEMS_RING:
        if (is_ring_number(cell)) {
            return te_cell_text(table, column);
        }
        te_row_error(table, column, "write the ring's number from the top: 1, 2 ...",
                     "\"%s\" is not a ring number", te_cell_shown(shown, cell));
        return 0;
    case TE_ITEMS_BOSS:
        if (te_text_same_word(cell, "left") || te_text_same_word(cell, "right")) {
            bool left = te_text_same_word(cell, "left");
            return te_shop_intern(table->shop,
                                  left ? (te_slice){"left", 4} : (te_slice){"right", 5});
        }
        te_row_error(table, column, "write left or right", "\"%s\" is not a pin boss",
                     te_cell_shown(shown, cell));
        return 0;
    case TE_ITEMS_NONE:
        te_row_error(table, column, "leave the cell empty", "%s has no items", info->name);
        return 0;
    case TE_ITEMS_ANY: break;
    }
    return te_shop_intern_folded(table->shop, cell);
}

double te_cell_direction(struct te_table *table, int column)
{
    static const struct te_range degrees = {0.0, 180.0, false, true,
                                            "thrust, pin, or degrees from 0 to below 180"};
    te_slice cell = te_cell(table, column);
    char shown[TE_SHOWN];
    if (te_text_same_word(cell, "thrust")) {
        return 0.0;
    }
    if (te_text_same_word(cell, "pin")) {
        return 90.0;
    }
    bool wordy = cell.length > 0 && ((cell.bytes[0] >= 'a' && cell.bytes[0] <= 'z') ||
                                     (cell.bytes[0] >= 'A' && cell.bytes[0] <= 'Z'));
    if (wordy) {
        te_row_error(table, column, "write thrust, pin, or degrees from 0 to below 180",
                     "\"%s\" is not a direction", te_cell_shown(shown, cell));
        return NAN;
    }
    return te_cell_number(table, column, &degrees);
}

te_unit te_cell_unit(te_id *text, struct te_table *table, int column, te_quantity quantity)
{
    te_slice cell = te_cell(table, column);
    te_unit unit = te_unit_find(cell);
    char shown[TE_SHOWN];
    *text = 0;
    if (unit != TE_UNIT_OWN) {
        return unit;
    }
    if (quantity < TE_Q_OWN) {
        te_row_error(table, column, "write mm, um, in or thou", "\"%s\" is not a unit of length",
                     te_cell_shown(shown, cell));
        return TE_UNIT_MM;
    }
    *text = te_cell_text(table, column);
    return TE_UNIT_OWN;
}
