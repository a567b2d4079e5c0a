/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Damaged copies of good shops: a byte, a cell, a row, a column, a file saved again by a spreadsheet. The
 * damage never makes a verdict `reuse` that was not, unless every cell that it changed still is a
 * legitimate entry of its column (damage_forms.h says how that is decided): what a user could have meant no
 * program can doubt. Whole rows and columns go in the readings only, of shops whose plan names every place.
 *
 * A violation prints the file before and after; the seed printed does it again. The figures at the end tell
 * how many copies were refused, told of in a warning, no better, or legitimate.
 */
#include "damage_forms.h"

#include "topend/judge.h"

/* ---- verdicts ---- */

enum { VERDICTS = 48 };

typedef struct verdict_row {
    char inspection[CELL], part[CELL];
    te_kind kind; /* TE_KIND_NONE: the assembly */
    te_verdict_value verdict;
} verdict_row;

typedef struct verdicts {
    te_status status;
    size_t warnings, count;
    verdict_row rows[VERDICTS];
} verdicts;

static void take_verdicts(verdicts *out, const te_shop *shop, const te_assessment *a)
{
    const te_tables *tables = te_shop_tables(shop);
    const char *id = te_shop_text(shop, tables->inspections[a->inspection].id);
    for (size_t i = 0; i < a->verdict_count; i++) {
        const te_verdict *v = &a->verdicts[i];
        bool assembly = i + 1 == a->verdict_count;
        assert_true(out->count < VERDICTS);
        verdict_row *row = &out->rows[out->count++];
        (void)snprintf(row->inspection, CELL, "%s", id);
        (void)snprintf(row->part, CELL, "%s", assembly ? "" : te_shop_text(shop, v->part));
        row->kind = assembly ? TE_KIND_NONE : v->kind;
        row->verdict = v->verdict;
    }
}

/* `file`: the one whose warnings are counted; NULL: all. */
static void judge_shop(verdicts *out, const te_input *inputs, size_t count, const char *file)
{
    te_shop *shop = NULL;
    te_problems problems;
    te_assessment assessment = {0};
    te_problems_init(&problems);
    out->count = 0;
    out->status = te_shop_read(&shop, &problems, inputs, count, TE_FILE_EVERY);
    out->warnings = file == NULL ? problems.warnings : 0;
    for (size_t i = 0; file != NULL && i < problems.file_count; i++) {
        bool here = strcmp(problems.files[i].file, file) == 0;
        out->warnings += here ? problems.files[i].warnings : 0;
    }
    for (uint32_t i = 0; out->status == TE_OK && i < te_shop_tables(shop)->inspection_count; i++) {
        assert_int_equal(te_assess(&assessment, shop, i, false), TE_OK);
        take_verdicts(out, shop, &assessment);
    }
    te_assessment_free(&assessment);
    te_problems_free(&problems);
    te_shop_free(shop);
}

/* The row of a part, else that of its kind: a part under another name is what it was. */
static const verdict_row *find_row(const verdicts *list, const verdict_row *row)
{
    const verdict_row *by_kind = NULL;
    for (size_t i = 0; i < list->count; i++) {
        const verdict_row *other = &list->rows[i];
        if (strcmp(other->inspection, row->inspection) != 0 || other->kind != row->kind)
            continue;
        by_kind = other;
        if (strcmp(other->part, row->part) == 0)
            return other;
    }
    return by_kind;
}

/* A verdict that has become `reuse`; NULL when there is none. */
static const verdict_row *turned(const verdicts *before, const verdicts *after)
{
    for (size_t i = 0; i < after->count; i++) {
        const verdict_row *now = &after->rows[i];
        const verdict_row *was = find_row(before, now);
        if (now->verdict == TE_REUSE && (was == NULL || was->verdict != TE_REUSE))
            return now;
    }
    return NULL;
}

/* ---- one shop and its copies ---- */

typedef enum outcome { REFUSED, WARNED, NO_BETTER, LEGITIMATE, OUTCOMES } outcome;

typedef struct desk {
    shop_tables shop;
    te_input inputs[TABLES];
    verdicts before;
    size_t copies[OUTCOMES];
    size_t legitimate[FORMS];
    size_t violations;
} desk;

static void open_desk(desk *d, te_random *random)
{
    make_shop(&d->shop, random);
    for (size_t i = 0; i < d->shop.count; i++) {
        size_t length = 0;
        char *bytes = spell_table(&length, &d->shop.tables[i], &d->shop.as);
        d->inputs[i] = (te_input){d->shop.tables[i].name, bytes, length};
    }
    judge_shop(&d->before, d->inputs, d->shop.count, NULL);
    assert_int_equal(d->before.warnings, 0);
    assert_int_equal(d->before.status, TE_OK);
}

