/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Makes the shop of a whole fleet, as large as asked for: every file valid, wear that grows with
 * the hours, parts that are changed when they are worn. The same options give the same bytes: all
 * is worked out in whole nanometres, from a random stream of each engine's own.
 *
 *   make_fleet [OPTION...] FOLDER
 *
 *   --seed N         (1)
 *   --engines N      (20000)
 *   --inspections N  of an engine (5)
 *   --readings N     of an inspection, a row each (40); past 40 they are more places of the bore
 *   --files N        of readings, whole inspections each (1: readings.csv; more: in the folder
 *                    readings)
 *   --shuffle        the rows of readings in random order; in one file only: the same row in two
 *                    files is no repeat
 *   --damage         1 in 100 rows of readings is damaged, all in one engine of 20; each is an
 *                    error of its own engine: the name of the inspection stays whole
 *   --spared         only the engines that --damage leaves alone: the same rows
 *   --prefix TEXT    before the name of each engine, inspection and part (none): fleets of other prefixes
 *                    have no name in common. Up to 32 of A to Z, a to z, 0 to 9, - and _; no - first
 *
 * FOLDER must not be there yet. Prints how much was written. Exit 2: it could not be done.
 */
#include <errno.h>
#include <getopt.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum {
    UM = 1000,             /* nanometres */
    MM = 1000 * UM,        /* nanometres */
    ROW_MOST = 256,        /* bytes of a row of readings */
    PATH_MOST = 4096,      /* bytes of a file's path */
    PREFIX_MOST = 32,      /* bytes before a name */
    PRONE = 20,            /* one engine of so many is damaged */
    DAMAGED = 100,         /* one row of so many is damaged */
    LIFE_INSPECTIONS = 12, /* with more, they stand closer together */
    FIRST_DAY = 43464      /* 2019-01-01, in days since 1900-01-01 */
};

struct plan {
    uint64_t seed;
    uint32_t engines, inspections, readings, files;
    bool damage, spared, shuffle;
    const char *prefix;
};

/* ---- random numbers: splitmix64 (G. L. Steele, D. Lea, C. H. Flood, OOPSLA 2014) ---- */

