/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One damage to a good shop, and the exact problems that it makes. */
#include "shop_kit.h"

/* A shop without a problem; all figures are invented. */
static const struct good_file {
    const char *name, *text;
} good[] = {
    {"shop.csv", "key,value\n"
                 "name,Valley fire brigade (invented figures)\n"
                 "confidence,0.95\n"
                 "rule,guarded\n"
                 "currency,EUR\n"},
    {"engines.csv", "engine,model,note\n"
                    "PS-31,Alder 66,\n"
                    "PS-32,Alder 66,pump of the lower hall\n"},
    {"models.csv",
     "model,cylinder_material,piston_material,ring_material,pin_material,rod_material,"
     "run_in_hours,inspect_every_hours,reborable,note\n"
     "Alder 66,cast_iron,aluminium_high_si,cast_iron,steel,steel,5,150,yes,\n"},
    {"limits.csv",
     "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,source\n"
     "Alder 66,bore,,mm,66.000,66.022,,66.104,yes,leaf 4\n"
     "Alder 66,skirt,,mm,65.921,65.943,65.872,,yes,leaf 4\n"
     "Alder 66,end_gap,,mm,0.25,0.45,,0.87,yes,leaf 5\n"
     "Alder 66,squish,,mm,1.10,1.40,1.00,1.60,no,leaf 6\n"
     "Alder 66,compression,,kPa,820,960,700,,no,leaf 6\n"},
    {"instruments.csv",
     "instrument,description,unit,resolution,expanded_uncertainty,repeatability,expansion,set_with,"
     "calibrated,due\n"
     "BG-71,comparator bore gauge,mm,0.001,0.0031,0.0012,,MIC-72,2025-01-14,2027-01-14\n"
     "MIC-72,micrometer,mm,0.001,0.0027,0.0009,11.5e-6,,2025-01-15,2027-01-15\n"
     "FEEL-73,feelers,mm,,0.011,,,,,\n"
     "GAU-74,,kPa,5,22,,,,,\n"},
    {"parts.csv", "part,kind,engine,fitted_hours,removed_hours,hours_before,oversize,note\n"
                  "CYL-A,cylinder,PS-31,0,,,,\n"
                  "PST-A,piston,PS-31,0,118.4,,,\n"
                  "PST-B,piston,PS-31,118.4,,,,\n"},
    {"inspections.csv",
     "inspection,engine,date,hours,state,temperature,temperature_uncertainty,by,note\n"
     "I-01,PS-31,2025-03-11,57.3,found,21.4,,,\n"
     "I-02,PS-31,2025-09-24,118.4,found,18.7,,,\n"
     "I-03,PS-31,2025-09-25,118.4,built,18.9,,,\n"
     "I-04,PS-32,2025-10-02,0,found,20.6,,,\n"},
    {"readings.csv",
     "inspection,feature,part,item,position,direction,reading,reading_2,no_go,zero,unit,instrument,"
     "note\n"
     "I-01,bore,,,10,thrust,0.017,0.018,,66.000,,BG-71,\n"
     "I-01,bore,,,10,pin,0.012,,,66.000,,BG-71,\n"
     "I-01,skirt,PST-A,,12,,65.931,,,,,MIC-72,\n"
     "I-02,bore,,,10,thrust,0.021,,,66.000,,BG-71,\n"
     "I-02,skirt,,,12,,65.924,,,,,MIC-72,\n"
     "I-02,end_gap,,1,62,,0.35,,0.40,,,FEEL-73,\n"
     "I-03,skirt,,,12,,65.938,,,,,MIC-72,\n"
     "I-03,squish,,,,,1.31,,,,,,\n"
     "I-04,bore,,,10,thrust,66.009,,,,mm,MIC-72,\n"
     "I-04,compression,,,,,874,,,,kPa,GAU-74,\n"},
    {"condition.csv", "inspection,part,finding,severity\n"
                      "I-02,piston,light scuffing on the thrust side,watch\n"
                      "I-03,CYL-A,clean,note\n"},
    {"plan.csv", "model,feature,item,position,direction,repeats,instrument\n"
                 "Alder 66,bore,,10,thrust,2,BG-71\n"
                 "Alder 66,skirt,,12,,1,MIC-72\n"},
    {"spares.csv", "spare,kind,model,feature,item,size,tolerance,unit,oversize,price,note\n"
                   "SP-81,piston,Alder 66,skirt,,65.937,0.004,mm,,84.50,\n"
                   "SP-82,ring_set,Alder 66,end_gap,1,0.34,0.03,mm,,23.75,\n"},
};
enum { GOOD = sizeof good / sizeof *good };

/* What replaces a line of a file: line 0 the whole file, NULL takes the line or the file away. */
typedef struct damage {
    const char *name, *file;
    unsigned line;
    const char *text;
    const char *problems;
    size_t length; /* of a text that holds NUL bytes */
} damage;

#define WORD_NUMBER      "; write digits with one decimal mark and nothing else\n"
#define READING_2(cells) "I-01,bore,,,10,thrust," cells ",,BG-71,"