static void close_desk(desk *d)
{
    for (size_t i = 0; i < d->shop.count; i++)
        free((char *)d->inputs[i].bytes);
}

/* The lines of a file between what both files begin and end with. */
static void print_lines(const char *title, const te_input *file, size_t from, size_t to)
{
    print_error("  %s: ", title);
    for (size_t i = from; i < file->length - to; i++) {
        unsigned char c = (unsigned char)file->bytes[i];
        if (c >= 0x20 && c < 0x7f)
            print_error("%c", c);
        else
            print_error(c == '\n' ? "\n          " : "\\x%02x", c);
    }
    print_error("\n");
}

static void print_change(const te_input *before, const te_input *after)
{
    size_t most = before->length < after->length ? before->length : after->length;
    size_t from = 0;
    size_t to = 0;
    while (from < most && before->bytes[from] == after->bytes[from])
        from++;
    while (to < most - from &&
           before->bytes[before->length - to - 1] == after->bytes[after->length - to - 1])
        to++;
    while (from > 0 && before->bytes[from - 1] != '\n')
        from--;
    while (to > 0 && before->bytes[before->length - to] != '\n')
        to--;
    print_lines("before", before, from, to);
    print_lines("after ", after, from, to);
}

static void print_violation(const desk *d, size_t file, const char *bytes, size_t length,
                            const verdict_row *now, const char *what)
{
    const verdict_row *was = find_row(&d->before, now);
    print_error("%s of %s: %s %s: %s becomes reuse\n", what, d->shop.tables[file].name,
                now->inspection, now->kind == TE_KIND_NONE ? "assembly" : now->part,
                was == NULL ? "none" : te_verdict_name(was->verdict));
    print_change(&d->inputs[file], &(te_input){"", bytes, length});
}

/* Judges the shop with other bytes for a file. `again`: many cells may have changed, told by a warning. */
static void try_bytes(desk *d, size_t file, const char *bytes, size_t length, char delimiter,
                      const char *what)
{
    verdicts after;
    te_input kept = d->inputs[file];
    d->inputs[file].bytes = bytes;
    d->inputs[file].length = length;
    judge_shop(&after, d->inputs, d->shop.count, kept.name);
    d->inputs[file] = kept;
    if (after.status != TE_OK) {
        assert_int_equal(after.status, TE_ERR_DATA);
        d->copies[REFUSED]++;
        return;
    }
    const verdict_row *now = turned(&d->before, &after);
    if (now == NULL) {
        d->copies[after.warnings > 0 ? WARNED : NO_BETTER]++;
        return;
    }
    comparison k = compare_file(&d->shop, &d->shop.tables[file], delimiter, bytes, length);
    bool told = after.warnings > 0;
    if (k.sound && k.changed > 0 && (told || !k.must_warn)) {
        d->copies[LEGITIMATE]++;
        d->legitimate[k.form]++;
        return;
    }
    if (d->violations++ < 12)
        print_violation(d, file, bytes, length, now, what);
}

/* ---- a byte ---- */

static const char awkward[] = ",;\t\"'#\n\r .-+0159eExX=@\x1a\xa0\xff\xc3?/_|";

static char any_byte(te_random *random)
{
    size_t at = te_random_below(random, sizeof awkward + 8);
    return at < sizeof awkward ? awkward[at] : (char)te_random_below(random, 256);
}

static void damage_byte(desk *d, te_random *random)
{
    size_t file = te_random_below(random, d->shop.count);
    const te_input *input = &d->inputs[file];
    char *bytes = malloc(input->length + 1);
    assert_non_null(bytes);
    size_t at = te_random_below(random, input->length);
    size_t length = input->length;
    memcpy(bytes, input->bytes, length);
    switch (te_random_below(random, 4)) {
    case 0: /* lost */
        memmove(bytes + at, bytes + at + 1, length - at - 1);
        length--;
        break;
    case 1: /* one more */
        memmove(bytes + at + 1, bytes + at, length - at);
        bytes[at] = any_byte(random);
        length++;
        break;
    case 2: bytes[at] = (char)(bytes[at] ^ 1 << te_random_below(random, 8)); break;
    default: bytes[at] = any_byte(random); break;
    }
    try_bytes(d, file, bytes, length, d->shop.as.delimiter, "a byte");
    free(bytes);
}

