/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/status.h"

const char *te_status_text(te_status status)
{
    switch (status) {
    case TE_OK: return "done";
    case TE_ERR_MEMORY: return "out of memory";
    case TE_ERR_IO: return "the operating system refused a read or a write";
    case TE_ERR_DATA: return "the files hold errors";
    case TE_ERR_DOMAIN: return "a value is outside the range that the calculation allows";
    case TE_ERR_SINGULAR: return "the equations do not determine the answer";
    case TE_ERR_FULL: return "more terms than a linear form holds";
    case TE_ERR_GLYPH: return "a character has no glyph in the installed fonts";
    }
    return "unknown status";
}
