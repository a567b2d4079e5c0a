/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A program built against an installed copy: judges a shop held in memory, invented, and prints the
 * verdict of each part and of the assembly. */
#include <gsl/gsl_errno.h>
#include <stdio.h>

#include <topend/judge.h>
#include <topend/shop.h>
#include <topend/write.h>

static const char engines[] = "engine,model\n"
                              "PS-07,Alder 66\n";
static const char limits[] = "model,quantity,unit,service_min,service_max,source\n"
                             "Alder 66,bore,mm,,66.100,invented\n"
                             "Alder 66,skirt,mm,65.870,,invented\n"
                             "Alder 66,skirt_clearance,mm,0.050,0.180,invented\n";
static const char inspections[] = "inspection,engine,date,hours,temperature\n"
                                  "PS-07-2026-05,PS-07,2026-05-23,310.5,20\n";
/* The clearance is 66.065 less 65.880: 0.185, beyond 0.180. */
static const char readings[] = "inspection,feature,position,direction,reading\n"
                               "PS-07-2026-05,bore,28,thrust,66.065\n"
                               "PS-07-2026-05,skirt,12,thrust,65.880\n";

static void print_verdicts(const te_shop *shop, const te_assessment *assessment)
{
    for (size_t i = 0; i < assessment->verdict_count; i++) {
        const te_verdict *verdict = &assessment->verdicts[i];
        const char *part = verdict->part != 0 ? te_shop_text(shop, verdict->part) : "assembly";
        printf("%s %s\n", part, te_verdict_name(verdict->verdict));
    }
}

/* Through the report layer as well: what a program prints with. */
static bool print_csv(const te_shop *shop, const te_assessment *assessment)
{
    te_buffer buffer = {0};
    te_write_findings_csv(&buffer, shop, assessment);
    bool good = !buffer.failed && fwrite(buffer.bytes, 1, buffer.length, stdout) == buffer.length;
    te_buffer_free(&buffer);
    return good;
}

int main(void)
{
    const te_input inputs[] = {
        {"engines.csv", engines, sizeof engines - 1},
        {"limits.csv", limits, sizeof limits - 1},
        {"inspections.csv", inspections, sizeof inspections - 1},
        {"readings.csv", readings, sizeof readings - 1},
    };
    te_shop *shop = NULL;
    te_problems problems;
    te_assessment assessment = {0};
    int code = 2;
    gsl_set_error_handler_off();
    te_problems_init(&problems);
    if (te_shop_read(&shop, &problems, inputs, sizeof inputs / sizeof *inputs, TE_FILE_EVERY) ==
            TE_OK &&
        te_assess(&assessment, shop, 0, false) == TE_OK && print_csv(shop, &assessment)) {
        print_verdicts(shop, &assessment);
        code = 0;
    }
    te_assessment_free(&assessment);
    te_shop_free(shop);
    te_problems_free(&problems);
    return code;
}