static const damage damages[] = {
    /* ---- number cells ---- */
    {"hex", "readings.csv", 4, "I-01,skirt,PST-A,,12,,0x41,,,,,MIC-72,",
     "readings.csv:4: reading: error: \"0x41\" is not a number" WORD_NUMBER, 0},
    {"nan", "readings.csv", 4, "I-01,skirt,PST-A,,12,,nan,,,,,MIC-72,",
     "readings.csv:4: reading: error: \"nan\" is not a number" WORD_NUMBER, 0},
    {"inf", "limits.csv", 2, "Alder 66,bore,,mm,66.000,66.022,,inf,yes,leaf 4",
     "limits.csv:2: service_max: error: \"inf\" is not a number" WORD_NUMBER, 0},
    {"1e400", "readings.csv", 8, "I-03,skirt,,,12,,1e400,,,,,MIC-72,",
     "readings.csv:8: reading: error: \"1e400\" is too large or too small; check the exponent\n",
     0},
    {"header cell blank", "limits.csv", 1,
     "model,quantity,item,unit,new_min,new_max,service_min,,required,source",
     "limits.csv:2: error: \"66.104\" stands in a column whose header cell is empty; name the "
     "column in the header row, or empty it\n"
     "limits.csv:4: error: \"0.87\" stands in a column whose header cell is empty; name the column "
     "in the header row, or empty it\n"
     "limits.csv:5: error: \"1.60\" stands in a column whose header cell is empty; name the column "
     "in the header row, or empty it\n",
     0},
    {"gauge in a unit misspelled", "instruments.csv", 2,
     "BG-71,comparator bore gauge,inch,0.00005,0.00012,0.00004,,MIC-72,2025-01-14,2027-01-14",
     "readings.csv:2: instrument: error: BG-71 has another unit (instruments.csv, line 2); correct "
     "the unit here or in instruments.csv\n"
     "readings.csv:3: instrument: error: BG-71 has another unit (instruments.csv, line 2); correct "
     "the unit here or in instruments.csv\n"
     "readings.csv:5: instrument: error: BG-71 has another unit (instruments.csv, line 2); correct "
     "the unit here or in instruments.csv\n",
     0},
    {"part named like a kind", "parts.csv", 2, "piston,cylinder,PS-31,0,,,,",
     "parts.csv:2: part: error: the name is the word of a kind; give the part a name of its own\n"
     "condition.csv:3: part: error: there is no part \"CYL-A\"; add it to parts.csv, or correct "
     "the "
     "name\n",
     0},
    {"part named like another original", "parts.csv", 4, "PS-31/cylinder,piston,PS-31,118.4,,,,",
     "parts.csv:4: part: error: the name is that of an original part of another kind; give the "
     "part "
     "a name of its own\n"
     "readings.csv:8: part: error: parts.csv has no piston on the engine at these hours; name the "
     "part, or complete parts.csv\n",
     0},
    {"limit without a figure", "limits.csv", 3, "Alder 66,skirt,,mm,,,,,yes,leaf 4",
     "limits.csv:3: warning: the row holds no limit: the quantity will not be judged; give at "
     "least "
     "one, or delete the row\n",
     0},
    {"decimal comma that shifts a row", "inspections.csv", 2,
     "I-01,PS-31,2025-03-11,57.3,found,21,4,,,",
     "inspections.csv:2: temperature_uncertainty: warning: an uncertainty above 3 K is large; is "
     "there a decimal comma before it?\n"
     "inspections.csv:2: warning: the row has one cell more than the header: is 21,4 a number with "
     "a "
     "decimal comma?; if so write a point; else delete the comma at the end\n",
     0},
    {"two marks", "readings.csv", 6, "I-02,skirt,,,12,,65.92.4,,,,,MIC-72,",
     "readings.csv:6: reading: error: \"65.92.4\" has more than one decimal mark; write one mark "
     "and "
     "no grouping of digits\n",
     0},
    {"grouping by marks", "readings.csv", 11, "I-04,compression,,,,,\"1,874.5\",,,,kPa,GAU-74,",
     "readings.csv:11: reading: error: \"1,874.5\" has more than one decimal mark; write one mark "
     "and no grouping of digits\n",
     0},
    {"grouping by a space", "readings.csv", 11, "I-04,compression,,,,,1 874,,,,kPa,GAU-74,",
     "readings.csv:11: reading: error: \"1 874\" has its digits in groups; write the digits "
     "without "
     "gaps\n",
     0},
    {"grouping by an apostrophe", "readings.csv", 11, "I-04,compression,,,,,1'874,,,,kPa,GAU-74,",
     "readings.csv:11: reading: error: \"1'874\" has its digits in groups; write the digits "
     "without "
     "gaps\n",
     0},
    {"decimal comma", "readings.csv", 4, "I-01,skirt,PST-A,,12,,\"65,931\",,,,,MIC-72,",
     "readings.csv:4: reading: error: \"65,931\" has a decimal comma in a comma-delimited file; "
     "write it with a decimal point\n",
     0},
    {"unit in the cell", "readings.csv", 4, "I-01,skirt,PST-A,,12,,65.931 mm,,,,,MIC-72,",
     "readings.csv:4: reading: error: \"65.931 mm\" is not a number" WORD_NUMBER, 0},
    {"date in a number cell", "readings.csv", 9, "I-03,squish,,,,,2025-01-31,,,,,,",
     "readings.csv:9: reading: error: \"2025-01-31\" is not a number" WORD_NUMBER, 0},
    {"needless zero", "readings.csv", 5, "I-02,bore,,,10,thrust,021,,,66.000,,BG-71,",
     "readings.csv:5: reading: error: \"021\" begins with a needless zero; check for a lost mark "
     "and "
     "write it without the zero\n",
     0},
    {"sixteen digits", "readings.csv", 4, "I-01,skirt,PST-A,,12,,65.93100000000001,,,,,MIC-72,",
     "readings.csv:4: reading: error: \"65.93100000000001\" has more than 15 digits; write it as "
     "it "
     "was read from the gauge\n",
     0},
    {"mark at the end", "readings.csv", 9, "I-03,squish,,,,,1.,,,,,,",
     "readings.csv:9: reading: error: \"1.\" ends with a decimal mark; add the digits that are "
     "missing or take the mark away\n",
     0},
    {"escape in a number", "readings.csv", 9, "I-03,squish,,,,,1.3\x1b[2J,,,,,,",
     "readings.csv:9: reading: error: \"1.3\\x1B[2J\" is not a number" WORD_NUMBER, 0},
    {"second repeat", "readings.csv", 2, READING_2("0.017,O.018,,66.000"),
     "readings.csv:2: reading_2: error: \"O.018\" is not a number" WORD_NUMBER, 0},
    {"bad zero", "readings.csv", 2, READING_2("0.017,0.018,,66,00"),
     "readings.csv:2: unit: error: \"00\" is not a unit of length; write mm, um, in or thou\n", 0},
    {"bad position", "readings.csv", 4, "I-01,skirt,PST-A,,12 mm,,65.931,,,,,MIC-72,",
     "readings.csv:4: position: error: \"12 mm\" is not a number" WORD_NUMBER, 0},
    {"hours with three decimals", "inspections.csv", 2,
     "I-01,PS-31,2025-03-11,57.300,found,21.4,,,",
     "inspections.csv:2: hours: error: \"57.300\" may be a whole number with its thousands marked; "
     "write it without a mark, or with fewer or more decimals\n",
     0},
    {"fitted_hours with three decimals", "parts.csv", 4, "PST-B,piston,PS-31,118.400,,,,",
     "parts.csv:4: fitted_hours: error: \"118.400\" may be a whole number with its thousands "
     "marked; write it without a mark, or with fewer or more decimals\n"
     "readings.csv:8: part: error: parts.csv has no piston on the engine at these hours; name the "
     "part, or complete parts.csv\n",
     0},
    {"price with three decimals", "spares.csv", 2,
     "SP-81,piston,Alder 66,skirt,,65.937,0.004,mm,,84.500,",
     "spares.csv:2: price: error: \"84.500\" may be a whole number with its thousands marked; "
     "write "
     "it without a mark, or with fewer or more decimals\n",
     0},
    {"run_in_hours with three decimals", "models.csv", 2,
     "Alder 66,cast_iron,aluminium_high_si,cast_iron,steel,steel,5.000,150,yes,",
     "models.csv:2: run_in_hours: error: \"5.000\" may be a whole number with its thousands "
     "marked; "
     "write it without a mark, or with fewer or more decimals\n",
     0},

    /* ---- ranges ---- */
    {"resolution 0", "instruments.csv", 3,
     "MIC-72,micrometer,mm,0,0.0027,0.0009,11.5e-6,,2025-01-15,2027-01-15",
     "instruments.csv:3: resolution: error: \"0\" must be above 0; check the number and its unit\n",
     0},
    {"expanded_uncertainty below 0", "instruments.csv", 3,
     "MIC-72,micrometer,mm,0.001,-0.0027,0.0009,11.5e-6,,2025-01-15,2027-01-15",
     "instruments.csv:3: expanded_uncertainty: error: \"-0.0027\" must be above 0; check the "
     "number "
     "and its unit\n",
     0},
    {"repeatability below 0", "instruments.csv", 3,
     "MIC-72,micrometer,mm,0.001,0.0027,-0.0009,11.5e-6,,2025-01-15,2027-01-15",
     "instruments.csv:3: repeatability: error: \"-0.0009\" must be not below 0; check the number "
     "and "
     "its unit\n",
     0},
    {"expansion without its exponent", "instruments.csv", 3,
     "MIC-72,micrometer,mm,0.001,0.0027,0.0009,11.5,,2025-01-15,2027-01-15",
     "instruments.csv:3: expansion: error: \"11.5\" must be per kelvin, such as 11.5e-6; check the "
     "number and its unit\n",
     0},
    {"hours below 0", "inspections.csv", 5, "I-04,PS-32,2025-10-02,-3,found,20.6,,,",
     "inspections.csv:5: hours: error: \"-3\" must be not below 0; check the number and its unit\n",
     0},
    {"temperature in Fahrenheit", "inspections.csv", 2, "I-01,PS-31,2025-03-11,57.3,found,70.5,,,",
     "inspections.csv:2: temperature: error: \"70.5\" must be from -30 to 50 degrees Celsius "
     "(Fahrenheit?); check the number and its unit\n",
     0},
    {"temperature_uncertainty below 0", "inspections.csv", 2,
     "I-01,PS-31,2025-03-11,57.3,found,21.4,-0.5,,",
     "inspections.csv:2: temperature_uncertainty: error: \"-0.5\" must be not below 0; check the "
     "number and its unit\n",
     0},
    {"tolerance below 0", "spares.csv", 3,
     "SP-82,ring_set,Alder 66,end_gap,1,0.34,-0.03,mm,,23.75,",
     "spares.csv:3: tolerance: error: \"-0.03\" must be not below 0; check the number and its "
     "unit\n",
     0},
    {"price below 0", "spares.csv", 3, "SP-82,ring_set,Alder 66,end_gap,1,0.34,0.03,mm,,-23.75,",
     "spares.csv:3: price: error: \"-23.75\" must be not below 0; check the number and its unit\n",
     0},
    {"confidence 95", "shop.csv", 3, "confidence,95",
     "shop.csv:3: value: error: \"95\" must be from 0.5 to below 1; check the number and its "
     "unit\n",
     0},
    {"confidence 1", "shop.csv", 3, "confidence,1",
     "shop.csv:3: value: error: \"1\" must be from 0.5 to below 1; check the number and its unit\n",
     0},
    {"confidence 0.49", "shop.csv", 3, "confidence,0.49",
     "shop.csv:3: value: error: \"0.49\" must be from 0.5 to below 1; check the number and its "
     "unit\n",
     0},
    {"bore 20 % off", "readings.csv", 10, "I-04,bore,,,10,thrust,54.009,,,,mm,MIC-72,",
     "readings.csv:10: reading: error: the bore is more than 10 % away from its nearest limit; "
     "check "
     "the unit, the decimal mark and the zero\n",
     0},
    {"bore below 0", "readings.csv", 10, "I-04,bore,,,10,thrust,-66.009,,,,mm,MIC-72,",
     "readings.csv:10: reading: error: \"-66.009\" must be not below 0 where no zero is given; "
     "check the number and its unit\n",
     0},
    {"bore 0", "readings.csv", 10, "I-04,bore,,,10,thrust,0,,,,mm,MIC-72,",
     "readings.csv:10: reading: error: a bore must be above 0; check the reading and the zero\n"
     "readings.csv:10: reading: warning: the reading of MIC-72 has fewer decimals than its "
     "resolution; look for figures that a spreadsheet has rounded\n",
     0},
    {"deviation without its zero", "readings.csv", 3, "I-01,bore,,,10,pin,-0.012,,,,,BG-71,",
     "readings.csv:3: reading: error: \"-0.012\" must be not below 0 where no zero is given; "
     "check the number and its unit\n",
     0},
    {"inches called mm", "readings.csv", 10, "I-04,bore,,,10,thrust,2.5988,,,,mm,MIC-72,",
     "readings.csv:10: reading: error: the bore is more than 10 % away from its nearest limit; "
     "check "
     "the unit, the decimal mark and the zero\n",
     0},
    {"direction 180", "readings.csv", 5, "I-02,bore,,,10,180,0.021,,,66.000,,BG-71,",
     "readings.csv:5: direction: error: \"180\" must be thrust, pin, or degrees from 0 to below "
     "180; "
     "check the number and its unit\n",
     0},
    {"direction below 0", "readings.csv", 5, "I-02,bore,,,10,-45,0.021,,,66.000,,BG-71,",
     "readings.csv:5: direction: error: \"-45\" must be thrust, pin, or degrees from 0 to below "
     "180; "
     "check the number and its unit\n",
     0},
    {"unknown direction", "readings.csv", 5, "I-02,bore,,,10,across,0.021,,,66.000,,BG-71,",
     "readings.csv:5: direction: error: \"across\" is not a direction; write thrust, pin, or "
     "degrees "
     "from 0 to below 180\n",
     0},
    {"position below 0", "readings.csv", 5, "I-02,bore,,,-10,thrust,0.021,,,66.000,,BG-71,",
     "readings.csv:5: position: error: \"-10\" must be a distance, not below 0; check the number "
     "and "
     "its unit\n",
     0},
    {"no_go not above", "readings.csv", 7, "I-02,end_gap,,1,62,,0.35,,0.35,,,FEEL-73,",
     "readings.csv:7: no_go: error: no_go is not above the reading; write the leaf that does not "
     "enter\n",
     0},
    {"repeats too far apart", "readings.csv", 2, READING_2("0.017,0.618,,66.000"),
     "readings.csv:2: reading_2: error: it is more than 0.5 mm from its repeat, reading in line 2; "
     "check "
     "both; "
     "give different places a position\n",
     0},
    {"repeats in the plan", "plan.csv", 2, "Alder 66,bore,,10,thrust,6,BG-71",
     "plan.csv:2: repeats: error: \"6\" must be from 1 to 5; check the number and its unit\n", 0},
    {"half a repeat in the plan", "plan.csv", 2, "Alder 66,bore,,10,thrust,2.5,BG-71",
     "plan.csv:2: repeats: error: it is not a whole number; write 1, 2, 3, 4 or 5\n", 0},

    /* ---- dates ---- */
    {"impossible date", "inspections.csv", 2, "I-01,PS-31,2025-02-29,57.3,found,21.4,,,",
     "inspections.csv:2: date: error: \"2025-02-29\" is not a day of the calendar from 1900 to "
     "2199; "
     "write it as 2026-04-18\n",
     0},
    {"month first without an order", "inspections.csv", 2,
     "I-01,PS-31,03/11/2025,57.3,found,21.4,,,",
     "inspections.csv:2: date: error: \"03/11/2025\" has slashes and the year last; write "
     "2026-04-18, "
     "or "
     "give date_order in shop.csv\n",
     0},
    {"year of two digits", "inspections.csv", 2, "I-01,PS-31,11.03.25,57.3,found,21.4,,,",
     "inspections.csv:2: date: error: \"11.03.25\" is not a date; write it as 2026-04-18\n", 0},
    {"a spreadsheet's day number", "instruments.csv", 3,
     "MIC-72,micrometer,mm,0.001,0.0027,0.0009,11.5e-6,,45672,2027-01-15",
     "instruments.csv:3: calibrated: error: \"45672\" is not a date; write it as 2026-04-18\n", 0},
    {"due before calibrated", "instruments.csv", 3,
     "MIC-72,micrometer,mm,0.001,0.0027,0.0009,11.5e-6,,2027-01-15,2025-01-15",
     "instruments.csv:3: due: error: due is before calibrated; check both dates\n"
     "readings.csv:2: instrument: warning: the calibration of MIC-72 was due on 2025-01-15, before "
     "the inspection; have it calibrated and measure again\n"
     "readings.csv:2: instrument: warning: the first calibration of MIC-72 known is of 2027-01-15, "
     "after the inspection; add the earlier calibration to instruments.csv\n"
     "readings.csv:4: instrument: warning: the calibration of MIC-72 was due on 2025-01-15, before "
     "the inspection; have it calibrated and measure again\n"
     "readings.csv:4: instrument: warning: the first calibration of MIC-72 known is of 2027-01-15, "
     "after the inspection; add the earlier calibration to instruments.csv\n"
     "readings.csv:5: instrument: warning: the calibration of MIC-72 was due on 2025-01-15, before "
     "the inspection; have it calibrated and measure again\n"
     "readings.csv:5: instrument: warning: the first calibration of MIC-72 known is of 2027-01-15, "
     "after the inspection; add the earlier calibration to instruments.csv\n"
     "readings.csv:6: instrument: warning: the calibration of MIC-72 was due on 2025-01-15, before "
     "the inspection; have it calibrated and measure again\n"
     "readings.csv:6: instrument: warning: the first calibration of MIC-72 known is of 2027-01-15, "
     "after the inspection; add the earlier calibration to instruments.csv\n"
     "readings.csv:8: instrument: warning: the calibration of MIC-72 was due on 2025-01-15, before "
     "the inspection; have it calibrated and measure again\n"
     "readings.csv:8: instrument: warning: the first calibration of MIC-72 known is of 2027-01-15, "
     "after the inspection; add the earlier calibration to instruments.csv\n"
     "readings.csv:10: instrument: warning: the calibration of MIC-72 was due on 2025-01-15, "
     "before "
     "the inspection; have it calibrated and measure again\n"
     "readings.csv:10: instrument: warning: the first calibration of MIC-72 known is of "
     "2027-01-15, "
     "after the inspection; add the earlier calibration to instruments.csv\n",
     0},
    {"an order that no date needs is no problem", "shop.csv", 0, "key,value\ndate_order,dmy\n", "",
     0},
    {"hours fall with date", "inspections.csv", 2, "I-01,PS-31,2025-11-30,57.3,found,21.4,,,",
     "inspections.csv:2: hours: error: the hours fall with date: compare with line 3; correct the "
     "hours or the date\n",
     0},

    /* ---- names ---- */
    {"unknown engine", "inspections.csv", 5, "I-04,PS-33,2025-10-02,0,found,20.6,,,",
     "inspections.csv:5: engine: error: there is no engine \"PS-33\"; add it to engines.csv, or "
     "correct the name\n",
     0},
    {"unknown engine of a part", "parts.csv", 2, "CYL-A,cylinder,ps-31,0,,,,",
     "parts.csv:2: engine: error: there is no engine \"ps-31\"; add it to engines.csv, or correct "
     "the name\n"
     "condition.csv:3: part: error: there is no part \"CYL-A\"; add it to parts.csv, or correct "
     "the "
     "name\n",
     0},
    {"unknown model", "engines.csv", 3, "PS-32,Alder 68,pump of the lower hall",
     "engines.csv:3: model: error: the model \"Alder 68\" is not known; correct the name, or add "
     "the model to models.csv\n",
     0},
    {"unknown model of a limit", "limits.csv", 3,
     "Alder66,skirt,,mm,65.921,65.943,65.872,,yes,leaf 4",
     "limits.csv:3: model: error: the model \"Alder66\" is not known; correct the name, or add the "
     "model to models.csv\n",
     0},
    {"unknown model of the plan", "plan.csv", 3, "Alder 6,skirt,,12,,1,MIC-72",
     "plan.csv:3: model: error: the model \"Alder 6\" is not known; correct the name, or add the "
     "model to models.csv\n",
     0},
    {"unknown model of a spare", "spares.csv", 2,
     "SP-81,piston,Alder 68,skirt,,65.937,0.004,mm,,84.50,",
     "spares.csv:2: model: error: there is no model \"Alder 68\"; add it to models.csv, or correct "
     "the name\n",
     0},
    {"unknown inspection", "readings.csv", 6, "I-2,skirt,,,12,,65.924,,,,,MIC-72,",
     "readings.csv:6: inspection: error: there is no inspection \"I-2\"; add it to "
     "inspections.csv, "
     "or correct the name\n",
     0},
    {"unknown inspection of a condition", "condition.csv", 2, "I-20,piston,light scuffing,watch",
     "condition.csv:2: inspection: error: there is no inspection \"I-20\"; add it to "
     "inspections.csv, or correct the name\n",
     0},
    {"unknown part", "readings.csv", 4, "I-01,skirt,PST-AA,,12,,65.931,,,,,MIC-72,",
     "readings.csv:4: part: error: there is no part \"PST-AA\"; add it to parts.csv, or correct "
     "the "
     "name\n",
     0},
    {"part not on the engine then", "readings.csv", 4, "I-01,skirt,PST-B,,12,,65.931,,,,,MIC-72,",
     "readings.csv:4: part: error: PST-B is not on the engine at this inspection; correct the "
     "name, "
     "or the hours in parts.csv\n",
     0},
    {"part of another engine", "readings.csv", 10,
     "I-04,bore,CYL-A,,10,thrust,66.009,,,,mm,MIC-72,",
     "readings.csv:10: part: error: CYL-A is not on the engine at this inspection; correct the "
     "name, "
     "or the hours in parts.csv\n",
     0},
    {"part of another kind", "readings.csv", 4, "I-01,skirt,CYL-A,,12,,65.931,,,,,MIC-72,",
     "readings.csv:4: part: error: CYL-A is a cylinder, but skirt is measured on a piston; name "
     "the "
     "part that was measured\n",
     0},
    {"unknown part in a condition", "condition.csv", 3, "I-03,CYL-Z,clean,note",
     "condition.csv:3: part: error: there is no part \"CYL-Z\"; add it to parts.csv, or correct "
     "the "
     "name\n",
     0},
    {"two pistons in an inspection", "readings.csv", 6,
     "I-02,skirt,PST-A,,12,,65.924,,,,,MIC-72,\nI-02,skirt,PST-B,,12,,65.936,,,,,MIC-72,",
     "readings.csv:7: part: error: two parts of one kind in an inspection: PST-A and PST-B; make "
     "two "
     "inspections of it, one found and one built\n",
     0},
    {"no state at a change", "inspections.csv", 3, "I-02,PS-31,2025-09-24,118.4,,18.7,,,",
     "readings.csv:6: part: error: parts of kind piston change at these hours; name the part, or "
     "give the inspection's state (found or built)\n"
     "condition.csv:2: part: error: parts of kind piston change at these hours; name the part, or "
     "give the inspection's state (found or built)\n",
     0},
    {"a gap in the history", "parts.csv", 3, "PST-A,piston,PS-31,0,40.2,,,",
     "parts.csv:4: fitted_hours: warning: the engine has no piston from 40.2 to 118.4 h, after "
     "PST-A of line 3; correct the hours of one of them, or add the part between\n"
     "readings.csv:4: part: error: PST-A is not on the engine at this inspection; correct the "
     "name, "
     "or the hours in parts.csv\n",
     0},
    {"unknown kind", "parts.csv", 3, "PST-A,plunger,PS-31,0,118.4,,,",
     "parts.csv:3: kind: error: \"plunger\" is not a word that this column knows; write one of: "
     "cylinder, piston, ring_set, pin, small_end_bearing, rod, head, other\n"
     "readings.csv:4: part: error: there is no part \"PST-A\"; add it to parts.csv, or correct the "
     "name\n",
     0},
    {"unknown state", "inspections.csv", 2, "I-01,PS-31,2025-03-11,57.3,worn,21.4,,,",
     "inspections.csv:2: state: error: \"worn\" is not a word that this column knows; write one "
     "of: "
     "found, built\n",
     0},
    {"unknown severity", "condition.csv", 2, "I-02,piston,light scuffing,bad",
     "condition.csv:2: severity: error: \"bad\" is not a word that this column knows; write one "
     "of: "
     "note, watch, reject\n",
     0},
    {"unknown rule", "shop.csv", 4, "rule,strict",
     "shop.csv:4: value: error: \"strict\" is not a word that this column knows; write one of: "
     "guarded, simple\n",
     0},
    {"unknown date_order", "shop.csv", 5, "date_order,ymd",
     "shop.csv:5: value: error: \"ymd\" is not a word that this column knows; write one of: dmy, "
     "mdy\n",
     0},
    {"unknown required", "limits.csv", 2, "Alder 66,bore,,mm,66.000,66.022,,66.104,maybe,leaf 4",
     "limits.csv:2: required: error: \"maybe\" is not a word that this column knows; write one of: "
     "no, yes\n",
     0},
    {"unknown reborable", "models.csv", 2,
     "Alder 66,cast_iron,aluminium_high_si,cast_iron,steel,steel,5,150,1,",
     "models.csv:2: reborable: error: \"1\" is not a word that this column knows; write one of: "
     "no, "
     "yes\n",
     0},
    {"unknown material", "models.csv", 2,
     "Alder 66,castiron,aluminium,cast_iron,steel,steel,5,150,,",
     "models.csv:2: cylinder_material: error: \"castiron\" is not a known material, the nearest is "
     "cast_iron; write aluminium, aluminium_high_si, cast_iron, steel, or a number per kelvin\n",
     0},
    {"material without its exponent", "models.csv", 2,
     "Alder 66,11,aluminium,cast_iron,steel,steel,5,150,,",
     "models.csv:2: cylinder_material: error: \"11\" must be a material's word or per kelvin, such "
     "as 22e-6; check the number and its unit\n",
     0},
    {"unknown unit", "readings.csv", 10, "I-04,bore,,,10,thrust,66.009,,,,cm,MIC-72,",
     "readings.csv:10: unit: error: \"cm\" is not a unit of length; write mm, um, in or thou\n", 0},
    {"unit of a limit", "limits.csv", 3, "Alder 66,skirt,,inch,65.921,65.943,65.872,,yes,leaf 4",
     "limits.csv:3: unit: error: \"inch\" is not a unit of length; write mm, um, in or thou\n", 0},
    {"unit other than the limit's", "readings.csv", 11, "I-04,compression,,,,,8.74,,,,bar,,",
     "readings.csv:11: unit: error: the limit of this feature has another unit (limits.csv, line "
     "6); "
     "write both in the same unit\n",
     0},
    {"unit other than the gauge's", "instruments.csv", 5, "GAU-74,,bar,0.05,0.22,,,,,",
     "readings.csv:11: instrument: error: GAU-74 has another unit (instruments.csv, line 5); "
     "correct the unit here or in instruments.csv\n",
     0},
    {"feature that is computed", "readings.csv", 9, "I-03,skirt_clearance,,,,,0.07,,,,,,",
     "readings.csv:9: feature: error: skirt_clearance is computed, it is not read from a gauge; "
     "give "
     "what is measured, or use a name of your own such as skirt_clearance_feeler\n",
     0},
    {"quantity misspelled", "limits.csv", 2, "Alder 66,boer,,mm,66.000,66.022,,66.104,yes,leaf 4",
     "limits.csv:2: quantity: error: \"boer\" is not a known quantity; write bore, or give a "
     "feature "
     "of your own a name less like it\n",
     0},
    {"feature misspelled", "readings.csv", 6, "I-02,skrit,,,12,,65.924,,,,,MIC-72,",
     "readings.csv:6: feature: error: \"skrit\" is not a known quantity; write skirt, or give a "
     "feature of your own a name less like it\n",
     0},
    {"ring number", "readings.csv", 7, "I-02,end_gap,,top,62,,0.35,,0.40,,,FEEL-73,",
     "readings.csv:7: item: error: \"top\" is not a ring number; write the ring's number from the "
     "top: 1, 2 ...\n",
     0},
    {"pin boss", "readings.csv", 9, "I-03,pin_bore,,1,,,16.004,,,,,,",
     "readings.csv:9: item: error: \"1\" is not a pin boss; write left or right\n", 0},
    {"item of a bore", "readings.csv", 10, "I-04,bore,,1,10,thrust,66.009,,,,mm,MIC-72,",
     "readings.csv:10: item: error: bore has no items; leave the cell empty\n", 0},
    {"set_with unknown", "instruments.csv", 2,
     "BG-71,comparator bore gauge,mm,0.001,0.0031,0.0012,,MIC-27,2025-01-14,2027-01-14",
     "instruments.csv:2: set_with: error: there is no instrument \"MIC-27\"; add it to "
     "instruments.csv, or correct the name\n",
     0},
    {"set_with circle", "instruments.csv", 3,
     "MIC-72,micrometer,mm,0.001,0.0027,0.0009,11.5e-6,BG-71,2025-01-15,2027-01-15",
     "instruments.csv:2: set_with: error: the instruments are set with each other in a circle; "
     "name "
     "the instrument whose size it takes over, and no circle\n"
     "instruments.csv:3: set_with: error: the instruments are set with each other in a circle; "
     "name "
     "the instrument whose size it takes over, and no circle\n",
     0},
    {"set_with itself", "instruments.csv", 4, "FEEL-73,feelers,mm,,0.011,,,FEEL-73,,",
     "instruments.csv:4: set_with: error: the instruments are set with each other in a circle; "
     "name "
     "the instrument whose size it takes over, and no circle\n",
     0},

    /* ---- rows twice, rows that contradict ---- */
    {"engine twice", "engines.csv", 3, "PS-31,Alder 66,",
     "engines.csv:3: engine: error: PS-31 stands twice; keep one row for each engine\n"
     "inspections.csv:5: engine: error: there is no engine \"PS-32\"; add it to engines.csv, or "
     "correct the name\n",
     0},
    {"inspection twice", "inspections.csv", 4, "I-02,PS-31,2025-09-25,118.4,built,18.9,,,",
     "inspections.csv:4: inspection: error: I-02 stands twice; give each inspection a name of its "
     "own\n"
     "readings.csv:8: inspection: error: there is no inspection \"I-03\"; add it to "
     "inspections.csv, "
     "or correct the name\n"
     "readings.csv:9: inspection: error: there is no inspection \"I-03\"; add it to "
     "inspections.csv, "
     "or correct the name\n"
     "condition.csv:3: inspection: error: there is no inspection \"I-03\"; add it to "
     "inspections.csv, or correct the name\n",
     0},
    {"limit twice", "limits.csv", 3, "Alder 66,BORE,,mm,66.000,66.022,,66.104,yes,leaf 4",
     "limits.csv:3: quantity: error: the same quantity and item stand in line 2; keep one of "
     "them\n",
     0},
    {"model twice", "models.csv", 2,
     "Alder 66,cast_iron,aluminium_high_si,cast_iron,steel,steel,5,150,yes,\n"
     "Alder 66,cast_iron,aluminium_high_si,cast_iron,steel,steel,5,150,yes,",
     "models.csv:3: model: error: Alder 66 stands twice; keep one row for each model\n", 0},
    {"instrument twice", "instruments.csv", 4, "MIC-72,another,mm,0.01,0.02,,,,2025-01-15,",
     "instruments.csv:4: calibrated: error: the same instrument and date stand in line 3; keep "
     "one, "
     "or give each its own date of calibration\n"
     "readings.csv:7: instrument: warning: there is no instrument \"FEEL-73\": its uncertainty is "
     "not stated; add it to instruments.csv, or correct the name\n",
     0},
    {"spare twice", "spares.csv", 3, "SP-81,piston,Alder 66,skirt,,65.941,0.004,mm,,84.50,",
     "spares.csv:3: spare: error: SP-81 stands twice; keep one of them\n", 0},
    {"spare with a feature of another kind", "spares.csv", 2,
     "SP-81,piston,Alder 66,bore,,66.012,0.004,mm,,84.50,",
     "spares.csv:2: feature: error: bore is measured on a cylinder, the spare's kind is piston; "
     "correct the kind or the feature\n",
     0},
    {"size of a spare far from its limits", "spares.csv", 2,
     "SP-81,piston,Alder 66,skirt,,56.937,0.004,mm,,84.50,",
     "spares.csv:2: size: error: the size is more than 10 % away from its nearest limit; check the "
     "unit, the decimal mark and the oversize\n",
     0},
    {"size of a spare in another unit", "spares.csv", 2,
     "SP-81,piston,Alder 66,skirt,,65.937,0.004,in,,84.50,",
     "spares.csv:2: size: error: the size is more than 10 % away from its nearest limit; check the "
     "unit, the decimal mark and the oversize\n",
     0},
    {"rows of a spare with another kind", "spares.csv", 3,
     "SP-81,ring_set,Alder 66,end_gap,1,0.34,0.03,mm,,84.50,",
     "spares.csv:3: kind: error: the same spare has another kind in line 2; one spare is one part: "
     "write it alike, or rename one\n",
     0},
    {"rows of a spare with another oversize", "spares.csv", 3,
     "SP-82,ring_set,Alder 66,end_gap,1,0.34,0.03,mm,0.25,23.75,\n"
     "SP-82,ring_set,Alder 66,end_gap,2,0.34,0.03,mm,0.50,23.75,",
     "spares.csv:4: oversize: error: the same spare has another oversize in line 3; one spare is "
     "one part: write it alike, or rename one\n",
     0},
    {"rows of a spare with another price", "spares.csv", 3,
     "SP-82,ring_set,Alder 66,end_gap,1,0.34,0.03,mm,,23.75,\n"
     "SP-82,ring_set,Alder 66,end_gap,2,0.34,0.03,mm,,32.75,",
     "spares.csv:4: price: error: the same spare has another price in line 3; one spare is one "
     "part: write it alike, or rename one\n",
     0},
    {"size without its feature", "spares.csv", 3, "SP-82,ring_set,Alder 66,,,0.34,0.03,mm,,23.75,",
     "spares.csv:3: feature: error: a size without a feature; name the feature that the size is "
     "of\n",
     0},
    {"key twice", "shop.csv", 4, "Confidence,0.99",
     "shop.csv:4: key: error: confidence stands twice; keep one of them\n", 0},
    {"new_min above new_max", "limits.csv", 2, "Alder 66,bore,,mm,66.022,66.000,,66.104,yes,leaf 4",
     "limits.csv:2: new_min: error: new_min is above new_max; check both limits\n", 0},
    {"service_min above service_max", "limits.csv", 5, "Alder 66,squish,,mm,,,1.60,1.00,no,leaf 6",
     "limits.csv:5: service_min: error: service_min is above service_max; check both limits\n", 0},
    {"service_max below new_max", "limits.csv", 2,
     "Alder 66,bore,,mm,66.000,66.022,,66.010,yes,leaf 4",
     "limits.csv:2: service_max: error: new_max is above service_max; check both limits\n", 0},
    {"service_min above new_min", "limits.csv", 3,
     "Alder 66,skirt,,mm,65.921,65.943,65.930,,yes,leaf 4",
     "limits.csv:3: service_min: error: service_min is above new_min; check both limits\n", 0},
    {"removed before fitted", "parts.csv", 4, "PST-B,piston,PS-31,118.4,100,,,",
     "parts.csv:4: removed_hours: error: it is removed before it is fitted; check both hours\n"
     "readings.csv:8: part: error: parts.csv has no piston on the engine at these hours; name the "
     "part, or complete parts.csv\n",
     0},
    {"never removed", "parts.csv", 3, "PST-A,piston,PS-31,0,,,,",
     "parts.csv:3: removed_hours: warning: blank, but PST-B was fitted at 118.4 h: taken as "
     "removed "
     "then; write it down\n",
     0},
    {"two fitted at the same hours", "parts.csv", 3, "PST-A,piston,PS-31,118.4,,,,",
     "parts.csv:3: removed_hours: error: PST-A is on the engine at the same time as PST-B of line "
     "4; "
     "correct the hours of fitting and removal\n"
     "readings.csv:4: part: error: PST-A is not on the engine at this inspection; correct the "
     "name, or "
     "the hours in parts.csv\n"
     "readings.csv:8: part: error: parts of kind piston change at these hours; name the part, or "
     "give the inspection's state (found or built)\n",
     0},
    {"fitted too early", "parts.csv", 4, "PST-B,piston,PS-31,117.4,,,,",
     "parts.csv:4: fitted_hours: error: PST-B is on the engine at the same time as PST-A of line "
     "3; "
     "correct the hours of fitting and removal\n"
     "readings.csv:6: part: error: parts of kind piston change at these hours; name the part, or "
     "give the inspection's state (found or built)\n"
     "condition.csv:2: part: error: parts of kind piston change at these hours; name the part, or "
     "give the inspection's state (found or built)\n",
     0},
    {"a part of two kinds", "parts.csv", 4, "PST-A,pin,PS-31,118.4,,,,",
     "parts.csv:4: kind: error: line 3 says that it is a piston; a part has one kind: correct it, "
     "or "
     "rename the part\n"
     "readings.csv:8: part: error: parts.csv has no piston on the engine at these hours; name the "
     "part, or complete parts.csv\n",
     0},
    {"zeros of repeats differ", "readings.csv", 2,
     READING_2("0.017,,,66.000") "\n" READING_2("0.018,,,66.001"),
     "readings.csv:3: zero: error: the zero differs from that of the repeat in line 2; set the "
     "gauge "
     "once for all repeats, or name another\n",
     0},
    {"no_go of repeats differ", "readings.csv", 7,
     "I-02,end_gap,,1,62,,0.35,,0.40,,,FEEL-73,\nI-02,end_gap,,1,62,,0.35,,0.45,,,FEEL-73,",
     "readings.csv:8: no_go: error: the no_go differs from that of the repeat in line 7; repeats "
     "share "
     "one no_go: write the leaf that holds for all\n",
     0},
    {"units of repeats differ", "readings.csv", 11,
     "I-04,side play,,,,,0.31,,,,mm,,\nI-04,side play,,,,,12,,,,divisions,,",
     "limits.csv:6: quantity: warning: no reading and no plan names \"compression\"; check that it "
     "is "
     "spelt as there\n"
     "readings.csv:12: unit: error: the unit differs from that of the same feature in line 11; "
     "write "
     "both "
     "in the same unit\n",
     0},

    /* ---- cells that are missing ---- */
    {"blank reading", "readings.csv", 6, "I-02,skirt,,,12,,,,,,,MIC-72,",
     "readings.csv:6: reading: error: the cell is empty; measure it, or delete the row\n", 0},
    {"blank feature", "readings.csv", 6, "I-02,,,,12,,65.924,,,,,MIC-72,",
     "readings.csv:6: feature: error: the cell is empty; fill it in\n", 0},
    {"blank inspection", "readings.csv", 6, ",skirt,,,12,,65.924,,,,,MIC-72,",
     "readings.csv:6: inspection: error: the cell is empty; fill it in\n", 0},
    {"blank model", "engines.csv", 3, "PS-32,,pump of the lower hall",
     "engines.csv:3: model: error: the cell is empty; fill it in\n", 0},
    {"blank unit", "limits.csv", 3, "Alder 66,skirt,,,65.921,65.943,65.872,,yes,leaf 4",
     "limits.csv:3: unit: error: the cell is empty; fill it in\n", 0},
    {"blank hours and date", "inspections.csv", 5, "I-04,PS-32,,,found,20.6,,,",
     "inspections.csv:5: date: error: the cell is empty; fill it in\n"
     "inspections.csv:5: hours: error: the cell is empty; fill it in\n",
     0},
    {"blank fitted_hours", "parts.csv", 2, "CYL-A,cylinder,PS-31,,,,,",
     "parts.csv:2: fitted_hours: error: the cell is empty; fill it in\n", 0},
    {"blank finding", "condition.csv", 2, "I-02,piston,,watch",
     "condition.csv:2: finding: error: the cell is empty; fill it in\n", 0},
    {"short row", "inspections.csv", 2, "I-01,PS-31",
     "inspections.csv:2: temperature: warning: no temperature: sizes are not corrected, an error "
     "of 5 K either "
     "way is allowed for; read the thermometer next time\n"
     "inspections.csv:2: date: error: the cell is empty; fill it in\n"
     "inspections.csv:2: hours: error: the cell is empty; fill it in\n",
     0},

    /* ---- headers, quotes, bytes ---- */
    {"column missing", "readings.csv", 1,
     "inspection,part,item,position,direction,reading,reading_2,no_go,zero,unit,instrument,note",
     "readings.csv:1: feature: error: the header row lacks this column; add the column\n", 0},
    {"column twice", "inspections.csv", 1,
     "inspection,engine,date,hours,state,temperature,Hours,by,note",
     "inspections.csv:1: hours: error: the column stands twice in the header; keep one of them\n",
     0},
    {"title row", "limits.csv", 1,
     "Limits of the Alder 66\n"
     "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,source",
     "limits.csv:1: error: this row holds none of the column names of limits.csv; the first row "
     "must "
     "be the header row: delete a title row, or add the header\n",
     0},
    {"no header row", "engines.csv", 1, NULL,
     "engines.csv:1: error: this row holds none of the column names of engines.csv; the first row "
     "must be the header row: delete a title row, or add the header\n",
     0},
    {"second header row", "parts.csv", 3,
     "Part,Kind,Engine,Fitted_Hours,removed_hours,hours_before,oversize,note\n"
     "PST-A,piston,PS-31,0,118.4,,,",
     "parts.csv:3: error: this is a second header row; delete it\n", 0},
    {"past the header", "engines.csv", 3, "PS-32,Alder 66,pump, lower hall",
     "engines.csv:3: error: \"lower hall\" stands past the last column of the header; check for a "
     "missing quote, a stray delimiter or a decimal comma\n",
     0},
    {"stray quote", "condition.csv", 2, "I-02,piston,3/4\" of the skirt scuffed,watch",
     "condition.csv:2: error: a quote stands where none may be; put the whole cell in quotes and "
     "double the quotes in it\n",
     0},
    {"text after a quote", "condition.csv", 2, "I-02,piston,\"scuffed\" lightly,watch",
     "condition.csv:2: error: a quote stands where none may be; put the whole cell in quotes and "
     "double the quotes in it\n",
     0},
    {"quote never closed", "condition.csv", 3, "I-03,CYL-A,\"clean,note",
     "condition.csv:3: error: a quote is opened and never closed; close it or take it out\n", 0},
    {"quotes that swallow rows", "readings.csv", 8,
     "I-03,skirt,,,12,,65.938,,,,,MIC-72,\"\nI-03,squish,,,,,1.31,,,,,,\"",
     "readings.csv:8: error: a quoted cell holds what looks like rows; look for a stray quote in "
     "this row and the next\n"
     "readings.csv:9: error: a quote is opened and never closed; close it or take it out\n",
     0},
    {"quotes that swallow rows of three cells", "engines.csv", 2,
     "PS-30,\"Alder 66,\nPS-31,Alder 66,\"",
     "engines.csv:2: error: a quoted cell holds what looks like rows; look for a stray quote in "
     "this "
     "row and the next\n"
     "engines.csv:3: error: a quote is opened and never closed; close it or take it out\n",
     0},
    {"NUL byte", "readings.csv", 9, "I-03,squish,,,,,1.3\0001,,,,,,",
     "readings.csv:9: error: the line holds a NUL byte; save the file again as CSV in UTF-8\n",
     sizeof "I-03,squish,,,,,1.3\0001,,,,,," - 1},
    {"a byte of no alphabet", "condition.csv", 3,
     "I-03,CYL-A,cl\x81"
     "an,note",
     "condition.csv:3: error: the bytes are neither UTF-8 nor Windows-1252; save the file again as "
     "CSV in UTF-8\n",
     0},
    {"UTF-8 cut short", "condition.csv", 3, "I-03,CYL-A,gr\xc3\xbcn \xe2\x82,note",
     "condition.csv: warning: the file is not UTF-8 and is read as Windows-1252; check names with "
     "accents, or save the file in UTF-8\n",
     0},
    {"UTF-16 cut short", "condition.csv", 0, "\xff\xfei\0n\0s",
     "condition.csv:1: error: the bytes are neither UTF-8 nor UTF-16; save the file again as CSV "
     "in "
     "UTF-8\n",
     7},

    /* ---- files ---- */
    {"engines.csv missing", "engines.csv", 0, NULL,
     "engines.csv: error: the file is missing; write it; topend init makes a new "
     "folder with each file to copy from\n",
     0},
    {"limits.csv missing", "limits.csv", 0, NULL,
     "limits.csv: error: the file is missing; write it; topend init makes a new "
     "folder with each file to copy from\n",
     0},
    {"inspections.csv missing", "inspections.csv", 0, NULL,
     "inspections.csv: error: the file is missing; write it; topend init makes a new "
     "folder with each file to copy from\n",
     0},
    {"readings.csv missing", "readings.csv", 0, NULL,
     "readings.csv: error: the file is missing; write it; topend init makes a new "
     "folder with each file to copy from\n",
     0},
    {"engines.csv empty", "engines.csv", 0, "",
     "engines.csv: error: the file is empty; write its header row and the rows\n", 0},
    {"readings.csv of blank rows and a comment", "readings.csv", 0, "\n,,,\n# nothing yet\n",
     "readings.csv: error: the file is empty; write its header row and the rows, or delete the "
     "file when readings/ holds them\n",
     0},
    {"limits.csv without rows", "limits.csv", 0, "model,quantity,unit\n",
     "limits.csv:1: error: the file has a header row and nothing below it; add the rows (one that "
     "begins with # is not read)\n",
     0},
    {"inspections.csv without rows", "inspections.csv", 0, "inspection,engine,date,hours\n",
     "inspections.csv:1: error: the file has a header row and nothing below it; add the rows (one "
     "that begins with # is not read)\n",
     0},
    {"readings.csv without rows", "readings.csv", 0, "inspection,feature,reading\n",
     "readings.csv: error: there is not one reading in readings.csv and readings/; add the rows\n",
     0},
    {"models.csv without rows is no problem", "models.csv", 0, "model\n", "", 0},

    /* ---- warnings ---- */
    {"unknown column", "engines.csv", 1, "engine,model,notes",
     "engines.csv:1: warning: the column \"notes\" is not known and is not read; the nearest known "
     "column is note\n",
     0},
    {"unknown column like an absent one", "limits.csv", 1,
     "model,quantity,item,unit,new_min,new_max,service_min,servce_max,required,source",
     "limits.csv:1: error: the column \"servce_max\" is not known; write service_max, or give a "
     "column "
     "of your own a name less like it\n",
     0},
    {"unknown column that is no name", "instruments.csv", 1,
     "instrument,description,unit,resolution,0.004,repeatability,expansion,set_with,calibrated,due",
     "instruments.csv:1: error: \"0.004\" is no name of a column; write the column's name; one of "
     "your own begins with a letter\n",
     0},
    {"unknown column of two", "inspections.csv", 1,
     "inspection,engine,date,hours,state,temperatureXtemperature_uncertainty,by,note",
     "inspections.csv:1: error: \"temperatureXtemperature_uncertainty\" is no name of a column; "
     "write "
     "the column's name; one of your own begins with a letter\n",
     0},
    {"feature that is no name", "limits.csv", 2,
     "Alder 66,66.03 mm,,mm,66.000,66.020,,66.100,yes,x",
     "limits.csv:2: quantity: error: \"66.03 mm\" is no name of a quantity; the name of a feature "
     "of "
     "your own begins with a letter\n",
     0},
    {"limit of a metre", "limits.csv", 2, "Alder 66,bore,,mm,66.000,66.020,,66100,yes,x",
     "limits.csv:2: service_max: error: a limit of bore is above 1000 mm; check the figure and the "
     "unit\n",
     0},
    {"limit of an own feature of a metre", "limits.csv", 2, "Alder 66,side play,,mm,,,,66100,yes,x",
     "limits.csv:2: service_max: error: a limit of a feature of your own is above 1000 mm; check "
     "the "
     "figure and the unit\n",
     0},
    {"exponent that changes nothing", "limits.csv", 2,
     "Alder 66,bore,,mm,66.000,66.020,,66.1E0,yes,x",
     "limits.csv:2: service_max: error: \"66.1E0\" has an exponent that changes nothing; was a "
     "digit "
     "lost? Write the number without it\n",
     0},
    {"exponent of a format with a digit more", "limits.csv", 2,
     "Alder 66,bore,,mm,66.000,66.020,,6.612E+01,yes,x",
     "limits.csv:2: service_max: error: \"6.612E+01\" has an exponent and so few digits that some "
     "may have been cut; show the column as a plain number, and save the file again\n",
     0},
    {"exponent that cut nothing", "limits.csv", 2,
     "Alder 66,bore,,mm,66.000,66.020,,6.6119E+01,yes,x", "", 0},
    {"exponent that cut an uncertainty", "instruments.csv", 3,
     "MIC-72,micrometer,mm,0.001,3E-03,0.0009,11.5e-6,,2025-01-15,2027-01-15",
     "instruments.csv:3: expanded_uncertainty: error: \"3E-03\" has an exponent and so few digits "
     "that some "
     "may have been cut; show the column as a plain number, and save the file again\n",
     0},
    {"service limit of a size with digits swapped", "limits.csv", 3,
     "Alder 66,skirt,,mm,65.921,65.943,56.872,,yes,leaf 4",
     "limits.csv:3: service_min: warning: it is more than 0.5 mm from the as-new limits of the "
     "row; "
     "check the digits and the mark\n",
     0},
    {"service limit of a size half a millimetre off", "limits.csv", 3,
     "Alder 66,skirt,,mm,65.921,65.943,65.421,66.443,yes,leaf 4", "", 0},
    {"service limit of a size just more off", "limits.csv", 2,
     "Alder 66,bore,,mm,66.000,66.022,,66.523,yes,leaf 4",
     "limits.csv:2: service_max: warning: it is more than 0.5 mm from the as-new limits of the "
     "row; "
     "check the digits and the mark\n",
     0},
    {"service limit of a gap with its mark lost", "limits.csv", 4,
     "Alder 66,end_gap,,mm,0.25,0.45,,8.7,yes,leaf 5",
     "limits.csv:4: service_max: warning: it is more than ten times new_max; check the digits and "
     "the mark\n",
     0},
    {"service limit of a gap ten times as new", "limits.csv", 4,
     "Alder 66,end_gap,,mm,0.25,0.45,,4.5,yes,leaf 5", "", 0},
    {"exponent that cut digits", "limits.csv", 2, "Alder 66,bore,,mm,66.000,66.020,,6.61E+01,yes,x",
     "limits.csv:2: service_max: error: \"6.61E+01\" has an exponent and so few digits that some "
     "may "
     "have been cut; show the column as a plain number, and save the file again\n",
     0},
    {"header cut in two", "inspections.csv", 1,
     "inspection,engine,date,hours,state,temper,ature,by,note",
     "inspections.csv:1: error: \"temper\" is no name of a column; write the column's name; one of "
     "your "
     "own begins with a letter\n"
     "inspections.csv:1: error: \"ature\" is no name of a column; write the column's name; one of "
     "your "
     "own begins with a letter\n",
     0},
    {"unknown key", "shop.csv", 5, "currrency,EUR",
     "shop.csv:5: key: warning: \"currrency\" is not known and is not read; the nearest known key "
     "is "
     "currency\n",
     0},
    {"limit without its source", "limits.csv", 4, "Alder 66,end_gap,,mm,0.25,0.45,,0.87,yes,",
     "limits.csv:4: source: warning: the limit has no source; name the manual and page that it "
     "comes from\n",
     0},
    {"no temperature", "inspections.csv", 2, "I-01,PS-31,2025-03-11,57.3,found,,,,",
     "inspections.csv:2: temperature: warning: no temperature: sizes are not corrected, an error "
     "of 5 K either "
     "way is allowed for; read the thermometer next time\n",
     0},
    {"column that is a figure with its unit", "engines.csv", 1, "engine,model,66.03 mm",
     "engines.csv:1: error: \"66.03 mm\" is no name of a column; write the column's name; one of "
     "your own begins with "
     "a letter\n",
     0},
    {"confidence of a format that cut it", "shop.csv", 3, "confidence,9E-01",
     "shop.csv:3: value: error: \"9E-01\" has an exponent and so few digits that some may have "
     "been cut; show the "
     "column as a plain number, and save the file again\n",
     0},
    {"column of a spreadsheet's error", "engines.csv", 1, "engine,model,#REF!",
     "engines.csv:1: error: \"#REF!\" is no name of a column; write the column's name; one of your "
     "own begins with a letter\n",
     0},
    {"column cut before a known name", "inspections.csv", 1,
     "inspection,engine,date,hours,state,temperature,uncertainty,by,note",
     "inspections.csv:1: error: \"uncertainty\" is no name of a column; write the column's name; "
     "one of your own begins "
     "with a letter\n",
     0},
    {"row behind a bare #", "limits.csv", 3, "#,skirt,,mm,65.921,65.943,65.872,,yes,leaf 4",
     "limits.csv:3: warning: the row begins with # and is not read; if it is meant to count, write "
     "its first cell\n",
     0},
    {"row behind a bare # to its last cell", "condition.csv", 2,
     "#,piston,light scuffing on the thrust side,watch",
     "condition.csv:2: warning: the row begins with # and is not read; if it is meant to count, "
     "write its first cell\n",
     0},
    {"row behind a bare # in quotes", "limits.csv", 3,
     "\"#\",skirt,,mm,65.921,65.943,65.872,,yes,leaf 4",
     "limits.csv:3: warning: the row begins with # and is not read; if it is meant to count, write "
     "its first cell\n",
     0},
    {"remark behind a bare #", "limits.csv", 3, "#,skirt,as leaf 4 says", "", 0},
    {"remark behind a bare # in quotes", "limits.csv", 3, "\"#\",skirt,,,as leaf 4 says", "", 0},
    {"remark behind # in quotes", "limits.csv", 3, "\"# seen\",skirt,,mm", "", 0},
    {"row behind a bare #, its first cell required alone", "models.csv", 2, "#,cast_iron,,,,,,,,",
     "models.csv:2: warning: the row begins with # and is not read; if it is meant to count, write "
     "its first cell\n",
     0},
    {"bare # above a header", "plan.csv", 1,
     "#,bore\nmodel,feature,item,position,direction,repeats,instrument", "", 0},
    {"bare # in quotes above a header", "plan.csv", 1,
     "\"#\",bore\nmodel,feature,item,position,direction,repeats,instrument", "", 0},
    {"bare # below a bad header", "plan.csv", 1,
     "model,featre,item,position,direction,repeats,instrument\n#,bore,,10\n\"#\",bore,,10",
     "plan.csv:1: error: the column \"featre\" is not known; write feature, or give a column of "
     "your own a name less like it\n"
     "plan.csv:1: feature: error: the header row lacks this column; add the column\n",
     0},
    {"nothing below the header of a file that is not needed", "plan.csv", 0, "model,feature\n", "",
     0},
    {"an empty file", "plan.csv", 0, "",
     "plan.csv: error: the file is empty; write its header row, or delete the file\n", 0},
    {"a price with an exponent", "spares.csv", 2,
     "SP-81,piston,Alder 66,skirt,,65.937,0.004,mm,,1.250E1,", "", 0},
    {"a column of one's own that ends in a known one", "engines.csv", 1, "engine,model,notemodel",
     "engines.csv:1: warning: the column \"notemodel\" is not known and is not read; take it out, "
     "or use note\n",
     0},
    {"a header cell of two lines", "inspections.csv", 1,
     "inspection,engine,date,hours,state,temperature,temperature_uncertainty,\"read\nby\",note",
     "inspections.csv:1: warning: the column \"read\\x0Aby\" is not known and is not read; take it "
     "out, or use note\n",
     0},
    {"digits swapped in a reading and its repeat", "readings.csv", 4,
     "I-01,skirt,PST-A,,12,,69.531,69.532,,,,MIC-72,",
     "readings.csv:4: reading_2: warning: the skirt is larger than the bore; check both readings\n"
     "readings.csv:4: reading: warning: the skirt is more than 2 % from its as-new size; check the "
     "unit, the digits and "
     "the decimal mark\n"
     "readings.csv:4: reading_2: warning: the skirt is more than 2 % from its as-new size; check "
     "the unit, the digits and "
     "the decimal mark\n",
     0},
    {"column of one's own like one that is there", "engines.csv", 1, "engine,model,engines",
     "engines.csv:1: warning: the column \"engines\" is not known and is not read; take it out, or "
     "use note\n",
     0},
    {"two columns that would be one that is there", "engines.csv", 1, "engine,model,eng,ine",
     "engines.csv:1: warning: the column \"eng\" is not known and is not read; take it out, or use "
     "note\n"
     "engines.csv:1: warning: the column \"ine\" is not known and is not read; take it out, or use "
     "note\n",
     0},
    {"a letter past the header", "engines.csv", 2, "PS-31,Alder 66,,x",
     "engines.csv:2: error: \"x\" stands past the last column of the header; check for a missing "
     "quote, a stray delimiter or a decimal comma\n",
     0},
    {"a ring number with a letter", "readings.csv", 7, "I-02,end_gap,,1x,62,,0.35,,0.40,,,FEEL-73,",
     "readings.csv:7: item: error: \"1x\" is not a ring number; write the ring's number from the "
     "top: 1, 2 ...\n",
     0},
    {"repeatability rounded to 0", "instruments.csv", 3,
     "MIC-72,micrometer,mm,0.001,0.0027,0.00,11.5e-6,,2025-01-15,2027-01-15",
     "instruments.csv:3: repeatability: warning: a repeatability of 0 with fewer decimals than the "
     "resolution may be rounded; write it out, or leave the cell blank\n",
     0},
    {"repeatability of 0", "instruments.csv", 3,
     "MIC-72,micrometer,mm,0.001,0.0027,0,11.5e-6,,2025-01-15,2027-01-15",
     "instruments.csv:3: repeatability: warning: a repeatability of 0 with fewer decimals than the "
     "resolution may be rounded; write it out, or leave the cell blank\n",
     0},
    {"repeatability of 0 to the resolution", "instruments.csv", 3,
     "MIC-72,micrometer,mm,0.001,0.0027,0.000,11.5e-6,,2025-01-15,2027-01-15", "", 0},
    {"repeatability that is not told", "instruments.csv", 3,
     "MIC-72,micrometer,mm,0.001,0.0027,,11.5e-6,,2025-01-15,2027-01-15", "", 0},
    {"repeatability of 0 without a resolution", "instruments.csv", 3,
     "MIC-72,micrometer,mm,,0.0027,0.0,11.5e-6,,2025-01-15,2027-01-15", "", 0},
    {"temperature with a comma", "inspections.csv", 2, "I-01,PS-31,2025-03-11,57.3,found,21,4,,",
     "inspections.csv:2: temperature_uncertainty: warning: an uncertainty above 3 K is large; is "
     "there a decimal "
     "comma before it?\n",
     0},
    {"thermometer of 3 K", "inspections.csv", 2, "I-01,PS-31,2025-03-11,57.3,found,21.4,3,,", "",
     0},
    {"model without a row", "models.csv", 2, "Birch 40,cast_iron,,,,,,,,",
     "models.csv:2: model: error: no engine and no limit names it, and an engine's model has no "
     "row: Alder 66; correct this one or the engine's, or give that model a row too\n"
     "engines.csv:2: model: warning: models.csv has no row for it: no temperature correction; "
     "check "
     "the name, or add the model to models.csv\n"
     "engines.csv:3: model: warning: models.csv has no row for it: no temperature correction; "
     "check "
     "the name, or add the model to models.csv\n",
     0},
    {"undeclared gauge in the plan", "plan.csv", 2, "Alder 66,bore,,10,thrust,2,BG-17",
     "plan.csv:2: instrument: warning: there is no instrument \"BG-17\"; add it to "
     "instruments.csv, "
     "or correct the name\n",
     0},
    {"part in two places", "parts.csv", 4,
     "PST-B,piston,PS-31,118.4,,,,\nPST-B,piston,PS-32,20,,,,",
     "parts.csv:5: part: warning: PST-B is in two places: it is still on the engine of line 4; "
     "give "
     "the hours at which it was removed from one of them\n",
     0},
    {"part that comes back without its hours", "parts.csv", 4,
     "PST-B,piston,PS-31,118.4,150,,,\nPST-B,piston,PS-32,20,,,,",
     "parts.csv:5: hours_before: warning: PST-B starts here at 0 h of its own, hours that it also "
     "has in line 4; write the part's own hours before this stay\n",
     0},
    {"part that comes back with its hours", "parts.csv", 4,
     "PST-B,piston,PS-31,118.4,150,,,\nPST-B,piston,PS-32,20,,31.6,,", "", 0},
    {"temperature outside the workshop's", "inspections.csv", 5,
     "I-04,PS-32,2025-10-02,0,found,9.5,,,",
     "inspections.csv:5: temperature: warning: the temperature is outside 15 to 25 degrees "
     "Celsius; "
     "check it; give temperature_uncertainty when it is right\n",
     0},
};