static uint64_t next_random(uint64_t *state)
{
    uint64_t z = *state += UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

/* From least to most, both included. */
static int64_t between(uint64_t *state, int64_t least, int64_t most)
{
    return least + (int64_t)(next_random(state) % (uint64_t)(most - least + 1));
}

/* What a gauge and a hand add: within plus or minus `half`, near 0 more often. */
static int64_t scatter(uint64_t *state, int64_t half)
{
    return (between(state, -half, half) + between(state, -half, half)) / 2;
}

/* ---- what is measured ---- */

enum feature { BORE, SKIRT, END_GAP, SIDE, PIN, PIN_BORE, PLAY, COMPRESSION, SQUISH, FEATURES };

struct measured {
    const char *name, *gauge, *unit;
    int64_t zero;    /* the size that the gauge is set to; 0: none */
    int64_t step;    /* nanometres of the last digit that is read */
    int64_t leaf;    /* feeler leaves stand so far apart; 0: no leaves */
    int64_t scatter; /* of one reading, in nanometres */
    int64_t warm;    /* nanometres that a reading gains with a kelvin: part less gauge */
    int decimals;
};

/* Of a compression a kilopascal stands for a millimetre: the arithmetic is the same. */
static const struct measured measured[FEATURES] = {
    [BORE] = {"bore", "BG-66", "", 66 * MM, UM, 0, 2 * UM, -33, 3},
    [SKIRT] = {"skirt", "MIC-75", "", 0, UM, 0, 2 * UM, 462, 3},
    [END_GAP] = {"end_gap", "FEEL-01", "", 0, 10 * UM, 50 * UM, 0, 0, 2},
    [SIDE] = {"side_clearance", "FEEL-01", "", 0, 10 * UM, 10 * UM, 0, 0, 2},
    [PIN] = {"pin", "MIC-25", "", 0, UM, 0, 2 * UM, 0, 3},
    [PIN_BORE] = {"pin_bore", "BG-16", "", 16 * MM, UM, 0, 2 * UM, 112, 3},
    [PLAY] = {"small_end_play", "DTI-01", "", 0, 2 * UM, 0, 3 * UM, 0, 3},
    [COMPRESSION] = {"compression", "CG-01", "kPa", 0, 10 * MM, 0, 15 * MM, 0, 0},
    [SQUISH] = {"squish", "MIC-25", "", 0, UM, 0, 4 * UM, 0, 3},
};

struct place {
    enum feature feature;
    const char *item;
    int position;  /* tenths of a millimetre below the deck, or above the skirt's edge; 0: none */
    int direction; /* degrees; below 0: none */
    unsigned repeats;
};

/* In the order of measuring; 40 readings in all. */
static const struct place places[] = {
    {BORE, "", 100, 0, 2},      {BORE, "", 100, 90, 2},       {BORE, "", 200, 0, 2},
    {BORE, "", 200, 90, 2},     {BORE, "", 280, 0, 2},        {BORE, "", 280, 90, 2},
    {BORE, "", 440, 0, 2},      {BORE, "", 440, 90, 2},       {BORE, "", 600, 0, 2},
    {BORE, "", 600, 90, 2},     {SKIRT, "", 120, 0, 3},       {END_GAP, "1", 600, -1, 1},
    {END_GAP, "2", 600, -1, 1}, {SIDE, "1", 0, -1, 1},        {SIDE, "2", 0, -1, 1},
    {PIN, "", 0, -1, 3},        {PIN_BORE, "left", 0, -1, 2}, {PIN_BORE, "right", 0, -1, 2},
    {PLAY, "", 0, -1, 2},       {COMPRESSION, "", 0, -1, 2},  {SQUISH, "", 0, -1, 2},
};
enum { PLACES = sizeof places / sizeof *places };

/* How often each place is read when an inspection has so many readings: first every place once. */
static unsigned share_readings(unsigned times[PLACES], uint32_t readings)
{
    unsigned given = 0;
    memset(times, 0, PLACES * sizeof *times);
    for (unsigned round = 0; round < 3; round++) {
        for (size_t i = 0; i < PLACES && given < readings; i++) {
            if (places[i].repeats > round) {
                times[i]++;
                given++;
            }
        }
    }
    return given;
}

/* Places past those of the plan: the bore every tenth of a millimetre, round it in steps of 15
 * degrees, and then again. */
static struct place further_place(unsigned number)
{
    int position = 50 + (int)(number % 600);
    int direction = (int)(number / 600 % 12) * 15;
    return (struct place){BORE, "", position, direction, 1};
}

/* ---- an engine ---- */

/* Parts that wear: how they left the maker and how fast they go, in nanometres an hour. */
struct engine {
    uint64_t random;
    uint32_t number;
    int64_t fitted_cylinder, fitted_piston, fitted_rings; /* tenths of an hour */
    unsigned cylinder, piston, rings;                     /* how many there were */
    int64_t life_rings, life_piston, life_cylinder;       /* tenths of an hour */
    int64_t bore, skirt, gap[2], side[2], pin, pin_bore[2], play, compression, squish;
    int64_t bore_rate, skirt_rate, gap_rate, side_rate, pin_rate, pin_bore_rate, play_rate;
    int64_t compression_rate;
};

static void new_cylinder(struct engine *e, int64_t hours)
{
    e->fitted_cylinder = hours;
    e->cylinder++;
    e->bore = 66 * MM + between(&e->random, 4 * UM, 16 * UM);
}

/* With its pin and its small-end bearing. */
static void new_piston(struct engine *e, int64_t hours)
{
    e->fitted_piston = hours;
    e->piston++;
    e->skirt = 65 * MM + between(&e->random, 922 * UM, 938 * UM);
    e->pin = 15 * MM + between(&e->random, 995 * UM, 997 * UM);
    e->pin_bore[0] = 16 * MM + between(&e->random, 3 * UM, 6 * UM);
    e->pin_bore[1] = 16 * MM + between(&e->random, 3 * UM, 6 * UM);
    e->play = between(&e->random, 6 * UM, 14 * UM);
}

static void new_rings(struct engine *e, int64_t hours)
{
    e->fitted_rings = hours;
    e->rings++;
    for (int i = 0; i < 2; i++) {
        e->gap[i] = between(&e->random, 270 * UM, 360 * UM);
        e->side[i] = between(&e->random, 45 * UM, 65 * UM);
    }
}

static struct engine new_engine(const struct plan *plan, uint32_t number)
{
    struct engine e = {.number = number};
    e.random = plan->seed * UINT64_C(0x100000001b3) + number;
    e.random = next_random(&e.random);                     /* neighbours have nothing in common */
    int64_t dust = between(&e.random, 0, 24) == 0 ? 2 : 1; /* one in 25 draws dusty air */
    e.bore_rate = dust * between(&e.random, 50, 110);
    e.skirt_rate = dust * between(&e.random, 25, 55);
    e.gap_rate = dust * between(&e.random, 450, 850);
    e.side_rate = dust * between(&e.random, 40, 90);
    e.pin_rate = between(&e.random, 5, 12);
    e.pin_bore_rate = between(&e.random, 8, 16);
    e.play_rate = between(&e.random, 20, 40);
    e.compression_rate = between(&e.random, 100000, 300000);
    e.compression = between(&e.random, 930 * MM, 1000 * MM);
    e.squish = between(&e.random, 950 * UM, 1050 * UM);
    e.life_rings = between(&e.random, 2500, 3500);
    e.life_piston = between(&e.random, 6000, 7000);
    e.life_cylinder = between(&e.random, 12000, 13000);
    new_cylinder(&e, 0);
    new_piston(&e, 0);
    new_rings(&e, 0);
    return e;
}

/* How much of the wear at its worst place, in per cent, a bore has at a height. */
static int64_t bore_share(int position, int direction)
{
    static const int64_t knots[][2] = {{0, 60},   {100, 100}, {200, 85},
                                       {280, 95}, {440, 45},  {660, 25}};
    size_t i = 1;
    while (i + 1 < sizeof knots / sizeof *knots && position > knots[i][0]) {
        i++;
    }
    int64_t span = knots[i][0] - knots[i - 1][0];
    int64_t rise = knots[i][1] - knots[i - 1][1];
    int64_t share = knots[i - 1][1] + rise * (position - knots[i - 1][0]) / span;
    int across = direction <= 90 ? 90 - direction : direction - 90; /* 90 is the thrust */
    return share * (75 + 25 * across / 90) / 100;
}

/* The size at a place, in nanometres at 20 degrees, after so many tenths of an hour. */
static int64_t true_size(const struct engine *e, const struct place *place, int64_t hours)
{
    int64_t on_cylinder = hours - e->fitted_cylinder;
    int64_t on_piston = hours - e->fitted_piston;
    int64_t on_rings = hours - e->fitted_rings;
    size_t second = place->item[0] == '2' || place->item[0] == 'r';
    switch (place->feature) {
    case BORE:
        return e->bore + e->bore_rate * on_cylinder / 10 *
                             bore_share(place->position, place->direction) / 100;
    case SKIRT: return e->skirt - e->skirt_rate * on_piston / 10;
    case END_GAP: return e->gap[second] + e->gap_rate * on_rings / 10;
    case SIDE: return e->side[second] + e->side_rate * on_rings / 10;
    case PIN: return e->pin - e->pin_rate * on_piston / 10;
    case PIN_BORE: return e->pin_bore[second] + e->pin_bore_rate * on_piston / 10;
    case PLAY: return e->play + e->play_rate * on_piston / 10;
    case COMPRESSION: return e->compression - e->compression_rate * on_rings / 10;
    case SQUISH:
    case FEATURES: break;
    }
    return e->squish;
}

/* ---- files ---- */

static _Noreturn void give_up(const char *what, const char *name)
{
    (void)fprintf(stderr, "make_fleet: %s: %s: %s\n", name, what, strerror(errno));
    exit(2);
}

static FILE *open_file(const char *folder, const char *name)
{
    char path[PATH_MOST];
    int length = snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = NULL;
    if (length > 0 && (size_t)length < sizeof path) {
        file = fopen(path, "wx");
    } else {
        errno = ENAMETOOLONG;
    }
    if (file == NULL) {
        give_up("cannot be made", name);
    }
    return file;
}

static void close_file(FILE *file, const char *name)
{
    bool bad = ferror(file) != 0;
    if (fclose(file) != 0 || bad) {
        give_up("cannot be written", name);
    }
}

static void make_folder(const char *folder, const char *name)
{
    char path[PATH_MOST];
    int length = snprintf(path, sizeof path, "%s%s%s", folder, name[0] == '\0' ? "" : "/", name);
    if (length < 0 || (size_t)length >= sizeof path) {
        errno = ENAMETOOLONG;
        give_up("cannot be made", folder);
    }
    if (mkdir(path, 0777) != 0) {
        give_up("cannot be made", path);
    }
}

/* Rows of readings: into one file after the other, or held until they can be shuffled. */
struct rows {
    const char *folder;
    FILE *file;
    char name[64];
    uint32_t files, file_number;
    uint64_t inspections, all_inspections;
    uint64_t count, total;
    char *held; /* rows of text, each with its line end */
    size_t held_bytes, held_room;
    size_t *starts; /* of each held row, and where the last one ends */
};

static const char readings_header[] =
    "inspection,feature,item,position,direction,reading,no_go,zero,unit,instrument\n";

static void start_file(struct rows *rows)
{
    if (rows->file != NULL) {
        close_file(rows->file, rows->name);
    }
    rows->file_number++;
    if (rows->files == 1) {
        (void)snprintf(rows->name, sizeof rows->name, "readings.csv");
    } else {
        (void)snprintf(rows->name, sizeof rows->name, "readings/depot-%06u.csv",
                       (unsigned)rows->file_number);
    }
    rows->file = open_file(rows->folder, rows->name);
    (void)fputs(readings_header, rows->file);
}

/* Inspection i stands in file i * files / all, counted from 0. */
static void start_inspection(struct rows *rows)
{
    if (rows->inspections * rows->files >= rows->file_number * rows->all_inspections) {
        start_file(rows);
    }
    rows->inspections++;
}

static void write_row(struct rows *rows, const char *row, size_t length)
{
    rows->count++;
    (void)fwrite(row, 1, length, rows->file);
}

static void hold_row(struct rows *rows, const char *row, size_t length)
{
    if (rows->held_bytes + length > rows->held_room) {
        rows->held_room = rows->held_room * 2 + 65536;
        rows->held = realloc(rows->held, rows->held_room);
        if (rows->held == NULL) {
            give_up("out of memory", "readings");
        }
    }
    memcpy(rows->held + rows->held_bytes, row, length);
    rows->held_bytes += length;
    rows->starts[++rows->count] = rows->held_bytes;
}

/* Every order alike likely. The places of the rows are drawn, not the rows moved. */
static void write_shuffled(struct rows *rows, uint64_t seed)
{
    uint64_t random = ~seed;
    uint64_t count = rows->count;
    size_t *order = calloc(count, sizeof *order);
    if (order == NULL) {
        give_up("out of memory", "readings");
    }
    for (size_t i = 0; i < count; i++) {
        size_t other = next_random(&random) % (i + 1);
        order[i] = order[other];
        order[other] = i;
    }
    rows->count = 0;
    start_file(rows);
    for (size_t i = 0; i < count; i++) {
        size_t start = rows->starts[order[i]];
        write_row(rows, rows->held + start, rows->starts[order[i] + 1] - start);
    }
    free(order);
}

/* ---- a row of readings ---- */

struct text {
    char bytes[ROW_MOST];
    size_t length;
};

static void put(struct text *row, const char *words)
{
    size_t length = strlen(words);
    if (row->length + length < sizeof row->bytes) {
        memcpy(row->bytes + row->length, words, length);
        row->length += length;
    }
}

/* A number of 1 / 10^decimals: printf would take most of the time of a large fleet. */
static void put_fixed(struct text *row, int64_t value, int decimals)
{
    char digits[32];
    size_t at = sizeof digits;
    uint64_t left = (uint64_t)(value < 0 ? -value : value);
    digits[--at] = '\0';
    for (int i = 0; i <= decimals || left > 0; i++) {
        if (i > 0 && i == decimals) {
            digits[--at] = '.';
        }
        digits[--at] = (char)('0' + left % 10);
        left /= 10;
    }
    if (value < 0) {
        digits[--at] = '-';
    }
    put(row, digits + at);
}

static int64_t rounded(int64_t value, int64_t step)
{
    return (value + (value < 0 ? -step : step) / 2) / step * step;
}

/* Nanometres in the unit's own digits. */
static void put_size(struct text *row, int64_t size, int decimals)
{
    int64_t digit = MM;
    for (int i = 0; i < decimals; i++) {
        digit /= 10;
    }
    put_fixed(row, size / digit, decimals);
}

static void put_direction(struct text *row, int direction)
{
    if (direction == 0) {
        put(row, "thrust");
    } else if (direction == 90) {
        put(row, "pin");
    } else if (direction > 0) {
        put_fixed(row, direction, 0);
    }
}

/* What can befall a row that names its inspection. Each is an error of that engine alone. */
enum harm { UNHARMED, LETTER, TWO_MARKS, BLANK, UNIT_IN_CELL, UNKNOWN_UNIT, MADE_HUGE, HARMS };

static void put_reading(struct text *row, int64_t size, int decimals, enum harm harm)
{
    size_t start = row->length;
    if (harm == BLANK) {
        return;
    }
    put_size(row, size, decimals);
    if (harm == LETTER) {
        row->bytes[row->length - 1] = 'l';
    } else if (harm == TWO_MARKS) {
        put(row, ".0.1");
    } else if (harm == UNIT_IN_CELL) {
        put(row, " mm");
    } else if (harm == MADE_HUGE) {
        row->length = start;
        put(row, "6601234567890123"); /* past 15 digits */
    }
}

static void put_place(struct text *row, const char *prefix, uint32_t engine, uint32_t inspection,
                      const struct place *place)
{
    row->length = 0;
    put(row, prefix);
    put(row, "PS-");
    put_fixed(row, engine, 0);
    put(row, "-");
    put_fixed(row, inspection, 0);
    put(row, ",");
    put(row, measured[place->feature].name);
    put(row, ",");
    put(row, place->item);
    put(row, ",");
    if (place->position > 0) {
        put_fixed(row, place->position, 1);
    }
    put(row, ",");
    put_direction(row, place->direction);
    put(row, ",");
}

static void make_row(struct text *row, const char *prefix, struct engine *e, uint32_t inspection,
                     const struct place *place, int64_t hours, int64_t tenths_warm, enum harm harm)
{
    const struct measured *m = &measured[place->feature];
    if (harm == UNKNOWN_UNIT && place->feature >= COMPRESSION) {
        harm = BLANK; /* any unit may be that of a feature of one's own: sound rows would be told */
    }
    int64_t size = true_size(e, place, hours) + scatter(&e->random, m->scatter) - m->zero;
    size += m->warm * tenths_warm / 10;
    int64_t least = m->leaf > 0 ? size / m->leaf * m->leaf : rounded(size, m->step);
    put_place(row, prefix, e->number, inspection, place);
    put_reading(row, least, m->decimals, harm);
    put(row, ",");
    if (m->leaf > 0) {
        put_size(row, least + m->leaf, m->decimals);
    }
    put(row, ",");
    if (m->zero > 0) {
        put_size(row, m->zero, 3);
    }
    put(row, ",");
    put(row, harm == UNKNOWN_UNIT ? "milimetre" : m->unit);
    put(row, ",");
    put(row, m->gauge);
    put(row, "\n");
}

/* ---- the other files ---- */

static void write_date(FILE *file, int64_t day)
{
    static const int months[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    int year = 1900;
    int month = 0;
    for (;; year++) {
        int length = 365 + (year % 4 == 0 && (year % 100 != 0 || year % 400 == 0));
        if (day < length) {
            break;
        }
        day -= length;
    }
    bool leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    while (day >= months[month] + (leap && month == 1)) {
        day -= months[month] + (leap && month == 1);
        month++;
    }
    (void)fprintf(file, "%d-%02d-%02d", year, month + 1, (int)day + 1);
}

static void write_text(const char *folder, const char *name, const char *text)
{
    FILE *file = open_file(folder, name);
    (void)fputs(text, file);
    close_file(file, name);
}

static const char shop_file[] = "# Invented figures: a fictional fleet, made by a program\n"
                                "key,value\n"
                                "name,Valley Fire Brigade fleet\n"
                                "confidence,0.95\n"
                                "rule,guarded\n";

static const char models_file[] =
    "# Invented figures: the engine model is fictional and so are its materials\n"
    "model,cylinder_material,piston_material,ring_material,pin_material,rod_material,"
    "run_in_hours,inspect_every_hours,reborable\n"
    "Alder 66,cast_iron,aluminium_high_si,cast_iron,steel,steel,5,150,yes\n";

static const char limits_file[] =
    "# Invented figures: limits of a fictional engine. Never use them for a real one\n"
    "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,source\n"
    "Alder 66,bore,,mm,66.000,66.020,,66.100,yes,brigade workshop sheet 7 (invented)\n"
    "Alder 66,out_of_round,,mm,,0.010,,0.030,yes,brigade workshop sheet 7 (invented)\n"
    "Alder 66,taper,,mm,,0.010,,0.050,yes,brigade workshop sheet 7 (invented)\n"
    "Alder 66,skirt,,mm,65.920,65.940,65.870,,yes,brigade workshop sheet 7 (invented)\n"
    "Alder 66,skirt_clearance,,mm,0.060,0.100,0.050,0.180,yes,brigade workshop sheet 7 "
    "(invented)\n"
    "Alder 66,end_gap,,mm,0.25,0.40,0.20,0.80,yes,brigade workshop sheet 7 (invented)\n"
    "Alder 66,side_clearance,1,mm,0.04,0.08,0.03,0.15,yes,brigade workshop sheet 7 (invented)\n"
    "Alder 66,side_clearance,2,mm,0.04,0.08,0.03,0.12,yes,brigade workshop sheet 7 (invented)\n"
    "Alder 66,pin,,mm,15.994,15.998,15.980,,yes,brigade workshop sheet 8 (invented)\n"
    "Alder 66,pin_bore,,mm,16.002,16.008,,16.025,yes,brigade workshop sheet 8 (invented)\n"
    "Alder 66,pin_clearance,,mm,0.004,0.014,0.000,0.035,yes,brigade workshop sheet 8 "
    "(invented)\n"
    "Alder 66,small_end_play,,mm,,0.020,,0.050,yes,brigade workshop sheet 8 (invented)\n";
static const char squish_limit[] =
    "Alder 66,squish,,mm,0.90,1.10,0.80,1.30,no,brigade workshop sheet 8 (invented)\n";
static const char compression_limit[] =
    "Alder 66,compression,,kPa,,,700,,no,brigade pump card (invented)\n";

static bool is_measured(const unsigned times[PLACES], enum feature feature)
{
    for (size_t i = 0; i < PLACES; i++) {
        if (places[i].feature == feature && times[i] > 0) {
            return true;
        }
    }
    return false;
}

/* A limit of something that nobody measures is warned of where it is no known quantity. */
static void write_limits(const char *folder, const unsigned times[PLACES])
{
    FILE *file = open_file(folder, "limits.csv");
    (void)fputs(limits_file, file);
    if (is_measured(times, SQUISH)) {
        (void)fputs(squish_limit, file);
    }
    if (is_measured(times, COMPRESSION)) {
        (void)fputs(compression_limit, file);
    }
    close_file(file, "limits.csv");
}

static void write_plan(const char *folder, const unsigned times[PLACES])
{
    FILE *file = open_file(folder, "plan.csv");
    (void)fputs("# Invented figures: the places to measure in the order they are measured\n"
                "model,feature,item,position,direction,repeats,instrument\n",
                file);
    for (size_t i = 0; i < PLACES; i++) {
        struct text row = {.length = 0};
        if (times[i] == 0) {
            continue;
        }
        put(&row, ",");
        if (places[i].position > 0) {
            put_fixed(&row, places[i].position, 1);
        }
        put(&row, ",");
        put_direction(&row, places[i].direction);
        (void)fprintf(file, "Alder 66,%s,%s%.*s,%u,%s\n", measured[places[i].feature].name,
                      places[i].item, (int)row.length, row.bytes, times[i],
                      measured[places[i].feature].gauge);
    }
    close_file(file, "plan.csv");
}

/* Every gauge is calibrated every second year, from before the first inspection to the last. */
static void write_instruments(const char *folder, int64_t last_day)
{
    static const char *const gauges[] = {
        "MIC-75,outside micrometer 50 to 75 mm,mm,0.001,0.002,0.001,11.5e-6,",
        "BG-66,comparator bore gauge set with MIC-75,mm,0.001,0.0015,0.001,,MIC-75",
        "MIC-25,outside micrometer 0 to 25 mm,mm,0.001,0.002,0.001,11.5e-6,",
        "BG-16,comparator small-bore gauge set with MIC-25,mm,0.001,0.0015,0.001,,MIC-25",
        "FEEL-01,feeler leaves,mm,,0.004,,,",
        "DTI-01,dial indicator with small-end fixture,mm,0.002,0.004,0.002,,",
        "CG-01,compression gauge,kPa,10,30,10,,",
    };
    const int64_t every = 730;
    FILE *file = open_file(folder, "instruments.csv");
    (void)fputs("# Invented figures: gauges with their calibration history\n"
                "instrument,description,unit,resolution,expanded_uncertainty,repeatability,"
                "expansion,set_with,calibrated,due\n",
                file);
    for (size_t i = 0; i < sizeof gauges / sizeof *gauges; i++) {
        for (int64_t day = FIRST_DAY - 60; day <= last_day; day += every) {
            (void)fprintf(file, "%s,", gauges[i]);
            write_date(file, day);
            (void)fputs(",", file);
            write_date(file, day + every);
            (void)fputs("\n", file);
        }
    }
    close_file(file, "instruments.csv");
}

/* ---- the fleet ---- */

struct fleet {
    struct plan plan;
    const char *folder;
    FILE *engines, *parts, *inspections;
    struct rows rows;
    unsigned times[PLACES];
    unsigned planned; /* readings of an inspection at the plan's places */
    int64_t last_day;
    uint64_t random;              /* for the damage */
    uint64_t prone_left, to_harm; /* rows */
    uint64_t harmed, engine_count;
};

static bool is_prone(uint32_t engine)
{
    return engine % PRONE == 0; /* engines count from 1 */
}

/* Draws so that the number of harmed rows comes out exactly. */
static enum harm draw_harm(struct fleet *f, uint32_t engine)
{
    if (!f->plan.damage || !is_prone(engine)) {
        return UNHARMED;
    }
    bool hit = next_random(&f->random) % f->prone_left < f->to_harm - f->harmed;
    f->prone_left--;
    f->harmed += hit;
    return hit ? (enum harm)between(&f->random, UNHARMED + 1, HARMS - 1) : UNHARMED;
}

static void read_place(struct fleet *f, struct engine *e, uint32_t inspection,
                       const struct place *place, int64_t hours, int64_t tenths_warm)
{
    struct text row;
    make_row(&row, f->plan.prefix, e, inspection, place, hours, tenths_warm,
             draw_harm(f, e->number));
    if (f->plan.shuffle) {
        hold_row(&f->rows, row.bytes, row.length);
    } else {
        write_row(&f->rows, row.bytes, row.length);
    }
}

static void write_stay(struct fleet *f, const struct engine *e, const char *kind, char letter,
                       unsigned number, int64_t fitted, int64_t removed)
{
    (void)fprintf(f->parts, "%sPS%u-%c%u,%s,%sPS-%u,%lld.%lld,", f->plan.prefix,
                  (unsigned)e->number, letter, number, kind, f->plan.prefix, (unsigned)e->number,
                  (long long)(fitted / 10), (long long)(fitted % 10));
    if (removed >= 0) {
        (void)fprintf(f->parts, "%lld.%lld", (long long)(removed / 10), (long long)(removed % 10));
    }
    (void)fputs("\n", f->parts);
}

/* At the end of an inspection: what is worn comes off. Below 0: the end of the engine's record. */
static void change_parts(struct fleet *f, struct engine *e, int64_t hours)
{
    bool end = hours < 0;
    if (end || hours - e->fitted_cylinder >= e->life_cylinder) {
        write_stay(f, e, "cylinder", 'C', e->cylinder, e->fitted_cylinder, hours);
        new_cylinder(e, hours);
    }
    if (end || hours - e->fitted_piston >= e->life_piston) {
        write_stay(f, e, "piston", 'K', e->piston, e->fitted_piston, hours);
        write_stay(f, e, "pin", 'P', e->piston, e->fitted_piston, hours);
        write_stay(f, e, "small_end_bearing", 'B', e->piston, e->fitted_piston, hours);
        new_piston(e, hours);
    }
    if (end || hours - e->fitted_rings >= e->life_rings) {
        write_stay(f, e, "ring_set", 'R', e->rings, e->fitted_rings, hours);
        new_rings(e, hours);
    }
}

static void make_inspection(struct fleet *f, struct engine *e, uint32_t inspection, int64_t day,
                            int64_t hours)
{
    int64_t tenths_warm = between(&e->random, -40, 40);
    int64_t temperature = 200 + tenths_warm;
    (void)fprintf(f->inspections, "%sPS-%u-%u,%sPS-%u,", f->plan.prefix, (unsigned)e->number,
                  (unsigned)inspection, f->plan.prefix, (unsigned)e->number);
    write_date(f->inspections, day);
    (void)fprintf(f->inspections, ",%lld.%lld,found,%lld.%lld\n", (long long)(hours / 10),
                  (long long)(hours % 10), (long long)(temperature / 10),
                  (long long)(temperature % 10));
    if (!f->plan.shuffle) {
        start_inspection(&f->rows);
    }
    for (size_t i = 0; i < PLACES; i++) {
        for (unsigned j = 0; j < f->times[i]; j++) {
            read_place(f, e, inspection, &places[i], hours, tenths_warm);
        }
    }
    for (unsigned i = 0; i + f->planned < f->plan.readings; i++) {
        struct place place = further_place(i);
        read_place(f, e, inspection, &place, hours, tenths_warm);
    }
    change_parts(f, e, hours);
}

static void make_engine(struct fleet *f, uint32_t number)
{
    struct engine e = new_engine(&f->plan, number);
    int64_t count = f->plan.inspections;
    int64_t closer = count > LIFE_INSPECTIONS ? count : LIFE_INSPECTIONS;
    int64_t day = FIRST_DAY + between(&e.random, 0, 700);
    int64_t hours = 0;
    (void)fprintf(f->engines, "%sPS-%u,Alder 66\n", f->plan.prefix, (unsigned)number);
    f->engine_count++;
    for (uint32_t i = 1; i <= f->plan.inspections; i++) {
        int64_t more = between(&e.random, 600, 1500) * LIFE_INSPECTIONS / closer;
        int64_t days = between(&e.random, 120, 300) * LIFE_INSPECTIONS / closer;
        hours += more > 1 ? more : 1;
        day += days > 1 ? days : 1;
        make_inspection(f, &e, i, day, hours);
    }
    change_parts(f, &e, -1);
    f->last_day = day > f->last_day ? day : f->last_day;
}

static void open_files(struct fleet *f)
{
    const struct plan *plan = &f->plan;
    uint64_t of_engine = (uint64_t)plan->inspections * plan->readings;
    uint64_t engines = plan->engines - (plan->spared ? plan->engines / PRONE : 0);
    f->rows = (struct rows){.folder = f->folder,
                            .files = plan->files,
                            .all_inspections = engines * plan->inspections,
                            .total = engines * of_engine};
    f->prone_left = plan->engines / PRONE * of_engine;
    f->to_harm = plan->engines * of_engine / DAMAGED;
    f->random = plan->seed ^ UINT64_C(0xda3a6ed);
    f->planned = share_readings(f->times, plan->readings);
    make_folder(f->folder, "");
    if (plan->files > 1) {
        make_folder(f->folder, "readings");
    }
    if (plan->shuffle) {
        f->rows.starts = calloc(f->rows.total + 1, sizeof *f->rows.starts);
        if (f->rows.starts == NULL) {
            give_up("out of memory", "readings");
        }
    }
    f->engines = open_file(f->folder, "engines.csv");
    f->parts = open_file(f->folder, "parts.csv");
    f->inspections = open_file(f->folder, "inspections.csv");
    (void)fputs("# Invented figures\nengine,model\n", f->engines);
    (void)fputs("# Invented figures\npart,kind,engine,fitted_hours,removed_hours\n", f->parts);
    (void)fputs("# Invented figures\ninspection,engine,date,hours,state,temperature\n",
                f->inspections);
}

static void make_fleet(struct fleet *f)
{
    open_files(f);
    for (uint32_t i = 1; i <= f->plan.engines; i++) {
        if (!f->plan.spared || !is_prone(i)) {
            make_engine(f, i);
        }
    }
    if (f->plan.shuffle) {
        write_shuffled(&f->rows, f->plan.seed);
    }
    close_file(f->rows.file, f->rows.name);
    close_file(f->engines, "engines.csv");
    close_file(f->parts, "parts.csv");
    close_file(f->inspections, "inspections.csv");
    write_text(f->folder, "shop.csv", shop_file);
    write_text(f->folder, "models.csv", models_file);
    write_limits(f->folder, f->times);
    write_plan(f->folder, f->times);
    write_instruments(f->folder, f->last_day);
    free(f->rows.held);
    free(f->rows.starts);
    uint64_t inspections = f->engine_count * f->plan.inspections;
    printf("%llu engines, %llu inspections, %llu readings, %llu of them damaged\n",
           (unsigned long long)f->engine_count, (unsigned long long)inspections,
           (unsigned long long)f->rows.count, (unsigned long long)f->harmed);
}

/* ---- the command line ---- */

static _Noreturn void refuse(const char *why)
{
    (void)fprintf(stderr,
                  "make_fleet: %s\n"
                  "usage: make_fleet [--seed N] [--engines N] [--inspections N] [--readings N]\n"
                  "                  [--files N] [--shuffle] [--damage] [--spared]\n"
                  "                  [--prefix TEXT] FOLDER\n",
                  why);
    exit(2);
}

static uint32_t number_of(const char *text)
{
    char *end = NULL;
    errno = 0;
    long long value = strtoll(text, &end, 10);
    if (errno != 0 || end == text || *end != '\0' || value < 1 || value > 100000000) {
        refuse("a number from 1 to 100000000 is wanted");
    }
    return (uint32_t)value;
}

/* Anything else might be a delimiter, a quote or a formula. */
static const char *prefix_of(const char *text)
{
    static const char letters[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    size_t length = strlen(text);
    if (length > PREFIX_MOST || strspn(text, letters) != length || text[0] == '-') {
        refuse("a prefix is up to 32 letters, digits, - and _, and begins with no -");
    }
    return text;
}

static struct plan read_options(int argc, char **argv)
{
    static const struct option options[] = {
        {"seed", required_argument, NULL, 's'},
        {"engines", required_argument, NULL, 'e'},
        {"inspections", required_argument, NULL, 'i'},
        {"readings", required_argument, NULL, 'r'},
        {"files", required_argument, NULL, 'f'},
        {"shuffle", no_argument, NULL, 'x'},
        {"damage", no_argument, NULL, 'd'},
        {"spared", no_argument, NULL, 'p'},
        {"prefix", required_argument, NULL, 'n'},
        {NULL, 0, NULL, 0},
    };
    struct plan plan = {
        .seed = 1, .engines = 20000, .inspections = 5, .readings = 40, .files = 1, .prefix = ""};
    int option = 0;
    while ((option = getopt_long(argc, argv, "", options, NULL)) != -1) {
        switch (option) {
        case 's': plan.seed = number_of(optarg); break;
        case 'e': plan.engines = number_of(optarg); break;
        case 'i': plan.inspections = number_of(optarg); break;
        case 'r': plan.readings = number_of(optarg); break;
        case 'f': plan.files = number_of(optarg); break;
        case 'x': plan.shuffle = true; break;
        case 'd': plan.damage = true; break;
        case 'p': plan.spared = true; break;
        case 'n': plan.prefix = prefix_of(optarg); break;
        default: refuse("unknown option");
        }
    }
    return plan;
}

int main(int argc, char **argv)
{
    struct fleet fleet = {.plan = read_options(argc, argv)};
    const struct plan *plan = &fleet.plan;
    uint64_t rows = (uint64_t)plan->engines * plan->inspections * plan->readings;
    if (optind + 1 != argc) {
        refuse("one folder is wanted");
    }
    if (plan->damage && (plan->spared || plan->engines < PRONE)) {
        refuse("--damage wants 20 engines or more, and not --spared");
    }
    if (plan->inspections > 40000 || rows > UINT32_MAX) {
        refuse("more than 40000 inspections of an engine, or 4294967295 readings");
    }
    uint64_t kept = plan->engines - (plan->spared ? plan->engines / PRONE : 0);
    if (plan->files > kept * plan->inspections || (plan->files > 1 && plan->shuffle)) {
        refuse("there are fewer inspections than files, or --shuffle is for one file");
    }
    fleet.folder = argv[optind];
    make_fleet(&fleet);
    return 0;
}
