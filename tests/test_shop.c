/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shops from memory: what every column becomes, and what the tables are brought together to. */
#include "shop_kit.h"

#define LIMITS_HEAD \
    "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,source\n"
#define READ_HEAD                                                                                  \
    "inspection,feature,part,item,position,direction,reading,reading_2,reading_3,no_go,zero,unit," \
    "instrument,note\n"

/* The four files that every shop has; a test puts others beside or in their place. */
static kit small_shop(void)
{
    kit k = {.count = 0};
    kit_text(&k, "engines.csv", "engine,model\nPS-41,Alder 66\nPS-42,Alder 66\n");
    kit_text(&k, "limits.csv",
             LIMITS_HEAD "Alder 66,bore,,mm,66.000,66.022,,66.104,,leaf 4\n"
                         "Alder 66,skirt,,mm,65.921,65.943,65.872,,,leaf 4\n");
    kit_text(&k, "inspections.csv",
             "inspection,engine,date,hours,state,temperature\n"
             "J-1,PS-41,2025-03-11,57.3,found,21.4\nJ-2,PS-42,2025-05-02,31.7,found,19.2\n");
    kit_text(&k, "readings.csv", READ_HEAD "J-1,bore,,,10,thrust,66.017,,,,,,,\n");
    return k;
}

static void the_least_shop_has_defaults(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_read(&k);
    kit_expect(&k, "");
    assert_near(k.t->confidence, 0.95, 0);
    assert_int_equal(k.t->rule, TE_RULE_SIMPLE);
    assert_true(k.t->simple_for_lack);
    assert_int_equal(k.t->date_order, TE_DATE_NONE);
    assert_int_equal(k.t->name, 0);
    assert_int_equal(k.t->engine_count, 2);
    assert_int_equal(k.t->model_count, 1);
    assert_int_equal(k.t->file_count, 4);
    assert_true(isnan(k.t->models[0].run_in_hours) && isnan(k.t->models[0].inspect_every_hours));
    assert_false(k.t->models[0].declared || k.t->models[0].reborable);
    for (int kind = 0; kind < TE_KIND_NONE; kind++)
        assert_true(isnan(k.t->models[0].expansion[kind]));
    const te_reading *r = kit_reading(&k, "readings.csv", 2, 0);
    assert_true(isnan(r->setup->no_go) && isnan(r->setup->zero));
    assert_int_equal(r->setup->instrument, 0);
    assert_int_equal(r->setup->unit, TE_UNIT_MM);
    assert_string_equal(te_shop_text(k.shop, r->part), "PS-41/cylinder");
    assert_true(k.t->limits[0].required);
    kit_free(&k);
}

static void shop_csv_is_read(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "shop.csv",
             "Value,KEY\nValley fire brigade,Name\n\"Mill lane 7, upper hall\",address\n"
             "0.9731,confidence\nSimple,rule\nCHF,currency\nMDY,date_order\n");
    kit_text(&k, "instruments.csv", "instrument\nMIC-75\n");
    kit_read(&k);
    kit_expect(&k, "");
    assert_string_equal(te_shop_text(k.shop, k.t->name), "Valley fire brigade");
    assert_string_equal(te_shop_text(k.shop, k.t->address), "Mill lane 7, upper hall");
    assert_string_equal(te_shop_text(k.shop, k.t->currency), "CHF");
    assert_near(k.t->confidence, 0.9731, 0);
    assert_int_equal(k.t->rule, TE_RULE_SIMPLE);
    assert_false(k.t->simple_for_lack);
    assert_int_equal(k.t->date_order, TE_DATE_MDY);
    kit_free(&k);
}

static void models_and_engines_are_read(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "engines.csv",
             "engine,model,note\nPS-41,Alder 66,\"hall 3, left\"\nPS-42,Alder 66,\n");
    kit_text(&k, "models.csv",
             "model,cylinder_material,piston_material,ring_material,pin_material,rod_material,"
             "run_in_hours,inspect_every_hours,reborable,note\n"
             "Alder 66,Cast_Iron,aluminium_high_si,,steel,12.3e-6,4.5,148,YES,invented\n");
    kit_read(&k);
    kit_expect(&k, "");
    const te_model *m = &k.t->models[0];
    assert_near(m->expansion[TE_KIND_CYLINDER], 11e-6, 0);
    assert_near(m->expansion[TE_KIND_PISTON], 18.5e-6, 0);
    assert_true(isnan(m->expansion[TE_KIND_RING_SET]));
    assert_near(m->expansion[TE_KIND_PIN], 11.5e-6, 0);
    assert_near(m->expansion[TE_KIND_ROD], 12.3e-6, 0);
    assert_true(isnan(m->expansion[TE_KIND_HEAD]));
    assert_near(m->run_in_hours, 4.5, 0);
    assert_near(m->inspect_every_hours, 148, 0);
    assert_true(m->reborable && m->declared && m->has_engine);
    assert_string_equal(te_shop_text(k.shop, m->note), "invented");
    const te_engine *e = &k.t->engines[kit_engine(&k, "PS-41")];
    assert_string_equal(te_shop_text(k.shop, e->note), "hall 3, left");
    assert_int_equal(e->origin.line, 2);
    assert_int_equal(e->inspection_count, 1);
    kit_free(&k);
}

static void aluminium_is_aluminium(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "models.csv", "model,piston_material\nAlder 66,aluminium\n");
    kit_read(&k);
    kit_expect(&k, "");
    assert_near(k.t->models[0].expansion[TE_KIND_PISTON], 22e-6, 0);
    kit_free(&k);
}

static void limits_are_read_in_their_units(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "limits.csv",
             LIMITS_HEAD "Alder 66,bore,,in,2.5985,2.5993,,2.6025,yes,leaf 4\n"
                         "Alder 66,skirt_clearance,,thou,2.3,3.1,,5.7,NO,leaf 4\n"
                         "Alder 66,end_gap,2,um,250,450,,870,,leaf 5\n"
                         "Alder 66,pin_bore,Left,mm,15.999,16.011,,16.031,,leaf 5\n"
                         "Alder 66,Kompression,,kPa,820,960,700,,,leaf 6\n");
    kit_read(&k);
    kit_expect(
        &k, "limits.csv:6: quantity: warning: no reading and no plan names \"kompression\"; check "
            "that it is spelt as there\n");
    const te_limit *l = k.t->limits;
    assert_int_equal(k.t->limit_count, 5);
    assert_int_equal(l[0].unit, TE_UNIT_IN);
    assert_near(l[0].new_min, 66.0019, 1e-12);
    assert_near(l[0].service_max, 66.1035, 1e-12);
    assert_true(isnan(l[0].service_min));
    assert_near(l[1].new_max, 0.07874, 1e-15);
    assert_false(l[1].required);
    assert_near(l[2].service_max, 0.87, 1e-15);
    assert_string_equal(te_shop_text(k.shop, l[2].item), "2");
    assert_string_equal(te_shop_text(k.shop, l[3].item), "left");
    assert_int_equal(l[4].quantity, TE_Q_OWN);
    assert_string_equal(te_shop_quantity_name(k.shop, l[4].quantity), "kompression");
    assert_int_equal(l[4].unit, TE_UNIT_OWN);
    assert_string_equal(te_shop_text(k.shop, l[4].unit_text), "kPa");
    assert_near(l[4].new_min, 820, 0);
    assert_string_equal(te_shop_text(k.shop, l[4].source), "leaf 6");
    kit_free(&k);
}

static void limits_belong_to_items_and_models(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "engines.csv", "engine,model\nPS-41,Alder 66\nPS-42,Birch 40\n");
    kit_text(&k, "limits.csv",
             LIMITS_HEAD "Birch 40,end_gap,,mm,,,,0.61,,a\n"
                         "Alder 66,end_gap,2,mm,,,,0.72,,b\n"
                         "Birch 40,end_gap,1,mm,,,,0.63,,c\n"
                         "Alder 66,end_gap,,mm,,,,0.74,,d\n"
                         "Alder 66,bore,,mm,66.000,66.022,,,,e\n");
    kit_read(&k);
    kit_expect(&k, "");
    uint32_t alder = k.t->engines[kit_engine(&k, "PS-41")].model;
    uint32_t birch = k.t->engines[kit_engine(&k, "PS-42")].model;
    te_id one = kit_id(&k, "1"), two = kit_id(&k, "2");
    static const double expected[4] = {0.74, 0.72, 0.63, 0.61};
    const uint32_t found[4] = {te_shop_limit(k.shop, alder, TE_Q_END_GAP, one),
                               te_shop_limit(k.shop, alder, TE_Q_END_GAP, two),
                               te_shop_limit(k.shop, birch, TE_Q_END_GAP, one),
                               te_shop_limit(k.shop, birch, TE_Q_END_GAP, two)};
    for (size_t i = 0; i < 4; i++)
        assert_near(k.t->limits[found[i]].service_max, expected[i], 0);
    assert_int_equal(te_shop_limit(k.shop, birch, TE_Q_BORE, 0), TE_NO_INDEX);
    assert_int_equal(k.t->models[alder].limit_count, 3);
    kit_free(&k);
}