/* A file of the good shop with a line replaced. */
static char *damaged(const char *good_text, const damage *d, size_t *length)
{
    size_t text_length = d->text == NULL ? 0 : d->length > 0 ? d->length : strlen(d->text);
    char *out = malloc(strlen(good_text) + text_length + 1);
    assert_non_null(out);
    *length = 0;
    if (d->line == 0) {
        memcpy(out, d->text, text_length);
        *length = text_length;
        return out;
    }
    unsigned line = 1;
    for (const char *at = good_text; *at != '\0'; line++) {
        const char *end = strchr(at, '\n') + 1;
        if (line != d->line) {
            memcpy(out + *length, at, (size_t)(end - at));
            *length += (size_t)(end - at);
        } else if (d->text != NULL) {
            memcpy(out + *length, d->text, text_length);
            *length += text_length;
            out[(*length)++] = '\n';
        }
        at = end;
    }
    assert_true(d->line < line);
    return out;
}

static void read_damaged(kit *k, const damage *d, char **text)
{
    bool found = false;
    *text = NULL;
    for (size_t i = 0; i < GOOD; i++) {
        if (d == NULL || strcmp(good[i].name, d->file) != 0) {
            kit_text(k, good[i].name, good[i].text);
            continue;
        }
        found = true;
        if (d->line > 0 || d->text != NULL) {
            size_t length = 0;
            *text = damaged(good[i].text, d, &length);
            kit_put(k, good[i].name, *text, length);
        }
    }
    assert_true(d == NULL || found);
    kit_read(k);
}

static void good_shop_has_no_problem(void **state)
{
    (void)state;
    kit k = {.count = 0};
    char *text = NULL;
    read_damaged(&k, NULL, &text);
    kit_expect(&k, "");
    assert_int_equal(k.t->reading_count, 11);
    kit_free(&k);
}

static void one_damage(void **state)
{
    const damage *d = *state;
    kit k = {.count = 0};
    char *text = NULL;
    read_damaged(&k, d, &text);
    kit_expect(&k, d->problems);
    kit_free(&k);
    free(text);
}

int main(void)
{
    enum { DAMAGES = sizeof damages / sizeof *damages };
    static struct CMUnitTest tests[DAMAGES + 1] = {cmocka_unit_test(good_shop_has_no_problem)};
    for (size_t i = 0; i < DAMAGES; i++)
        tests[i + 1] = (struct CMUnitTest){.name = damages[i].name,
                                           .test_func = one_damage,
                                           .initial_state = (void *)(uintptr_t)&damages[i]};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