/* ---- a cell ---- */

static void try_table(desk *d, const table *t, const spelling *as, const char *what)
{
    size_t length = 0;
    size_t file = (size_t)(table_named(&d->shop, t->name) - d->shop.tables);
    char *bytes = spell_table(&length, t, as);
    try_bytes(d, file, bytes == NULL ? "" : bytes, length, as->delimiter, what);
    free(bytes);
}

static void damage_cell(desk *d, te_random *random)
{
    static const char *const others[] = {
        "",       "#N/A", "#REF!", "54012", "1-2", "01.02.2026", "66.03 mm", "ca. 66",
        "66.0.3", "~",    "-",     "n/a",   "=A1", "0",          "yes",      "none",
        "1E+05",  "#",    "# x",   "0x42",  "66'", "1,234"};
    const table *whole = &d->shop.tables[te_random_below(random, d->shop.count)];
    table t = *whole;
    size_t row = te_random_below(random, t.rows);
    size_t column = te_random_below(random, t.columns);
    char *cell = t.cell[row][column];
    size_t way = te_random_below(random, 4);
    if (way == 0) { /* of the same column, or of any */
        (void)snprintf(cell, CELL, "%s", whole->cell[te_random_below(random, t.rows)][column]);
    } else if (way == 1) {
        (void)snprintf(
            cell, CELL, "%s",
            whole->cell[te_random_below(random, t.rows)][te_random_below(random, t.columns)]);
    } else {
        (void)snprintf(cell, CELL, "%s",
                       others[te_random_below(random, sizeof others / sizeof *others)]);
    }
    try_table(d, &t, &d->shop.as, "a cell");
}

/* ---- rows and columns of readings ---- */

static table any_readings(desk *d, te_random *random)
{
    const table *more = table_named(&d->shop, "readings/ps-02.csv");
    return more != NULL && chance(random, 2) ? *more : *table_named(&d->shop, "readings.csv");
}

static void drop_row(table *t, size_t row)
{
    memmove(t->cell[row], t->cell[row + 1], (t->rows - row - 1) * sizeof *t->cell);
    t->rows--;
}

/* By the rule `simple` a lost column of no_go leaves values that pass: only `guarded` knows that it does not know. */
static bool is_guarded(desk *d)
{
    return strcmp(table_named(&d->shop, "shop.csv")->cell[2][1], "guarded") == 0;
}

static void damage_rows(desk *d, te_random *random)
{
    if (!is_guarded(d))
        return;
    table t = any_readings(d, random);
    size_t row = te_random_below(random, t.rows);
    switch (te_random_below(random, 4)) {
    case 0:
        for (size_t n = te_random_below(random, 6) + 1; n > 0 && row < t.rows; n--)
            drop_row(&t, row);
        break;
    case 1: t.rows = row; break; /* cut */
    case 2:                      /* twice, or in the place of another */
        memcpy(t.cell[te_random_below(random, t.rows)], t.cell[row], sizeof *t.cell);
        break;
    default: { /* the order */
        size_t other = te_random_below(random, t.rows);
        char kept[COLUMNS][CELL];
        memcpy(kept, t.cell[row], sizeof kept);
        memcpy(t.cell[row], t.cell[other], sizeof kept);
        memcpy(t.cell[other], kept, sizeof kept);
        break;
    }
    }
    try_table(d, &t, &d->shop.as, "rows");
}

static void damage_column(desk *d, te_random *random)
{
    if (!is_guarded(d))
        return;
    table t = any_readings(d, random);
    size_t column = te_random_below(random, t.columns);
    size_t way = te_random_below(random, 3);
    size_t first = way == 1 ? 1 : 0; /* 1: its header stays */
    for (size_t r = first; r < t.rows; r++) {
        if (way == 2) { /* one cell to the left from there on */
            memmove(t.cell[r][column], t.cell[r][column + 1], (t.columns - column - 1) * CELL);
            t.cell[r][t.columns - 1][0] = '\0';
        } else {
            t.cell[r][column][0] = '\0';
        }
    }
    try_table(d, &t, &d->shop.as, "a column");
}

/* ---- saved again by a spreadsheet ---- */