static void instruments_are_read(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "instruments.csv",
             "instrument,description,unit,resolution,expanded_uncertainty,repeatability,expansion,"
             "set_with,calibrated,due\n"
             "BG-71,comparator,thou,0.05,0.13,0.07,,MIC-72,,\n"
             "MIC-72,micrometer,,0.001,0.0027,0.000,10.8e-6,,14.01.2025,2027/01/14\n"
             "GAU-74,,bar,0.05,0.22,,,,,\n");
    kit_read(&k);
    kit_expect(&k, "");
    uint32_t bg = te_shop_calibration(k.shop, kit_id(&k, "BG-71"), 20000);
    const te_instrument *g = &k.t->instruments[bg];
    assert_near(g->resolution, 0.00127, 1e-18);
    assert_near(g->expanded_uncertainty, 0.003302, 1e-17);
    assert_near(g->repeatability, 0.001778, 1e-17);
    assert_true(isnan(g->expansion));
    assert_string_equal(te_shop_text(k.shop, g->set_with), "MIC-72");
    assert_int_equal(g->calibrated, TE_NO_DATE);
    g = &k.t->instruments[te_shop_calibration(k.shop, kit_id(&k, "MIC-72"), 20200)];
    assert_near(g->expansion, 10.8e-6, 0);
    assert_near(g->repeatability, 0, 0);
    assert_int_equal(g->due - g->calibrated, 730);
    assert_string_equal(te_shop_text(k.shop, g->description), "micrometer");
    g = &k.t->instruments[te_shop_calibration(k.shop, kit_id(&k, "GAU-74"), 20200)];
    assert_int_equal(g->unit, TE_UNIT_OWN);
    assert_near(g->resolution, 0.05, 0);
    assert_int_equal(te_shop_calibration(k.shop, kit_id(&k, "PS-41"), 20200), TE_NO_INDEX);
    assert_int_equal(k.t->rule, TE_RULE_GUARDED);
    kit_free(&k);
}

/* The latest calibration not after the day; the earliest where all are later. */
static void the_calibration_of_the_day_is_taken(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "instruments.csv",
             "instrument,expanded_uncertainty,calibrated\n"
             "A-1,0.0011,2025-01-01\n"
             "MIC-72,0.0033,2025-03-01\nMIC-72,0.0031,2021-06-15\nMIC-72,0.0032,2023-02-10\n"
             "Z-9,0.0019,2020-01-01\n");
    kit_read(&k);
    kit_expect(&k, "");
    static const struct {
        const char *day;
        double expanded;
    } cases[] = {{"2020-01-01", 0.0031}, {"2021-06-14", 0.0031}, {"2021-06-15", 0.0031},
                 {"2023-02-09", 0.0031}, {"2023-02-10", 0.0032}, {"2025-02-28", 0.0032},
                 {"2025-03-01", 0.0033}, {"2199-12-31", 0.0033}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_date date = 0;
        te_date_parse(&date, (te_slice){cases[i].day, 10}, TE_DATE_NONE);
        uint32_t row = te_shop_calibration(k.shop, kit_id(&k, "MIC-72"), date);
        assert_near(k.t->instruments[row].expanded_uncertainty, cases[i].expanded, 0);
    }
    uint32_t row = te_shop_calibration(k.shop, kit_id(&k, "A-1"), TE_NO_DATE);
    assert_near(k.t->instruments[row].expanded_uncertainty, 0.0011, 0);
    kit_free(&k);
}

static void inspections_are_read_and_ordered(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "inspections.csv",
             "inspection,engine,date,hours,state,temperature,temperature_uncertainty,by,note\n"
             "J-3,PS-41,2025-09-25,118.4,Built,18.9,0.35,M.,\"new piston\"\n"
             "J-2,PS-41,2025-09-24,118.4,found,-3.5,0.5,,\n"
             "K-1,PS-42,2025-01-01,0,,21,,,\n"
             "J-1,PS-41,11.3.2025,57.25,FOUND,21.4,,,\n"
             "J-2b,PS-41,2025-09-24,118.4,found,22,,,\n");
    kit_read(&k);
    kit_expect(&k, "");
    static const char *const order[] = {"J-1", "J-2", "J-2b", "J-3"};
    const te_engine *e = &k.t->engines[kit_engine(&k, "PS-41")];
    assert_int_equal(e->inspection_count, 4);
    for (uint32_t i = 0; i < 4; i++)
        assert_string_equal(
            te_shop_text(k.shop, k.t->inspections[k.t->by_engine[e->first_inspection + i]].id),
            order[i]);
    const te_inspection *j3 = kit_inspection(&k, "J-3");
    assert_int_equal(j3->state, TE_STATE_BUILT);
    assert_near(j3->hours, 118.4, 0);
    assert_near(j3->temperature, 18.9, 0);
    assert_near(j3->temperature_uncertainty, 0.35, 0);
    assert_string_equal(te_shop_text(k.shop, j3->by), "M.");
    assert_string_equal(te_shop_text(k.shop, j3->note), "new piston");
    assert_int_equal(j3->date, kit_inspection(&k, "J-2")->date + 1);
    assert_int_equal(kit_inspection(&k, "K-1")->state, TE_STATE_NONE);
    assert_true(isnan(kit_inspection(&k, "K-1")->temperature_uncertainty));
    kit_free(&k);
}

static void readings_are_read_in_their_units(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(
        &k, "readings.csv",
        "inspection,feature,part,item,position,direction,reading,reading_2,reading_3,reading_4,"
        "reading_5,no_go,zero,unit,instrument,note\n"
        "J-1,Bore,,,0.41,Thrust,0.7,0.75,-0.1,0.65,0.8,,2.5984,thou,BG-71,first\n"
        "J-1,skirt,,,12.5,PIN,2.5961,,,,,,,in,,\n"
        "J-1,end_gap,,1,61.5,,350,,,,,400,,\xc2\xb5m,,\n"
        "J-1,end_gap,,2,61.5,,0.35,,,,,0.4,,,,\n"
        "J-1,Tilt Of Deck,,rear,,,-0.25,,,,,,,Deg,,\n"
        "J-1,bore,,,30,127.5,66.0312,,,,,,,,,\n");
    kit_read(&k);
    kit_expect(&k, "");
    static const double thous[5] = {0.7, 0.75, -0.1, 0.65, 0.8};
    for (unsigned n = 0; n < 5; n++) {
        const te_reading *r = kit_reading(&k, "readings.csv", 2, n);
        assert_near(r->value, thous[n] * 0.0254, 1e-17);
        assert_near(r->setup->zero, 65.99936, 1e-13);
        assert_near(r->setup->position, 10.414, 1e-14);
        assert_near(r->setup->direction, 0, 0);
        assert_int_equal(r->repeat, n + 1);
        assert_int_equal(r->decimals, n == 1 || n == 3 ? 2 : 1);
        assert_near(te_reading_size(r), 65.99936 + thous[n] * 0.0254, 1e-13);
    }
    const te_reading *r = kit_reading(&k, "readings.csv", 2, 0);
    assert_string_equal(te_shop_text(k.shop, r->setup->note), "first");
    assert_string_equal(te_shop_text(k.shop, r->setup->instrument), "BG-71");
    r = kit_reading(&k, "readings.csv", 3, 0);
    assert_near(r->value, 65.94094, 1e-12);
    assert_near(r->setup->position, 317.5, 1e-12); /* inches beside a reading in inches */
    assert_near(r->setup->direction, 90, 0);
    r = kit_reading(&k, "readings.csv", 4, 0);
    assert_near(te_reading_size(r), 0.375, 1e-15);
    assert_near(r->setup->no_go, 0.4, 1e-16);
    assert_near(r->setup->position, 61.5, 0); /* mm beside a reading in micrometres */
    assert_string_equal(te_shop_text(k.shop, r->setup->item), "1");
    r = kit_reading(&k, "readings.csv", 6, 0);
    assert_string_equal(te_shop_quantity_name(k.shop, r->setup->feature), "tilt of deck");
    assert_string_equal(te_shop_text(k.shop, r->setup->unit_text), "Deg");
    assert_string_equal(te_shop_text(k.shop, r->setup->item), "rear");
    assert_string_equal(te_shop_text(k.shop, r->part), "PS-41/other");
    assert_near(r->value, -0.25, 0);
    assert_near(kit_reading(&k, "readings.csv", 7, 0)->setup->direction, 127.5, 0);
    assert_int_equal(k.t->own_count, 1);
    assert_true(k.t->own[0].in_readings && !k.t->own[0].in_limits && !k.t->own[0].in_plan);
    kit_free(&k);
}

static void condition_plan_and_spares_are_read(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "parts.csv", "part,kind,engine,fitted_hours\nPST-A,piston,PS-41,0\n");
    kit_text(&k, "condition.csv",
             "inspection,part,finding,severity\nJ-2,head,cracked,Reject\nJ-1,PST-A,scuffed,watch\n"
             "J-1,Cylinder,clean,note\n");
    kit_text(&k, "plan.csv",
             "model,feature,item,position,direction,repeats,instrument\n"
             "Alder 66,bore,,10.5,thrust,3,BG-71\nAlder 66,squish,front,,,,\n");
    kit_text(&k, "spares.csv",
             "spare,kind,model,feature,item,size,tolerance,unit,oversize,price,note\n"
             "SP-1,piston,Alder 66,skirt,,2.6059,0.0002,in,0.01,84.25,graded\n"
             "SP-1,piston,Alder 66,pin_bore,left,16.004,0.003,,,,\n"
             "SP-2,small_end_bearing,Alder 66,,,,,,,11.5,\n");
    kit_read(&k);
    kit_expect(
        &k, "spares.csv:2: size: warning: the size is outside the as-new limits of its oversize; "
            "check the digits and the oversize\n");
    const te_inspection *j1 = kit_inspection(&k, "J-1");
    assert_int_equal(j1->condition_count, 2);
    const te_condition *c = &k.t->conditions[j1->first_condition];
    assert_int_equal(c[0].kind, TE_KIND_PISTON);
    assert_string_equal(te_shop_text(k.shop, c[0].part), "PST-A");
    assert_int_equal(c[0].severity, TE_WATCH);
    assert_string_equal(te_shop_text(k.shop, c[0].finding), "scuffed");
    assert_string_equal(te_shop_text(k.shop, c[1].part), "PS-41/cylinder");
    assert_int_equal(c[1].severity, TE_NOTE);
    c = &k.t->conditions[kit_inspection(&k, "J-2")->first_condition];
    assert_string_equal(te_shop_text(k.shop, c->part), "PS-42/head");
    assert_int_equal(c->severity, TE_REJECT);
    assert_int_equal(k.t->models[0].plan_count, 2);
    assert_near(k.t->plan[0].position, 10.5, 0);
    assert_near(k.t->plan[0].direction, 0, 0);
    assert_int_equal(k.t->plan[0].repeats, 3);
    assert_string_equal(te_shop_text(k.shop, k.t->plan[0].instrument), "BG-71");
    assert_true(isnan(k.t->plan[1].position) && isnan(k.t->plan[1].direction));
    assert_int_equal(k.t->plan[1].repeats, 1);
    assert_string_equal(te_shop_text(k.shop, k.t->plan[1].item), "front");
    assert_int_equal(k.t->spare_count, 3);
    assert_near(k.t->spares[0].size, 66.18986, 1e-12);
    assert_near(k.t->spares[0].tolerance, 0.00508, 1e-17);
    assert_near(k.t->spares[0].oversize, 0.01, 0);
    assert_near(k.t->spares[0].price, 84.25, 0);
    assert_int_equal(k.t->spares[1].feature, TE_Q_PIN_BORE);
    assert_true(isnan(k.t->spares[2].size) && k.t->spares[2].feature == TE_Q_NONE);
    kit_free(&k);
}

