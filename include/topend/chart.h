/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file chart.h  Results as figures.
 *
 * Each function fills an empty te_drawing and returns false, leaving it empty, where there is
 * nothing to show.  Memory that ran out is drawing->failed, and the answer true.  Figures are 480
 * points wide, readable in black and white; every mark of data has a note with its figures, to the
 * digits of the CSV, lengths in mm.
 *
 * 1. Where there are more heights, directions or builds than a figure has room for, it says how
 *    many it leaves out; the largest and the smallest reading, and what the quantity shown (the
 *    profile: taper, the sections: out of round) rests on, are always among those shown.
 * 2. Fills and places go by values alone; verdicts weigh uncertainties too.
 * 3. No text leaves the figure or lies over another as long as letters are at most 0.6 of their
 *    height wide on average; te_text_width counts them.
 */
#ifndef TOPEND_CHART_H
#define TOPEND_CHART_H

#include "topend/drawing.h"
#include "topend/wear.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The bore as a map: a row a height, a column a direction, in each the deviation from the middle of
 * the as-new limits (without them: the reading), and how near it is to its service limit.
 * @param[in,out] drawing all zero
 * @param[in] shop the shop
 * @param[in] assessment made by te_assess
 * @return false when no bore reading has a height and a direction
 */
bool te_chart_bore_map(te_drawing *drawing, const te_shop *shop, const te_assessment *assessment);

/** The bore over its height: each direction a line, with expanded uncertainties and the limits.
 * @param[in,out] drawing all zero
 * @param[in] shop the shop
 * @param[in] assessment made by te_assess
 * @return false when fewer than two heights were gauged in one direction
 */
bool te_chart_bore_profile(te_drawing *drawing, const te_shop *shop,
                           const te_assessment *assessment);

/** The section of the bore at each height, its deviations exaggerated by a stated factor.
 * @param[in,out] drawing all zero
 * @param[in] shop the shop
 * @param[in] assessment made by te_assess
 * @return false when no height was gauged in two directions
 */
bool te_chart_bore_sections(te_drawing *drawing, const te_shop *shop,
                            const te_assessment *assessment);

/** A series over the hours: its points by kind, the line, its one-sided band, the limit, and where
 * they meet.
 * @param[in,out] drawing all zero
 * @param[in] shop the shop
 * @param[in] history the series'
 * @param[in] series one of the history's
 * @return false when the series has no point
 */
bool te_chart_trend(te_drawing *drawing, const te_shop *shop, const te_history *history,
                    const te_series *series);

/** The rates of one quantity in the builds of an engine beside each other, with their expanded
 * uncertainties.
 * @param[in,out] drawing all zero
 * @param[in] shop the shop
 * @param[in] history of the engine
 * @param[in] builds made from it
 * @param[in] wear the first of the rows to show; those of the same quantity, item and side follow
 * @return false when there are fewer than two builds with a rate
 */
bool te_chart_builds(te_drawing *drawing, const te_shop *shop, const te_history *history,
                     const te_builds *builds, size_t wear);

#ifdef __cplusplus
}
#endif
#endif