static void recode_cell(char *cell, size_t way, int decimals)
{
    char text[2 * CELL];
    if (!is_figure(cell))
        return;
    char *point = strchr(cell, '.');
    switch (way) {
    case 0: /* as shown, with two decimals */
        (void)snprintf(text, sizeof text, "%.2f", strtod(cell, NULL));
        break;
    case 1: /* the mark taken for a group's */
        (void)snprintf(text, sizeof text, "%s", cell);
        if (point != NULL)
            /* NOLINTNEXTLINE(bugprone-not-null-terminated-result): the end is moved too */
            memmove(text + (point - cell), point + 1, strlen(point));
        break;
    case 2: /* zeros at the end lost */
        (void)snprintf(text, sizeof text, "%.10g", strtod(cell, NULL));
        break;
    case 3: /* the other mark */
        (void)snprintf(text, sizeof text, "%s", cell);
        if (point != NULL)
            text[point - cell] = ',';
        break;
    case 4: /* as an exponent's form shows it, of several widths */
        (void)snprintf(text, sizeof text, "%.*E", decimals, strtod(cell, NULL));
        break;
    default: /* a day of the month */
        (void)snprintf(text, sizeof text, point != NULL ? "%.0f. Jan" : "%.0f", strtod(cell, NULL));
        break;
    }
    (void)snprintf(cell, CELL, "%.40s", text);
}

static void save_again(desk *d, te_random *random)
{
    table t = d->shop.tables[te_random_below(random, d->shop.count)];
    spelling as = d->shop.as;
    size_t way = te_random_below(random, 8);
    size_t column = te_random_below(random, t.columns);
    bool all = chance(random, 2);
    int decimals = (int)te_random_below(random, 5);
    for (size_t r = 1; r < t.rows; r++) {
        for (size_t c = 0; c < t.columns; c++) {
            if (all || c == column)
                recode_cell(t.cell[r][c], way, decimals);
        }
    }
    as.delimiter = chance(random, 4) ? ",;\t"[te_random_below(random, 3)] : as.delimiter;
    as.quoted = chance(random, 3);
    as.bom = !as.utf16 && chance(random, 3);
    as.end = chance(random, 2) ? "\r\n" : "\n";
    try_table(d, &t, &as, "saved again");
}

/* ---- */

typedef void damage(desk *d, te_random *random);

static void say_figures(const desk *d)
{
    print_message("refused %zu, warned %zu, no better %zu, legitimate %zu (", d->copies[REFUSED],
                  d->copies[WARNED], d->copies[NO_BETTER], d->copies[LEGITIMATE]);
    for (int f = 0; f < FORMS; f++)
        print_message("%s%s %zu", f > 0 ? ", " : "", form_names[f], d->legitimate[f]);
    print_message(")\n");
}

/* 101,850 copies in all; with the address sanitizer, under which a copy takes five times as long, a fifth.
 * TE_TEST_MULTIPLIER scales both. */
#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define COPIES_SHARE 5
#endif
#elif defined(__SANITIZE_ADDRESS__)
#define COPIES_SHARE 5
#endif
#ifndef COPIES_SHARE
#define COPIES_SHARE 1
#endif

enum { COPIES_OF_A_SHOP = 50 };

static void many_copies(damage *how, size_t copies)
{
    desk *d = calloc(1, sizeof *d);
    size_t shops = te_test_rounds(copies / COPIES_OF_A_SHOP / COPIES_SHARE);
    size_t bad = 0;
    te_random random = te_random_start(20261127); /* printed */
    assert_non_null(d);
    for (size_t i = 0; i < shops; i++) {
        open_desk(d, &random);
        for (size_t v = 0; v < d->before.count; v++)
            bad += d->before.rows[v].verdict != TE_REUSE;
        for (size_t n = 0; n < COPIES_OF_A_SHOP; n++)
            how(d, &random);
        close_desk(d);
    }
    say_figures(d);
    assert_true(bad > shops / 2); /* there is something to make better */
    assert_true(d->copies[REFUSED] > 0 && d->copies[NO_BETTER] > 0);
    size_t violations = d->violations;
    free(d);
    assert_int_equal(violations, 0);
}

static void a_byte(void **state)
{
    (void)state;
    many_copies(damage_byte, 60000);
}

static void a_cell(void **state)
{
    (void)state;
    many_copies(damage_cell, 20000);
}

static void rows(void **state)
{
    (void)state;
    many_copies(damage_rows, 10000);
}

static void a_column(void **state)
{
    (void)state;
    many_copies(damage_column, 6000);
}

static void saved_again(void **state)
{
    (void)state;
    many_copies(save_again, 10000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_byte),   cmocka_unit_test(a_cell),      cmocka_unit_test(rows),
        cmocka_unit_test(a_column), cmocka_unit_test(saved_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