/* ---- dialects ---- */

static void dialects_read_alike(void **state)
{
    (void)state;
    static const char *const readings[] = {
        "inspection,feature,position,direction,reading,note\nJ-1,bore,10.5,thrust,66.0173,x y\n",
        "inspection;feature;position;direction;reading;note\r\nJ-1;bore;10,5;thrust;66,0173;x "
        "y\r\n",
        "inspection;feature;position;direction;reading;note\rJ-1;bore;10.5;thrust;66.0173;x y\r",
        "inspection\tfeature\tposition\tdirection\treading\tnote\nJ-1\tbore\t10,5\tthrust\t66,"
        "0173\tx y",
        "\xef\xbb\xbf\"inspection\",\"feature\",\"position\",\"direction\",\"reading\",\"note\"\n"
        "\"J-1\",\"bore\",\"10.5\",\"thrust\",\"66.0173\",\"x y\"\n",
        "sep=;\ninspection;feature;position;direction;reading;note\nJ-1;bore;10,5;thrust;66,0173;x "
        "y\n",
        "\"sep=\t\"\ninspection\tfeature\tposition\tdirection\treading\tnote\n"
        "J-1\tbore\t10,5\tthrust\t66,0173\tx y\n",
        "sep=\t\ninspection\tfeature\tposition\tdirection\treading\tnote\n"
        "J-1\tbore\t10,5\tthrust\t66,0173\tx y\n",
        "#;made "
        "up\ninspection;feature;position;direction;reading;note\nJ-1;bore;10,5;thrust;66,0173;x "
        "y\n",
        "#\tmade up\ninspection\tfeature\tposition\tdirection\treading\tnote\n"
        "J-1\tbore\t10,5\tthrust\t66,0173\tx y\n",
        "\n# invented; figures\n;;;;;;\n NOTE ;Reading;direction; Position;FEATURE;Inspection;;\n"
        ";;;;\n\xc2\xa0x y\xc2\xa0; 66,0173 ;thrust;10,5;bore;J-1;;;\n#;;;\n",
        "inspection,feature,position,direction,reading,reading_2,note\nJ-1,bore,10.5,thrust,66."
        "0173,,x y\n",
        "inspection,feature,note,position,direction,reading,part,item\nJ-1,bore,x "
        "y,10.5,0,6.60173E+01\n",
    };
    for (size_t i = 0; i < sizeof readings / sizeof *readings; i++) {
        kit k = small_shop();
        kit_text(&k, "readings.csv", readings[i]);
        kit_read(&k);
        kit_expect(&k, "");
        assert_int_equal(k.t->reading_count, 1);
        const te_reading *r = &k.t->readings[0];
        assert_near(r->value, 66.0173, 0);
        assert_near(r->setup->position, 10.5, 0);
        assert_near(r->setup->direction, 0, 0);
        assert_string_equal(te_shop_text(k.shop, r->setup->note), "x y");
        kit_free(&k);
    }
}

static void lines_are_counted_past_sep_and_breaks(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "readings.csv",
             "sep=;\r\n\r\n\"note\r\n(of the day)\";inspection;feature;reading\r\n"
             "\"two\r\nlines\";J-1;bore;66,0173\r\n\r\n;J-1;bore;66.0174\r\n");
    kit_read(&k);
    kit_expect(&k,
               "readings.csv:3: warning: the column \"note\\x0D\\x0A(of the day)\" is not known "
               "and is not read; take it out, or use note\n"
               "readings.csv:8: reading: error: \"66.0174\" has another decimal mark than line 5; "
               "use one decimal mark in the whole file\n");
    kit_free(&k);
}

static void ids_are_taken_as_written(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "engines.csv",
             "engine,model\n007,Alder 66\n7,Alder 66\nPS-a,Alder 66\nPS-A,Alder 66\n"
             "1e3,Alder 66\n\xc3\x84-1,Alder 66\n");
    kit_text(&k, "inspections.csv",
             "inspection,engine,date,hours,temperature\nJ-1,007,2025-03-11,5,20\n"
             "j-1,PS-a,2025-03-11,5,20\nJ-2,\xc3\x84-1,2025-03-11,5,20\n");
    kit_read(&k);
    kit_expect(&k, "");
    assert_int_equal(k.t->engine_count, 6);
    assert_int_equal(kit_inspection(&k, "J-1")->engine, kit_engine(&k, "007"));
    assert_int_equal(kit_inspection(&k, "j-1")->engine, kit_engine(&k, "PS-a"));
    kit_free(&k);
}

static void dates_follow_the_order_of_the_shop(void **state)
{
    (void)state;
    te_date dates[2];
    static const char *const orders[] = {"key,value\ndate_order,dmy\n",
                                         "key,value\ndate_order,mdy\n"};
    for (size_t i = 0; i < 2; i++) {
        kit k = small_shop();
        kit_text(&k, "shop.csv", orders[i]);
        kit_text(&k, "inspections.csv",
                 "inspection,engine,date,hours,temperature\nJ-1,PS-41,03/07/2025,57.3,21.4\n");
        kit_read(&k);
        kit_expect(&k, "");
        dates[i] = kit_inspection(&k, "J-1")->date;
        kit_free(&k);
    }
    assert_int_equal(dates[0] - dates[1], 118); /* 3 July, 7 March */
}

/* ---- parts by history ---- */

static const char parts_csv[] =
    "part,kind,engine,fitted_hours,removed_hours,hours_before,oversize\n"
    "PST-A,piston,PS-41,20,118.4,,\n"
    "PST-B,piston,PS-41,118.4,160,33.5,0.25\n"
    "PST-A,piston,PS-41,160,,98.4,\n"
    "CYL-B,cylinder,PS-42,?,,,\n"
    "PIN-A,pin,PS-42,0,10,?,\n"
    "PIN-A,pin,PS-42,10,,,\n";

static void parts_are_resolved_by_history(void **state)
{
    (void)state;
    static const struct {
        double hours;
        const char *state, *part;
    } cases[] = {
        {0, "found", "PS-41/piston"}, {7.5, "", "PS-41/piston"}, {20, "found", "PS-41/piston"},
        {20, "built", "PST-A"},       {57.3, "", "PST-A"},       {118.4, "found", "PST-A"},
        {118.4, "built", "PST-B"},    {131, "", "PST-B"},        {160, "found", "PST-B"},
        {160, "built", "PST-A"},      {4711, "", "PST-A"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char inspections[200];
        kit k = small_shop();
        snprintf(
            inspections, sizeof inspections,
            "inspection,engine,date,hours,state,temperature\nJ-1,PS-41,2025-03-11,%g,%s,21.4\n",
            cases[i].hours, cases[i].state);
        kit_text(&k, "parts.csv", parts_csv);
        kit_text(&k, "inspections.csv", inspections);
        kit_text(&k, "readings.csv",
                 READ_HEAD "J-1,skirt,,,,,65.93,,,,,,,\nJ-1,bore,,,,,66.01,,,,,,,\n");
        kit_read(&k);
        kit_expect(&k, "");
        assert_string_equal(kit_part(&k, "readings.csv", 2), cases[i].part);
        assert_string_equal(kit_part(&k, "readings.csv", 3), "PS-41/cylinder");
        assert_string_equal(te_shop_text(k.shop, kit_inspection(&k, "J-1")->part[TE_KIND_PISTON]),
                            cases[i].part);
        kit_free(&k);
    }
}

/* Off and back at the same hours is one stay: no state is needed. `?` is on the engine from 0 h. */
static void one_stay_and_unknown_histories(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "parts.csv", parts_csv);
    kit_text(&k, "inspections.csv",
             "inspection,engine,date,hours,temperature\nJ-1,PS-42,2025-03-11,10,21.4\n"
             "J-0,PS-42,2025-01-11,0,21.4\n");
    kit_text(&k, "limits.csv", LIMITS_HEAD "Alder 66,bore,,mm,66.000,66.022,,66.104,,leaf 4\n");
    kit_text(&k, "readings.csv",
             READ_HEAD
             "J-1,pin,,,,,15.996,,,,,,,\nJ-1,bore,,,,,66.01,,,,,,,\nJ-0,bore,,,,,66.01,,,,,,,\n");
    kit_read(&k);
    kit_expect(&k, "");
    assert_string_equal(kit_part(&k, "readings.csv", 2), "PIN-A");
    assert_string_equal(kit_part(&k, "readings.csv", 3), "CYL-B");
    assert_string_equal(kit_part(&k, "readings.csv", 4), "CYL-B");
    uint32_t engine = kit_engine(&k, "PS-42");
    uint32_t stay = te_shop_stay(k.shop, kit_id(&k, "CYL-B"), engine, 31);
    assert_true(k.t->stays[stay].unknown_history);
    assert_near(k.t->stays[stay].fitted_hours, 0, 0);
    assert_true(isinf(k.t->stays[stay].removed_hours));
    stay = te_shop_stay(k.shop, kit_id(&k, "PIN-A"), engine, 10);
    assert_near(k.t->stays[stay].fitted_hours, 10, 0); /* of two that touch, the later */
    assert_true(k.t->stays[te_shop_stay(k.shop, kit_id(&k, "PIN-A"), engine, 9.9)].unknown_history);
    assert_int_equal(te_shop_stay(k.shop, kit_id(&k, "PIN-A"), kit_engine(&k, "PS-41"), 5),
                     TE_NO_INDEX);
    kit_free(&k);
}

