/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A random engine as the files of a shop. */
#ifndef TE_BRUTE_FILES_H
#define TE_BRUTE_FILES_H

#include "brute_shop.h"

typedef struct files {
    te_grown shop, engines, models, limits, instruments, parts, inspections, readings, conditions,
        spares, plan;
} files;

static inline void files_free(files *f)
{
    te_grown *const all[] = {&f->shop,        &f->engines, &f->models,      &f->limits,
                             &f->instruments, &f->parts,   &f->inspections, &f->readings,
                             &f->conditions,  &f->spares,  &f->plan};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        te_grown_free(all[i]);
}

/* A cell and the comma before it; blank for NAN. 15 digits are as many as a cell may have. */
static inline void add_number(te_grown *out, double number)
{
    te_grown_add(out, isnan(number) ? "," : ",%.15g", number);
}

static inline void write_heads(files *f)
{
    te_grown_add(&f->shop, "key,value\n");
    te_grown_add(&f->engines, "engine,model\nE1,M\n");
    te_grown_add(&f->models, "model,cylinder_material,piston_material,reborable\n");
    te_grown_add(&f->limits, "model,quantity,item,unit,required,source,"
                             "new_min,new_max,service_min,service_max\n");
    te_grown_add(&f->instruments,
                 "instrument,set_with,resolution,expanded_uncertainty,repeatability\n");
    te_grown_add(&f->parts, "part,kind,engine,fitted_hours,removed_hours,oversize\n");
    te_grown_add(&f->inspections,
                 "inspection,engine,date,hours,state,temperature,temperature_uncertainty\n");
    te_grown_add(&f->readings, "inspection,feature,part,item,instrument,position,direction,"
                               "reading,reading_2,reading_3,no_go,zero\n");
    te_grown_add(&f->conditions, "inspection,part,finding,severity\n");
    te_grown_add(&f->spares, "spare,kind,model,feature,item,size,tolerance,oversize,price\n");
    te_grown_add(&f->plan, "model,feature,item,position,direction\n");
}

/* The materials change nothing at 20 degrees that are known to be 20. */
static inline void write_model(files *f, const engine_case *e)
{
    te_grown_add(&f->models, "M,aluminium,aluminium_high_si,%s\n", e->reborable ? "yes" : "no");
    te_grown_add(&f->shop, "confidence,%.15g\n", e->confidence);
}

static inline void write_limit(files *f, const bounds *l, const char *quantity)
{
    te_grown_add(&f->limits, "M,%s,%s,%s,%s,invented", quantity, l->item, l->inches ? "in" : "mm",
                 l->required ? "yes" : "no");
    for (size_t i = 0; i < 4; i++)
        add_number(&f->limits, l->at[i]);
    te_grown_add(&f->limits, "\n");
}

static inline void write_gauges(files *f, const engine_case *e)
{
    for (size_t i = 0; i < GAUGES && e->declared; i++) {
        const gauge *g = &e->gauges[i];
        te_grown_add(&f->instruments, "G%zu,%s", i, g->on_first ? "G0" : "");
        add_number(&f->instruments, g->resolution);
        add_number(&f->instruments, g->expanded);
        add_number(&f->instruments, g->repeatability);
        te_grown_add(&f->instruments, "\n");
    }
}

static inline void write_part(files *f, const char *name, te_kind kind, const char *hours,
                              double oversize)
{
    te_grown_add(&f->parts, "%s,%s,E1,%s", name, te_kind_name(kind), hours);
    add_number(&f->parts, oversize != 0.0 ? oversize : NAN);
    te_grown_add(&f->parts, "\n");
}

static inline void write_visit(files *f, const engine_case *e, const char *name, const char *day,
                               double hours)
{
    te_grown_add(&f->inspections, "%s,E1,%s,%.15g,found,20,0\n", name, day,
                 e->rateless ? 0.0 : hours);
}

static inline void write_taken(files *f, const char *inspection, const char *part, const taken *r,
                               double less)
{
    te_grown_add(&f->readings, "%s,%s,%s,%s,", inspection, r->feature, part, r->item);
    if (r->gauge >= 0)
        te_grown_add(&f->readings, "G%d", r->gauge);
    add_number(&f->readings, r->position);
    add_number(&f->readings, r->direction);
    double zero = isnan(r->zero) ? 0 : r->zero;
    for (int i = 0; i < 3; i++)
        add_number(&f->readings, i < r->repeats ? round_to(r->size[i] - less - zero, 1e-7) : NAN);
    add_number(&f->readings, round_to(r->no_go - less - zero, 1e-7));
    add_number(&f->readings, r->zero);
    te_grown_add(&f->readings, "\n");
}

