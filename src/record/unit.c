/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/unit.h"

#include <string.h>

te_unit te_unit_find(te_slice text)
{
    static const struct {
        const char *word;
        te_unit unit;
    } words[] = {{"mm", TE_UNIT_MM},        {"um", TE_UNIT_UM}, {"\xc2\xb5m", TE_UNIT_UM},
                 {"\xce\xbcm", TE_UNIT_UM}, {"in", TE_UNIT_IN}, {"thou", TE_UNIT_THOU}};
    if (text.length == 0) {
        return TE_UNIT_MM;
    }
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (te_text_same_word(text, words[i].word)) {
            return words[i].unit;
        }
    }
    return TE_UNIT_OWN;
}

double te_unit_to_mm(double value, te_unit unit)
{
    /* Divisions by 1000 are kept as such: 0.001 is not exact in binary, 1000 is. */
    switch (unit) { /* GCOVR_EXCL_BR_LINE: each has a case */
    case TE_UNIT_UM: return value / 1000.0;
    case TE_UNIT_IN: return value * 25.4;
    case TE_UNIT_THOU: return value * 25.4 / 1000.0;
    case TE_UNIT_MM:
    case TE_UNIT_OWN: break;
    }
    return value;
}

bool te_unit_is_inch(te_unit unit)
{
    return unit == TE_UNIT_IN || unit == TE_UNIT_THOU;
}