static void parts_are_read(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "parts.csv", parts_csv);
    kit_read(&k);
    kit_expect(&k, "");
    static const struct {
        double hours, before, removed;
    } cases[] = {{30, 0, 118.4}, {170, 98.4, INFINITY}};
    uint32_t engine = kit_engine(&k, "PS-41");
    assert_int_equal(k.t->stay_count, 6);
    for (size_t i = 0; i < 2; i++) {
        const te_stay *s =
            &k.t->stays[te_shop_stay(k.shop, kit_id(&k, "PST-A"), engine, cases[i].hours)];
        assert_int_equal(s->kind, TE_KIND_PISTON);
        assert_near(s->hours_before, cases[i].before, 0);
        assert_near(s->removed_hours, cases[i].removed, 0);
        assert_near(s->oversize, 0, 0);
        assert_false(s->unknown_history);
    }
    const te_stay *b = &k.t->stays[te_shop_stay(k.shop, kit_id(&k, "PST-B"), engine, 131)];
    assert_near(b->hours_before, 33.5, 0);
    assert_near(b->oversize, 0.25, 0);
    assert_int_equal(b->origin.line, 3);
    assert_int_equal(te_shop_stay(k.shop, kit_id(&k, "PST-B"), engine, 161), TE_NO_INDEX);
    kit_free(&k);
}

static void a_part_named_once_holds_for_its_kind(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "parts.csv",
             "part,kind,engine,fitted_hours,removed_hours\nPST-A,piston,PS-41,0,57.3\n"
             "PST-B,piston,PS-41,57.3,\n");
    kit_text(&k, "inspections.csv",
             "inspection,engine,date,hours,temperature\nJ-1,PS-41,2025-03-11,57.3,21.4\n");
    kit_text(&k, "readings.csv",
             READ_HEAD "J-1,skirt,,,12,,65.931,,,,,,,\nJ-1,pin_bore,PST-B,left,,,16.004,,,,,,,\n"
                       "J-1,side_clearance,,1,,,0.04,,,,,,,\n");
    kit_read(&k);
    kit_expect(&k, "");
    assert_string_equal(kit_part(&k, "readings.csv", 2), "PST-B");
    assert_string_equal(kit_part(&k, "readings.csv", 4), "PS-41/ring_set");
    assert_string_equal(te_shop_text(k.shop, kit_inspection(&k, "J-1")->part[TE_KIND_PISTON]),
                        "PST-B");
    kit_free(&k);
}

static void original_parts_may_be_named(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "parts.csv",
             "part,kind,engine,fitted_hours\nPST-B,piston,PS-41,57.3\n"
             "H-7,head,PS-41,0\nX-1,other,PS-41,0\nX-2,other,PS-41,0\n");
    kit_text(&k, "readings.csv",
             READ_HEAD
             "J-1,skirt,PS-41/piston,,12,,65.931,,,,,,,\nJ-1,flatness,H-7,,,,0.03,,,,,,,\n"
             "J-1,runout,X-1,,,,0.05,,,,,,,\nJ-1,runout,X-2,,,,0.07,,,,,,,\n");
    kit_read(&k);
    kit_expect(&k, "");
    assert_string_equal(kit_part(&k, "readings.csv", 2), "PS-41/piston");
    assert_string_equal(kit_part(&k, "readings.csv", 3), "H-7");
    assert_string_equal(kit_part(&k, "readings.csv", 5), "X-2"); /* two parts of kind other */
    kit_free(&k);
}

static void what_was_built_is_not_the_part_that_came_off(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "parts.csv",
             "part,kind,engine,fitted_hours,removed_hours\nPST-A,piston,PS-41,0,57.3\n");
    kit_text(
        &k, "inspections.csv",
        "inspection,engine,date,hours,state,temperature\nJ-1,PS-41,2025-03-11,57.3,found,21.4\n"
        "J-2,PS-41,2025-03-12,57.3,built,21.4\n");
    kit_text(&k, "readings.csv",
             READ_HEAD "J-1,skirt,,,12,,65.931,,,,,,,\nJ-2,skirt,,,12,,65.938,,,,,,,\n");
    kit_read(&k);
    kit_expect(&k,
               "readings.csv:3: part: error: parts.csv has no piston on the engine at these hours; "
               "name the part, or complete parts.csv\n");
    assert_string_equal(kit_part(&k, "readings.csv", 2), "PST-A");
    kit_free(&k);
}

static void oversizes_move_the_limits(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "parts.csv",
             "part,kind,engine,fitted_hours,oversize\nCYL-B,cylinder,PS-41,10,0.25\n"
             "PST-B,piston,PS-41,10,0.01\n");
    kit_text(&k, "limits.csv",
             LIMITS_HEAD "Alder 66,bore,,mm,66.000,66.022,,66.104,,leaf 4\n"
                         "Alder 66,skirt,,in,2.5953,2.5962,2.5934,,,leaf 4\n"
                         "Alder 66,end_gap,,mm,0.25,0.45,,,,leaf 4\n");
    kit_text(&k, "readings.csv", READ_HEAD "J-1,bore,,,,,66.271,,,,,,,\n");
    kit_read(&k);
    kit_expect(&k, "");
    te_limit l;
    const te_inspection *j = kit_inspection(&k, "J-1");
    te_id cylinder = kit_id(&k, "CYL-B"), piston = kit_id(&k, "PST-B");
    assert_true(te_shop_part_limit(&l, k.shop, j, TE_Q_BORE, 0, cylinder));
    assert_near(l.new_max, 66.272, 1e-12);
    assert_near(l.service_max, 66.354, 1e-12);
    assert_true(isnan(l.service_min));
    assert_true(te_shop_part_limit(&l, k.shop, j, TE_Q_SKIRT, 0, piston));
    assert_near(l.service_min, (2.5934 + 0.01) * 25.4, 1e-12);
    assert_true(te_shop_part_limit(&l, k.shop, j, TE_Q_BORE, 0, 0));
    assert_near(l.new_max, 66.022, 0);
    assert_true(te_shop_part_limit(&l, k.shop, j, TE_Q_END_GAP, 0, cylinder));
    assert_near(l.new_max, 0.45, 0);
    assert_false(te_shop_part_limit(&l, k.shop, j, TE_Q_PIN, 0, 0));
    kit_free(&k);
}

/* ---- repeats ---- */

/* Positions and directions within 0.001 are one place, and repeats stand together. */
static void near_places_are_one(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "readings.csv",
             READ_HEAD "J-1,bore,,,10.001,thrust,66.011,66.012,,,,,,\n"
                       "J-1,bore,,,30,45.0004,66.021,,,,,,,\n"
                       "J-1,bore,,,10,0.001,66.013,,,,,,,\n"
                       "J-1,bore,,,10.0021,0,66.014,,,,,,,\n"
                       "J-1,bore,,,30,45,66.022,,,,,,,\n"
                       "J-1,bore,,,30,45.002,66.023,,,,,,,\n"
                       "J-1,bore,,,30,,66.024,,,,,,,\n"
                       "J-1,bore,,,30,,66.025,,,,,,B,\n");
    kit_read(&k);
    kit_expect(&k, "");
    const te_inspection *j = kit_inspection(&k, "J-1");
    static const uint32_t lines[6][3] = {{2, 2, 4}, {5}, {3, 6}, {7}, {8}, {9}};
    static const unsigned counts[6] = {3, 1, 2, 1, 1, 1};
    uint32_t first = j->first_reading;
    for (size_t g = 0; g < 6; g++) {
        uint32_t end = te_shop_group_end(k.shop, j, first);
        assert_int_equal(end - first, counts[g]);
        for (uint32_t i = first; i < end; i++)
            assert_int_equal(k.t->readings[k.t->by_inspection[i]].line, lines[g][i - first]);
        first = end;
    }
    assert_int_equal(first, j->first_reading + j->reading_count);
    assert_near(kit_reading(&k, "readings.csv", 2, 0)->setup->position, 10, 0);
    assert_near(kit_reading(&k, "readings.csv", 4, 0)->setup->direction, 0, 0);
    kit_free(&k);
}

static void repeats_share_one_no_go(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "readings.csv",
             READ_HEAD
             "J-1,end_gap,,1,60,,0.30,,,,,,F-1,\nJ-1,end_gap,,2,60,,0.30,,,,,,F-1,\n"
             "J-1,end_gap,,1,60,,0.31,0.32,,0.37,,,F-1,\nJ-1,end_gap,,1,60,,0.30,,,,,,F-2,\n");
    kit_read(&k);
    kit_expect(&k, "");
    assert_near(kit_reading(&k, "readings.csv", 2, 0)->setup->no_go, 0.37, 0);
    assert_near(te_reading_size(kit_reading(&k, "readings.csv", 2, 0)), 0.335, 1e-15);
    assert_near(kit_reading(&k, "readings.csv", 4, 1)->setup->no_go, 0.37, 0);
    assert_true(isnan(kit_reading(&k, "readings.csv", 3, 0)->setup->no_go));
    assert_true(isnan(kit_reading(&k, "readings.csv", 5, 0)->setup->no_go));
    kit_free(&k);
}

static void a_shared_no_go_must_be_above_every_repeat(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "readings.csv",
             READ_HEAD "J-1,end_gap,,1,60,,0.30,,,0.35,,,F-1,\n"
                       "J-1,end_gap,,1,60,,0.35,,,,,,F-1,\n");
    kit_read(&k);
    kit_expect(
        &k, "readings.csv:3: reading: error: the no_go of its repeats is not above this reading; "
            "give the leaf that does not enter\n");
    kit_free(&k);
}