static inline void write_seen(files *f, const engine_case *e, const seen *c)
{
    const char *part = c->kind == TE_KIND_OTHER ? "X1" : te_kind_name(c->kind);
    (void)e;
    te_grown_add(&f->conditions, "%s,%s,streaks,%s\n", c->earlier ? "A" : "B", part, c->severity);
}

static inline void write_spares(files *f, const engine_case *e)
{
    for (size_t i = 0; i < e->spare_count; i++) {
        const shelf *s = &e->spares[i];
        te_grown_add(&f->spares, "%s,%s,M,%s,%s", s->name, te_kind_name(s->kind),
                     s->feature == NULL ? "" : s->feature, s->item);
        add_number(&f->spares, s->size);
        add_number(&f->spares, s->tolerance);
        add_number(&f->spares, s->oversize);
        add_number(&f->spares, s->price);
        te_grown_add(&f->spares, "\n");
    }
}

static inline void write_plan(files *f, const engine_case *e)
{
    for (size_t i = 0; i < e->plan_count; i++) {
        const place *p = &e->plan[i];
        te_grown_add(&f->plan, "M,%s,%s", p->feature, p->item);
        add_number(&f->plan, p->position);
        add_number(&f->plan, p->direction);
        te_grown_add(&f->plan, "\n");
    }
}

/* The part cell of a reading: needed for features of the user's own alone. */
static inline const char *part_cell(const engine_case *e, const taken *r)
{
    bool own = feature_named(r->feature)->own && r->kind != TE_KIND_OTHER;
    return own ? e->part[r->kind] : "";
}

static inline void write_parts(files *f, const engine_case *e)
{
    for (int kind = 0; kind < PART_KINDS; kind++) {
        bool changed = kind == TE_KIND_PISTON && e->piston_changed;
        if (changed)
            write_part(f, "P1-0", TE_KIND_PISTON, "0,100", 0);
        if (e->listed[kind])
            write_part(f, e->part[kind], (te_kind)kind, changed ? "100," : "0,", e->oversize[kind]);
    }
    write_part(f, "X1", TE_KIND_OTHER, "0,", 0);
}

/* The inspection that options are asked for is B; A comes before it, with some of its readings. */
static inline void write_case(files *f, const engine_case *e)
{
    write_heads(f);
    write_model(f, e);
    te_grown_add(&f->shop, "rule,%s\n", e->simple && e->declared ? "simple" : "guarded");
    for (size_t i = 0; i < e->limit_count; i++)
        write_limit(f, &e->limits[i], e->limits[i].quantity);
    write_gauges(f, e);
    write_parts(f, e);
    if (e->earlier)
        write_visit(f, e, "A", "2026-01-01", 60);
    write_visit(f, e, "B", "2026-02-01", 150);
    for (size_t i = 0; i < e->row_count; i++) {
        const taken *r = &e->rows[i];
        double less = is_word(r->feature, "end_gap") ? 0.01
                      : is_word(r->feature, "bore")  ? 0.004
                                                     : 0;
        if (e->earlier && !feature_named(r->feature)->own && i % 5 != 3)
            write_taken(f, "A", "", r, less);
        write_taken(f, "B", part_cell(e, r), r, 0);
    }
    for (size_t i = 0; i < e->condition_count; i++)
        write_seen(f, e, &e->conditions[i]);
    write_spares(f, e);
    write_plan(f, e);
}

static inline void read_files(te_made_shop *made, const files *f)
{
    const te_shop_file all[] = {{"shop.csv", f->shop.text},
                                {"engines.csv", f->engines.text},
                                {"models.csv", f->models.text},
                                {"limits.csv", f->limits.text},
                                {"instruments.csv", f->instruments.text},
                                {"parts.csv", f->parts.text},
                                {"inspections.csv", f->inspections.text},
                                {"readings.csv", f->readings.text},
                                {"condition.csv", f->conditions.text},
                                {"spares.csv", f->spares.text},
                                {"plan.csv", f->plan.text},
                                {NULL, NULL}};
    te_made_read(made, all, NULL);
}

#endif