static void any_two_repeats_are_compared(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "readings.csv",
             READ_HEAD "J-1,bore,,,10,0,66.30,,,,,,,\nJ-1,bore,,,10,0,66.01,,,,,,,\n"
                       "J-1,bore,,,10,0,66.61,,,,,,,\n"
                       "J-1,bore,,,20,0,66.10,,,,,,,\nJ-1,bore,,,20,0,66.60,,,,,,,\n");
    kit_read(&k);
    kit_expect(&k,
               "readings.csv:4: reading: error: repeats of one measurement are more than 0.5 mm "
               "apart; check both; give different places a position\n");
    kit_free(&k);
}

/* A gauge whose unit is blank is taken in the unit of a feature of the user's own. */
static void a_gauge_without_a_unit_measures_anything(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "instruments.csv", "instrument,unit,resolution\nGAU-74,,5\nGAU-75,mm,5\n");
    kit_text(&k, "readings.csv",
             READ_HEAD "J-1,compression,,,,,874,,,,,kPa,GAU-74,\n"
                       "J-1,compression,,,,,876,,,,,kPa,GAU-75,\n");
    kit_read(&k);
    kit_expect(
        &k, "readings.csv:3: instrument: error: GAU-75 has another unit (instruments.csv, line 3); "
            "correct the unit here or in instruments.csv\n");
    kit_free(&k);
}

/* Each of three repeats is held against the first, at 0.5 mm and past it. */
static void repeats_are_compared_at_half_a_millimetre(void **state)
{
    (void)state;
    static const struct {
        const char *readings, *problems;
    } cases[] = {
        /* below and above the first by what is just allowed, and so too far from each other */
        {"J-1,bore,,,10,0,66.5,,,,,,,\nJ-1,bore,,,10,0,66,,,,,,,\nJ-1,bore,,,10,0,66.75,,,,,,,\n",
         "readings.csv:4: reading: error: repeats of one measurement are more than 0.5 mm apart; "
         "check both; "
         "give different places a position\n"},
        {"J-1,bore,,,10,0,66.5,,,,,,,\nJ-1,bore,,,10,0,67,,,,,,,\nJ-1,bore,,,10,0,66.25,,,,,,,\n",
         "readings.csv:4: reading: error: repeats of one measurement are more than 0.5 mm apart; "
         "check both; "
         "give different places a position\n"},
        {"J-1,bore,,,10,0,66.25,,,,,,,\nJ-1,bore,,,10,0,66.25,,,,,,,\nJ-1,bore,,,10,0,66.75,,,,,,,"
         "\n",
         ""},
        /* the first pair that is too far apart is told, not one that repeats it */
        {"J-1,bore,,,10,0,66.5,,,,,,,\nJ-1,bore,,,10,0,66,,,,,,,\nJ-1,bore,,,10,0,66.75,,,,,,,\nJ-"
         "1,bore,,,10,0,66,,,,,,,\n",
         "readings.csv:4: reading: error: repeats of one measurement are more than 0.5 mm apart; "
         "check both; give different places a position\n"},
        {"J-1,bore,,,10,0,66.5,,,,,,,\nJ-1,bore,,,10,0,66.75,,,,,,,\nJ-1,bore,,,10,0,66,,,,,,,\nJ-"
         "1,bore,,,10,0,66.75,,,,,,,\n",
         "readings.csv:4: reading: error: repeats of one measurement are more than 0.5 mm apart; "
         "check both; give different places a position\n"},
        /* the third alone is off: by its size, its zero, its leaf */
        {"J-1,bore,,,10,0,66,,,,,,,\nJ-1,bore,,,10,0,66,,,,,,,\nJ-1,bore,,,10,0,66.6,,,,,,,\n",
         "readings.csv:4: reading: error: it is more than 0.5 mm from its repeat, reading in line "
         "2; check both; "
         "give different places a position\n"},
        {"J-1,bore,,,10,0,0.01,,,,66,,,\nJ-1,bore,,,10,0,0.01,,,,66,,,\nJ-1,bore,,,10,0,0.02,,,,66."
         "01,,,\n",
         "readings.csv:4: zero: error: the zero differs from that of the repeat in line 2; set the "
         "gauge once for "
         "all repeats, or name another\n"},
        {"J-1,end_gap,,1,,,0.3,,,0.4,,,,\nJ-1,end_gap,,1,,,0.3,,,0.4,,,,\nJ-1,end_gap,,1,,,0.3,,,0."
         "45,,,,\n",
         "readings.csv:4: no_go: error: the no_go differs from that of the repeat in line 2; "
         "repeats share one "
         "no_go: write the leaf that holds for all\n"},
        /* what follows is another place */
        {"J-1,bore,,,10,0,66.3,,,,,,,\nJ-1,bore,,,10,0,66,,,,,,,\nJ-1,bore,,,20,0,66.6,,,,,,,\n",
         ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[1024];
        kit k = small_shop();
        snprintf(text, sizeof text, READ_HEAD "%s", cases[i].readings);
        kit_text(&k, "limits.csv",
                 LIMITS_HEAD "Alder 66,skirt,,mm,65.921,65.943,65.872,,,leaf 4\n");
        kit_text(&k, "readings.csv", text);
        kit_read(&k);
        if (strcmp(kit_problems(&k.problems), cases[i].problems) != 0)
            fail_msg("case %zu:\n%s", i, kit_problems(&k.problems));
        kit_free(&k);
    }
}

/* A size within 10 % of any of its limits is taken, that too; without limits any above 0. */
static void a_size_is_near_one_of_its_limits(void **state)
{
    (void)state;
    static const struct {
        const char *limits, *reading;
        bool taken;
    } cases[] = {
        {",,,50", "45", true},        {",,,50", "44.9", false}, {",,,50", "55", true},
        {",,,50", "55.1", false},     {"30,,,40", "40", true},  {"30,,,40", "30", true},
        {"30,31,,40", "35.5", false}, {",31,,40", "31", true},  {",,30,40", "30", true},
        {",,30,40", "34", false},     {",,,", "0.9", true},     {",,,", "400", true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char limits[256];
        char readings[256];
        kit k = small_shop();
        snprintf(limits, sizeof limits,
                 LIMITS_HEAD
                 "Alder 66,skirt,,mm,65.921,65.943,65.872,,,x\nAlder 66,pin,,mm,%s,,x\n",
                 cases[i].limits);
        snprintf(readings, sizeof readings, READ_HEAD "J-1,pin,,,,,%s,,,,,,,\n", cases[i].reading);
        kit_text(&k, "limits.csv", limits);
        kit_text(&k, "readings.csv", readings);
        kit_read(&k);
        bool refused = strstr(kit_problems(&k.problems), "the pin is more than 10 %") != NULL;
        if (refused == cases[i].taken || k.problems.errors != refused)
            fail_msg("%s, limits %s: %s", cases[i].reading, cases[i].limits,
                     kit_problems(&k.problems));
        kit_free(&k);
    }
}

/* A gauge's figures are in its own unit, whichever of them it has; features of one's own in one unit. */
static void units_agree(void **state)
{
    (void)state;
    static const struct {
        const char *gauge, *readings, *problems;
    } cases[] = {
        {"GAU-74,kPa,,22,", "J-1,squish,,,,,1.2,,,,,mm,GAU-74,\n",
         "readings.csv:2: instrument: error: GAU-74 has another unit (instruments.csv, line 2); "
         "correct the unit "
         "here or in instruments.csv\n"},
        {"GAU-74,kPa,,,5", "J-1,squish,,,,,1.2,,,,,mm,GAU-74,\n",
         "readings.csv:2: instrument: error: GAU-74 has another unit (instruments.csv, line 2); "
         "correct the unit "
         "here or in instruments.csv\n"},
        {"GAU-74,kPa,,,", "J-1,squish,,,,,1.2,,,,,mm,GAU-74,\n", ""},
        {"GAU-74,kPa,5,,", "J-1,squish,,,,,1.2,,,,,kPa,GAU-74,\n", ""},
        {"GAU-74,,,,", "J-1,squish,,,,,1.2,,,,,mm,,\nJ-1,squish,,a,,,1.2,,,,,kPa,,\n",
         "readings.csv:3: unit: error: the unit differs from that of the same feature in line 2; "
         "write both in the "
         "same unit\n"},
        {"GAU-74,,,,", "J-1,squish,,,,,1.2,,,,,bar,,\nJ-1,squish,,a,,,1.2,,,,,kPa,,\n",
         "readings.csv:3: unit: error: the unit differs from that of the same feature in line 2; "
         "write both in the "
         "same unit\n"},
        {"GAU-74,,,,", "J-1,squish,,,,,1.2,,,,,kPa,,\nJ-1,squish,,a,,,1.2,,,,,mm,,\n",
         "readings.csv:3: unit: error: the unit differs from that of the same feature in line 2; "
         "write both in the "
         "same unit\n"},
        {"GAU-74,,,,", "J-1,squish,,,,,1.2,,,,,bar,,\nJ-1,squish,,a,,,1.2,,,,,bar,,\n", ""},
        {"GAU-74,,,,", "J-1,squish,,,,,1.2,,,,,mm,,\nJ-1,squish,,a,,,0.05,,,,,in,,\n", ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char gauges[256];
        char readings[512];
        kit k = small_shop();
        snprintf(gauges, sizeof gauges,
                 "instrument,unit,resolution,expanded_uncertainty,repeatability\n%s\n",
                 cases[i].gauge);
        snprintf(readings, sizeof readings, READ_HEAD "%s", cases[i].readings);
        kit_text(&k, "instruments.csv", gauges);
        kit_text(&k, "readings.csv", readings);
        kit_read(&k);
        if (strcmp(kit_problems(&k.problems), cases[i].problems) != 0)
            fail_msg("case %zu:\n%s", i, kit_problems(&k.problems));
        kit_free(&k);
    }
}

/* The name of a feature of one's own is folded whatever its length. */
static void long_names_are_folded(void **state)
{
    (void)state;
    for (size_t length = 120; length < 300; length++) {
        char name[300];
        char readings[600];
        kit k = small_shop();
        memset(name, 'A', length);
        name[length] = '\0';
        snprintf(readings, sizeof readings, READ_HEAD "J-1,%s,,,,,1.2,,,,,,,\n", name);
        kit_text(&k, "readings.csv", readings);
        kit_read(&k);
        kit_expect(&k, "");
        memset(name, 'a', length);
        assert_string_equal(te_shop_quantity_name(k.shop, TE_Q_OWN), name);
        kit_free(&k);
    }
}

/* The name of a file is cut where a problem's has no room. */
static void long_file_names_are_cut(void **state)
{
    (void)state;
    for (size_t length = TE_PROBLEM_TEXT - 4; length < TE_PROBLEM_TEXT + 4; length++) {
        char name[TE_PROBLEM_TEXT + 8];
        kit k = small_shop();
        memset(name, 'n', length);
        memcpy(name, "readings/", 9); /* NOLINT(bugprone-not-null-terminated-result): ended below */
        memcpy(name + length - 4, ".csv", 5);
        kit_text(&k, name, READ_HEAD "J-1,bore,,,,,x,,,,,,,\n");
        kit_read(&k);
        assert_int_equal(k.problems.count, 1);
        size_t kept = length < TE_PROBLEM_TEXT ? length : TE_PROBLEM_TEXT - 1;
        assert_int_equal(strlen(k.problems.items[0].file), kept);
        assert_memory_equal(k.problems.items[0].file, name, kept);
        kit_free(&k);
    }
}

/* ---- several files ---- */

static void a_row_in_two_files_counts_once(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "readings/b.csv",
             "inspection;feature;position;direction;reading;note\nJ-1;BORE;10,00;0;66,0170;\n"
             "J-1;bore;10;thrust;66,018;\nJ-1;bore;10;thrust;66,017;again\n");
    kit_text(&k, "readings.csv",
             READ_HEAD "J-1,bore,,,10,thrust,66.017,,,,,,,\n"
                       "J-1,bore,,,10,thrust,66.017,,,,,,,\n");
    kit_text(&k, "readings/a.csv",
             "inspection,feature,position,direction,reading,reading_2\nJ-1,bore,10,thrust,66.017,\n"
             "J-1,bore,10,thrust,66.017,66.017\n");
    kit_read(&k);
    kit_expect(&k,
               "readings/b.csv:2: warning: the same row stands in readings.csv, line 2: it counts "
               "once; delete one of the two\n"
               "readings/a.csv:2: warning: the same row stands in readings.csv, line 2: it counts "
               "once; delete one of the two\n");
    assert_int_equal(k.t->reading_count, 8);
    assert_int_equal(kit_inspection(&k, "J-1")->reading_count, 6);
    assert_int_equal(kit_reading(&k, "readings/b.csv", 2, 0)->dropped, 1);
    assert_int_equal(kit_reading(&k, "readings.csv", 3, 0)->dropped, 0);
    kit_free(&k);
}

/* A row of another file that says anything else is a reading of its own: each cell tells. */
static void a_row_that_differs_in_one_cell_counts(void **state)
{
    static const char plain[] = "J-1,bore,PS-41/cylinder,,10,thrust,66.017,66.018,,,,mm,GAU-1,seen";
    static const char gap[] = "J-1,end_gap,,1,10,,0.40,,,0.45,,mm,,";
    static const char zero[] = "J-1,bore,,,10,thrust,0.017,,,,66,mm,,";
    static const char *const pairs[][2] = {
        {plain, "J-3,bore,PS-41/cylinder,,10,thrust,66.017,66.018,,,,mm,GAU-1,seen"},
        {plain, "J-1,skirt,PS-41/piston,,10,thrust,66.017,66.018,,,,mm,GAU-1,seen"},
        {gap, "J-1,end_gap,,2,10,,0.40,,,0.45,,mm,,"},
        {plain, "J-1,bore,PS-41/cylinder,,12,thrust,66.017,66.018,,,,mm,GAU-1,seen"},
        {plain, "J-1,bore,PS-41/cylinder,,,thrust,66.017,66.018,,,,mm,GAU-1,seen"},
        {plain, "J-1,bore,PS-41/cylinder,,10,pin,66.017,66.018,,,,mm,GAU-1,seen"},
        {plain, "J-1,bore,PS-41/cylinder,,10,thrust,66.016,66.018,,,,mm,GAU-1,seen"},
        {plain, "J-1,bore,PS-41/cylinder,,10,thrust,66.017,66.019,,,,mm,GAU-1,seen"},
        {plain, "J-1,bore,PS-41/cylinder,,10,thrust,66.017,,66.018,,,mm,GAU-1,seen"},
        {plain, "J-1,bore,PS-41/cylinder,,10,thrust,66.017,,,,,mm,GAU-1,seen"},
        {plain, "J-1,bore,PS-41/cylinder,,10,thrust,66.017,66.018,66.017,,,mm,GAU-1,seen"},
        {plain, "J-1,bore,PS-41/cylinder,,10,thrust,66.017,66.018,,,,mm,GAU-2,seen"},
        {plain, "J-1,bore,PS-41/cylinder,,10,thrust,66.017,66.018,,,,mm,GAU-1,"},
        {gap, "J-1,end_gap,,1,10,,0.40,,,0.46,,mm,,"},
        {gap, "J-1,end_gap,,1,10,,0.40,,,,,mm,,"},
        {zero, "J-1,bore,,,10,thrust,0.017,,,,66.001,mm,,"},
        {"J-1,knock,,1,,,7,,,,,Hz,,", "J-1,knock,,1,,,7,,,,,kHz,,"},
        {"J-1,knock,,1,,,7,,,,,Hz,,", "J-1,hum,,1,,,7,,,,,Hz,,"},
        {"J-1,depth,,1,,,25.4,,,,,mm,,", "J-1,depth,,1,,,1,,,,,in,,"},
        {"J-1,knock,PS-41/head,1,,,7,,,,,Hz,,", "J-1,knock,PS-41/cylinder,1,,,7,,,,,Hz,,"},
    };
    (void)state;
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        for (size_t other = 0; other < 2; other++) { /* 0: the very same row, told as a copy */
            char texts[2][512];
            kit k = small_shop();
            kit_text(&k, "instruments.csv", "instrument,resolution\nGAU-1,0.001\nGAU-2,0.001\n");
            kit_text(&k, "inspections.csv",
                     "inspection,engine,date,hours,temperature\nJ-1,PS-41,2025-03-11,57.3,20\n"
                     "J-3,PS-41,2025-05-11,77.3,20\n");
            snprintf(texts[0], sizeof texts[0], READ_HEAD "%s\n", pairs[i][0]);
            snprintf(texts[1], sizeof texts[1], READ_HEAD "%s\n", pairs[i][other]);
            kit_text(&k, "readings.csv", texts[0]);
            kit_text(&k, "readings/more.csv", texts[1]);
            kit_read(&k);
            bool told = strstr(kit_problems(&k.problems), "the same row stands in") != NULL;
            if (told != (other == 0) ||
                kit_reading(&k, "readings/more.csv", 2, 0)->dropped != (other == 0))
                fail_msg("%s beside %s: %s", pairs[i][other], pairs[i][0],
                         kit_problems(&k.problems));
            kit_free(&k);
        }
    }
}

/* A file of equal rows beside another one: compared two by two, 200,000 of them would take hours. */
static void many_equal_rows_are_read(void **state)
{
    (void)state;
    enum { ROWS = 200000 };
    static const char row[] = "J-1,bore,10,66.017\n";
    char *text = malloc(64 + ROWS * sizeof row);
    assert_non_null(text);
    size_t used = (size_t)sprintf(text, "inspection,feature,position,reading\n");
    for (size_t i = 0; i < ROWS; i++, used += sizeof row - 1)
        memcpy(text + used, row, sizeof row - 1);
    kit k = small_shop();
    kit_put(&k, "readings.csv", text, used);
    kit_text(&k, "readings/a.csv", "inspection,feature,position,reading\nJ-1,bore,10,66.018\n");
    kit_read(&k);
    kit_expect(&k, "");
    assert_int_equal(kit_inspection(&k, "J-1")->reading_count, ROWS + 1);
    kit_free(&k);
    free(text);
}

/* A chain of gauges, each set with the one of the line before, the end in the last line: walked from each one, two
 * thousand million steps. */
static void long_chains_are_read(void **state)
{
    (void)state;
    enum { GAUGES = 60000 };
    char *text = malloc(64 + GAUGES * 24);
    assert_non_null(text);
    size_t used = (size_t)sprintf(text, "instrument,set_with\n");
    for (int i = 0; i < GAUGES; i++)
        used += (size_t)sprintf(text + used, i + 1 < GAUGES ? "G%d,G%d\n" : "G%d,\n", i, i + 1);
    kit k = small_shop();
    kit_put(&k, "instruments.csv", text, used);
    kit_read(&k);
    kit_expect(&k, "");
    kit_free(&k);
    free(text);
}

static void inputs_of_other_names_are_not_read(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "conditions.csv", "x");
    kit_text(&k, "price list.csv", "x");
    kit_read(&k);
    kit_expect(&k, "conditions.csv: warning: the file is not read; the nearest known name is "
                   "condition.csv\n"
                   "price list.csv: warning: the file is not read; move it out of the folder\n");
    kit_free(&k);
}

static void only_the_files_asked_for_are_read(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "spares.csv", "spare,kind,model,size\nSP-1,gizmo,Oak,0x1\n");
    kit_text(&k, "plan.csv", "bad");
    kit_read_files(&k, TE_FILE_EVERY & ~(unsigned)(TE_FILE_SPARES | TE_FILE_PLAN));
    kit_expect(&k, "");
    assert_int_equal(k.t->spare_count, 0);
    kit_free(&k);
}

/* ---- names of one's own ---- */

static void names_of_ones_own_that_are_nearly_alike(void **state)
{
    (void)state;
    static const struct {
        const char *name, *limits, *plan, *readings, *problems;
    } cases[] = {
        {"numbers in names", "", "",
         "J-1,head_bolt_1,,,,,12,,,,,,,\nJ-1,head_bolt_12,,,,,13,,,,,,,\n", ""},
        {"a number in one only", "", "",
         "J-1,plugseat,,,,,12,,,,,,,\nJ-1,plugseat2,,,,,13,,,,,,,\n",
         "readings.csv:2: feature: warning: \"plugseat\" is nearly \"plugseat2\"; write both the "
         "same, if they "
         "are one\n"
         "readings.csv:3: feature: warning: \"plugseat2\" is nearly \"plugseat\"; write both the "
         "same, if they "
         "are one\n"},
        {"letters in one file", "", "", "J-1,volume_a,,,,,12,,,,,,,\nJ-1,volume_b,,,,,13,,,,,,,\n",
         "readings.csv:2: feature: warning: \"volume_a\" is nearly \"volume_b\"; write both the "
         "same, if they "
         "are one\n"
         "readings.csv:3: feature: warning: \"volume_b\" is nearly \"volume_a\"; write both the "
         "same, if they "
         "are one\n"},
        {"letters in two files each",
         "Alder 66,volume_a,,mm,,,,20,,s\nAlder 66,volume_b,,mm,,,,20,,s\n", "",
         "J-1,volume_a,,,,,12,,,,,,,\nJ-1,volume_b,,,,,13,,,,,,,\n", ""},
        {"a limit and a reading", "Alder 66,squish_gap,,mm,,,,2,,s\n", "",
         "J-1,squich_gap,,,,,1.2,,,,,,,\n",
         "limits.csv:3: quantity: error: only limits.csv names \"squish_gap\", which is nearly "
         "\"squich_gap\"; "
         "write both the same, or make them less alike\n"
         "readings.csv:2: feature: error: only readings name \"squich_gap\", which is nearly "
         "\"squish_gap\"; "
         "write both the same, or make them less alike\n"},
        {"a plan's and the others'", "Alder 66,squish_gap,,mm,,,,2,,s\n", "Alder 66,squichgap\n",
         "J-1,squish_gap,,,,,1.2,,,,,,,\n",
         "plan.csv:2: feature: error: only plan.csv names \"squichgap\", which is nearly "
         "\"squish_gap\"; "
         "write both the same, or make them less alike\n"},
        {"a limit's number is read by nobody", "Alder 66,head_bolt_1,,mm,,,,20,,s\n", "",
         "J-1,head_bolt_2,,,,,12,,,,,,,\n",
         "limits.csv:3: quantity: warning: no reading and no plan names \"head_bolt_1\"; check "
         "that it is "
         "spelt as there\n"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char limits[512];
        char plan[512];
        char readings[512];
        kit k = small_shop();
        (void)snprintf(limits, sizeof limits, "%sAlder 66,bore,,mm,66,67,,,,s\n%s", LIMITS_HEAD,
                       cases[i].limits);
        (void)snprintf(plan, sizeof plan, "model,feature\n%s", cases[i].plan);
        (void)snprintf(readings, sizeof readings, "%s%s", READ_HEAD, cases[i].readings);
        kit_text(&k, "limits.csv", limits);
        kit_text(&k, "plan.csv", plan);
        kit_text(&k, "readings.csv", readings);
        kit_read(&k);
        if (strcmp(kit_problems(&k.problems), cases[i].problems) != 0)
            fail_msg("%s:\n%s", cases[i].name, kit_problems(&k.problems));
        kit_free(&k);
    }
}

/* ---- slips ---- */

static void slips_are_told(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "instruments.csv",
             "instrument,resolution,expanded_uncertainty,set_with,calibrated,due\n"
             "MIC-75,0.001,0.003,,2023-01-10,2024-12-31\nBG-71,0.001,0.003,MIC-75,2025-04-01,\n"
             "MIC-25,0.001,0.002,,,\n");
    kit_text(&k, "readings.csv",
             READ_HEAD "J-1,bore,,,10,0,66.011,,,,,,MIC-25,\nJ-1,bore,,,20,0,66.012,,,,,,MIC-25,\n"
                       "J-1,bore,,,30,0,66.013,,,,,,MIC-25,\nJ-1,bore,,,40,0,66.102,,,,,,MIC-25,\n"
                       "J-1,bore,,,50,0,66.012,,,,,,MIC-25,\n"
                       "J-1,skirt,,,,,64.31,,,,,,MIC-O5,\n"
                       "J-1,squish,,,,,1.3,1.2,,,,,BG-71,\n"
                       "J-2,bore,,,,,65.87,,,,,,,\nJ-2,skirt,,,,,65.88,,,,,,,\n");
    kit_read(&k);
    kit_expect(
        &k,
        "readings.csv:5: reading: warning: 66.1020 is far from the rest of its feature (median "
        "66.0120); two digits swapped? 66.012 would be in line\n"
        "readings.csv:7: reading: warning: the skirt is more than 2 % from its as-new size; check "
        "the "
        "unit, the digits and the decimal mark\n"
        "readings.csv:7: instrument: warning: there is no instrument \"MIC-O5\": its uncertainty "
        "is not "
        "stated; add it to instruments.csv, or correct the name\n"
        "readings.csv:8: reading: warning: all 2 readings of BG-71 have fewer decimals than its "
        "resolution; look for figures that a spreadsheet has rounded\n"
        "readings.csv:8: instrument: warning: the first calibration of BG-71 known is of "
        "2025-04-01, "
        "after the inspection; add the earlier calibration to instruments.csv\n"
        "readings.csv:8: instrument: warning: the calibration of MIC-75 was due on 2024-12-31, "
        "before "
        "the inspection; have it calibrated and measure again\n"
        "readings.csv:10: reading: warning: the skirt is larger than the bore; check both "
        "readings\n");
    kit_free(&k);
}

static void honest_readings_are_no_slips(void **state)
{
    (void)state;
    kit k = small_shop();
    kit_text(&k, "instruments.csv",
             "instrument,resolution,calibrated,due\nMIC-75,0.001,2025-03-11,2025-03-11\n");
    kit_text(&k, "inspections.csv",
             "inspection,engine,date,hours,temperature,temperature_uncertainty\n"
             "J-1,PS-41,2025-03-11,57.3,15,\nJ-2,PS-42,2025-05-02,31.7,25,\n"
             "J-3,PS-42,2025-05-03,31.7,9.5,0.5\n");
    kit_text(&k, "readings.csv",
             READ_HEAD "J-1,bore,,,10,0,66.010,,,,,,MIC-75,\nJ-1,bore,,,20,0,66.024,,,,,,MIC-75,\n"
                       "J-1,bore,,,30,0,66.071,,,,,,MIC-75,\nJ-1,bore,,,40,0,66.03,,,,,,MIC-75,\n"
                       "J-1,bore,,,50,0,66.018,,,,,,MIC-75,\nJ-2,bore,,,50,0,67.31,,,,,,,\n"
                       "J-2,skirt,,,50,,67.20,,,,,,,\n");
    kit_read(&k);
    kit_expect(&k, "");
    kit_free(&k);
}

/* ---- what an error touches ---- */

typedef struct scope_case {
    const char *name, *file, *text;
    bool all, first, second; /* touches all, PS-41, PS-42 */
} scope_case;

static void errors_touch_no_more_than_they_must(void **state)
{
    (void)state;
    static const scope_case cases[] = {
        {"a reading of one engine", "readings.csv",
         READ_HEAD "J-2,bore,,,,,x,,,,,,,\nJ-1,bore,,,,,66,,,,,,,\n", false, false, true},
        {"a size of one engine", "readings.csv", READ_HEAD "J-1,bore,,,,,44,,,,,,,\n", false, true,
         false},
        {"an inspection that is not known", "readings.csv",
         READ_HEAD "J-9,bore,,,,,66,,,,,,,\nJ-1,bore,,,,,66,,,,,,,\n", true, false, false},
        {"an inspection's hours", "inspections.csv",
         "inspection,engine,date,hours,temperature\nJ-1,PS-41,2025-03-11,x,20\nJ-2,PS-42,2025-03-"
         "11,5,20\n",
         false, true, false},
        {"an inspection's engine", "inspections.csv",
         "inspection,engine,date,hours,temperature\nJ-1,PS-41,2025-03-11,5,20\nJ-2,PS-99,2025-03-"
         "11,5,20\n",
         true, false, false},
        {"the limits of a model", "limits.csv",
         LIMITS_HEAD "Alder 66,bore,,mm,66,x,,,,s\nBirch 40,bore,,mm,40,41,,,,s\n", false, true,
         false},
        {"the limits of another model", "limits.csv",
         LIMITS_HEAD "Alder 66,bore,,mm,66,67,,,,s\nBirch 40,bore,,mm,40,x,,,,s\n", false, false,
         true},
        {"a gauge", "instruments.csv", "instrument,resolution\nBG-71,0\nMIC-75,0.001\n", false,
         true, false},
        {"a gauge that sets another", "instruments.csv",
         "instrument,resolution,set_with\nBG-71,0.01,MIC-75\nMIC-75,0\n", false, true, false},
        {"a gauge that nobody used", "instruments.csv",
         "instrument,resolution\nBG-71,0.01\nX-1,0\n", false, false, false},
        {"a circle of gauges", "instruments.csv",
         "instrument,set_with\nBG-71,X-2\nX-2,X-3\nX-3,X-2\n", false, true, false},
        {"a part", "parts.csv", "part,kind,engine,fitted_hours\nP-1,piston,PS-42,x\n", false, false,
         true},
        {"a spare", "spares.csv", "spare,kind,model,price\nSP-1,piston,Alder 66,x\n", false, true,
         false},
        {"a spare of an unknown model", "spares.csv",
         "spare,kind,model,price\nSP-1,piston,Alder 67,5\n", true, false, false},
        {"the shop", "shop.csv", "key,value\nconfidence,2\n", true, false, false},
        {"a plan", "plan.csv", "model,feature,repeats\nBirch 40,bore,9\n", false, false, true},
        {"an engine's model", "engines.csv", "engine,model\nPS-41,Alder 66\nPS-42,\n", false, false,
         true},
        {"a finding", "condition.csv", "inspection,part,finding,severity\nJ-2,piston,x,bad\n",
         false, false, true},
        {"a reading's feature misspelled", "readings.csv",
         READ_HEAD "J-2,bor,,,,,40.5,,,,,,,\nJ-1,bore,,,,,66.5,,,,,,,\n", false, false, true},
        {"a feature misspelled in readings of both", "readings.csv",
         READ_HEAD "J-2,bor,,,,,40.5,,,,,,,\nJ-1,bor,,,,,66.5,,,,,,,\n", true, false, false},
        {"a limit's quantity misspelled", "limits.csv",
         LIMITS_HEAD "Alder 66,boer,,mm,66,67,,,,s\nBirch 40,bore,,mm,40,41,,,,s\n", false, true,
         false},
        {"a quantity misspelled in the limits of both", "limits.csv",
         LIMITS_HEAD "Alder 66,boer,,mm,66,67,,,,s\nBirch 40,boer,,mm,40,41,,,,s\n", true, false,
         false},
        {"a plan's feature misspelled", "plan.csv", "model,feature\nBirch 40,bor\n", false, false,
         true},
        {"a plan's feature misspelled for both", "plan.csv",
         "model,feature\nBirch 40,bor\nAlder 66,bor\n", true, false, false},
        {"a stray quote", "condition.csv",
         "inspection,part,finding,severity\nJ-2,piston,x\"y,note\n", true, false, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        kit k = small_shop();
        kit_text(&k, "engines.csv", "engine,model\nPS-41,Alder 66\nPS-42,Birch 40\n");
        kit_text(&k, "limits.csv",
                 LIMITS_HEAD "Alder 66,bore,,mm,66,67,,,,s\nBirch 40,bore,,mm,40,41,,,,s\n");
        kit_text(&k, "readings.csv", READ_HEAD "J-1,bore,,,10,thrust,66.01,,,,,,BG-71,\n");
        kit_text(&k, cases[i].file, cases[i].text);
        kit_read(&k);
        bool first = te_shop_engine_touched(k.shop, &k.problems, kit_engine(&k, "PS-41"));
        bool second = te_shop_engine_touched(k.shop, &k.problems, kit_engine(&k, "PS-42"));
        assert_true(k.problems.errors > 0);
        if (k.problems.touches_all != cases[i].all || first != cases[i].first ||
            second != cases[i].second)
            fail_msg("%s: touches all %d, PS-41 %d, PS-42 %d\n%s", cases[i].name,
                     k.problems.touches_all, first, second, kit_problems(&k.problems));
        kit_free(&k);
    }
}

/* An error in a gauge touches who used it, at any inspection and reading, and nobody else. */
static void errors_of_a_gauge_touch_who_used_it(void **state)
{
    (void)state;
    static const struct {
        const char *readings;
        bool first, second;
    } cases[] = {
        {"J-1,bore,,,10,0,66.01,,,,,,GOOD,\n", false, false},
        {"J-1,bore,,,10,0,66.01,,,,,,BAD,\n", true, false},
        {"J-1,bore,,,10,0,66.01,,,,,,GOOD,\nJ-1,skirt,,,,,65.93,,,,,,BAD,\n", true, false},
        {"J-1,bore,,,10,0,66.01,,,,,,GOOD,\nJ-3,bore,,,10,0,66.01,,,,,,BAD,\n", true, false},
        {"J-1,bore,,,10,0,66.01,,,,,,GOOD,\nJ-3,bore,,,10,0,66.01,,,,,,GOOD,\n"
         "J-2,bore,,,10,0,66.01,,,,,,BAD,\n",
         false, true},
        {"J-1,bore,,,10,0,66.01,,,,,,SET,\n", true, false},
        /* a gauge that nobody knows is told, and is not that one */
        {"J-1,bore,,,10,0,66.01,,,,,,NONE,\nJ-2,bore,,,10,0,66.01,,,,,,,\n", false, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char readings[512];
        kit k = small_shop();
        snprintf(readings, sizeof readings, READ_HEAD "%s", cases[i].readings);
        kit_text(
            &k, "inspections.csv",
            "inspection,engine,date,hours,state,temperature\nJ-1,PS-41,2025-03-11,57.3,found,21.4\n"
            "J-2,PS-42,2025-05-02,31.7,found,19.2\nJ-3,PS-41,2025-06-11,67.3,found,21.4\n");
        kit_text(&k, "instruments.csv",
                 "instrument,resolution,set_with\nGOOD,0.001,\nBAD,0,\nSET,0.001,BAD\n");
        kit_text(&k, "readings.csv", readings);
        kit_read(&k);
        assert_int_equal(k.problems.errors, 1);
        bool first = te_shop_engine_touched(k.shop, &k.problems, kit_engine(&k, "PS-41"));
        bool second = te_shop_engine_touched(k.shop, &k.problems, kit_engine(&k, "PS-42"));
        if (first != cases[i].first || second != cases[i].second)
            fail_msg("case %zu: PS-41 %d, PS-42 %d", i, first, second);
        kit_free(&k);
    }
}

/* Any damage of the bytes of a shop: it is read or refused, and every table stays in its bounds. */
static void damaged_bytes_never_crash(void **state)
{
    (void)state;
    te_random random = te_random_start(0xda3a6e);
    kit good = small_shop();
    kit_text(&good, "parts.csv", parts_csv);
    kit_text(&good, "instruments.csv",
             "instrument,resolution,set_with,calibrated\nBG-71,0.001,MIC-75,2025-01-01\n"
             "MIC-75,0.001,,\n");
    kit_text(&good, "condition.csv", "inspection,part,finding,severity\nJ-1,piston,x,note\n");
    for (size_t round = 0; round < te_test_rounds(3000); round++) {
        static const char bytes[] = ",;\t\"\n\r\0-.01#\xff\xc3J";
        char text[512];
        kit k = good;
        te_input *input = &k.inputs[te_random_below(&random, k.count)];
        size_t length = input->length;
        memcpy(text, input->bytes, length);
        for (size_t n = 1 + te_random_below(&random, 3); n > 0; n--) {
            size_t at = te_random_below(&random, length);
            if (te_random_below(&random, 3) == 0) {
                memmove(text + at, text + at + 1, length - at - 1);
                length--;
            } else {
                text[at] = bytes[te_random_below(&random, sizeof bytes - 1)];
            }
        }
        input->bytes = text;
        input->length = length;
        kit_read(&k);
        for (size_t i = 0; i < k.t->reading_count; i++) {
            assert_true(k.t->readings[i].inspection < k.t->inspection_count);
            assert_true(isfinite(k.t->readings[i].value));
            assert_true(k.t->readings[i].file < k.t->file_count);
        }
        for (size_t i = 0; i < k.t->engine_count; i++)
            (void)te_shop_engine_touched(k.shop, &k.problems, (uint32_t)i);
        (void)kit_problems(&k.problems);
        kit_free(&k);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_least_shop_has_defaults),
        cmocka_unit_test(shop_csv_is_read),
        cmocka_unit_test(models_and_engines_are_read),
        cmocka_unit_test(aluminium_is_aluminium),
        cmocka_unit_test(limits_are_read_in_their_units),
        cmocka_unit_test(limits_belong_to_items_and_models),
        cmocka_unit_test(instruments_are_read),
        cmocka_unit_test(the_calibration_of_the_day_is_taken),
        cmocka_unit_test(inspections_are_read_and_ordered),
        cmocka_unit_test(readings_are_read_in_their_units),
        cmocka_unit_test(condition_plan_and_spares_are_read),
        cmocka_unit_test(dialects_read_alike),
        cmocka_unit_test(lines_are_counted_past_sep_and_breaks),
        cmocka_unit_test(ids_are_taken_as_written),
        cmocka_unit_test(dates_follow_the_order_of_the_shop),
        cmocka_unit_test(parts_are_read),
        cmocka_unit_test(parts_are_resolved_by_history),
        cmocka_unit_test(one_stay_and_unknown_histories),
        cmocka_unit_test(a_part_named_once_holds_for_its_kind),
        cmocka_unit_test(original_parts_may_be_named),
        cmocka_unit_test(what_was_built_is_not_the_part_that_came_off),
        cmocka_unit_test(oversizes_move_the_limits),
        cmocka_unit_test(near_places_are_one),
        cmocka_unit_test(repeats_share_one_no_go),
        cmocka_unit_test(a_shared_no_go_must_be_above_every_repeat),
        cmocka_unit_test(any_two_repeats_are_compared),
        cmocka_unit_test(a_gauge_without_a_unit_measures_anything),
        cmocka_unit_test(a_row_in_two_files_counts_once),
        cmocka_unit_test(a_row_that_differs_in_one_cell_counts),
        cmocka_unit_test(many_equal_rows_are_read),
        cmocka_unit_test(long_chains_are_read),
        cmocka_unit_test(inputs_of_other_names_are_not_read),
        cmocka_unit_test(only_the_files_asked_for_are_read),
        cmocka_unit_test(names_of_ones_own_that_are_nearly_alike),
        cmocka_unit_test(repeats_are_compared_at_half_a_millimetre),
        cmocka_unit_test(a_size_is_near_one_of_its_limits),
        cmocka_unit_test(units_agree),
        cmocka_unit_test(long_names_are_folded),
        cmocka_unit_test(long_file_names_are_cut),
        cmocka_unit_test(errors_of_a_gauge_touch_who_used_it),
        cmocka_unit_test(slips_are_told),
        cmocka_unit_test(honest_readings_are_no_slips),
        cmocka_unit_test(errors_touch_no_more_than_they_must),
        cmocka_unit_test(damaged_bytes_never_crash),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
