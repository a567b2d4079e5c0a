/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The style sheet of every document. Who changes it changes its hash as well: tests/browser/check-html
 * says which one it ought to be.
 */
#include "html.h"

const char te_html_style_hash[] = "w71LXDVF8YZ8qK3SKWwbriHNFesimy98kUDLjmoFPkA=";

/* Text on paper has a contrast of at least 4.5 (WCAG 2.2, 1.4.3), light and dark. */
static const char tones[] =
    "\n:root{color-scheme:light dark;--paper:#fff;--ink:#1b1d20;--muted:#565b62;--faint:#d3d6da;"
    "--second:#23598c;--limit:#a3261b;--good:#1a6637;--warning:#795000;--bad:#a3261b}\n"
    "@media(prefers-color-scheme:dark){:root{--paper:#17191c;--ink:#e7e5e0;--muted:#a8acb2;"
    "--faint:#44484e;--second:#8dbbe8;--limit:#f2998f;--good:#86cf9f;--warning:#e3bf6d;"
    "--bad:#f2998f}}\n"
    "@media(forced-colors:active){:root{--paper:Canvas;--ink:CanvasText;--muted:CanvasText;"
    "--faint:GrayText;--second:CanvasText;--limit:CanvasText;--good:CanvasText;"
    "--warning:CanvasText;--bad:CanvasText}}\n"
    "@media print{:root{color-scheme:light;--paper:#fff;--ink:#000;--muted:#333;--faint:#bbb;"
    "--second:#333;--limit:#000;--good:#000;--warning:#000;--bad:#000}}\n";

static const char text[] =
    "*{box-sizing:border-box}\n"
    "html{-webkit-text-size-adjust:100%;text-size-adjust:100%}\n"
    "body{margin:0 auto;max-width:64rem;padding:1.5rem clamp(1rem,4vw,3rem) 4rem;"
    "background:var(--paper);color:var(--ink);overflow-wrap:anywhere;"
    "font:1rem/1.6 system-ui,-apple-system,\"Segoe UI\",\"Noto Sans\",\"DejaVu Sans\",sans-serif}\n"
    "header{border-bottom:2px solid var(--ink);padding-bottom:.6rem}\n"
    "h1,h2,h3{line-height:1.25;font-weight:650;text-wrap:balance}\n"
    "h1{margin:0;font-size:1.75rem}\n"
    "h2{margin:2.75rem 0 .75rem;font-size:1.3rem}\n"
    "h3{margin:1.75rem 0 .5rem;font-size:1.05rem}\n"
    "p,li,figcaption{max-width:44rem}\n"
    "p{margin:.75rem 0}\n"
    "ul{margin:.75rem 0;padding-left:1.4rem}\n"
    "li{margin:.25rem 0}\n"
    "a{color:var(--second);text-underline-offset:.15em}\n"
    ":focus-visible{outline:2px solid var(--second);outline-offset:3px}\n"
    "hr{border:0;border-top:1px solid var(--faint);margin:2.75rem 0}\n"
    ".strong{font-weight:650}\n"
    ".quiet{color:var(--muted);font-size:.875em}\n"
    ".good{color:var(--good)}\n"
    ".warning{color:var(--warning);font-weight:600}\n"
    ".bad{color:var(--bad);font-weight:700}\n"
    "p.good,p.warning,p.bad{padding-left:.9rem;border-left:4px solid}\n"
    "p.warning{border-left-style:dashed}\n"
    "p.bad{border-left:8px double}\n"
    "p.verdict{max-width:none;margin:1.5rem 0;padding:1rem 1.25rem;border:4px solid}\n"
    "p.verdict.warning{border-style:dashed}\n"
    "p.verdict.bad{border:10px double}\n"
    ".verdict strong{display:block;font-size:clamp(1.5rem,5.5vw,2.25rem);font-weight:700;"
    "line-height:1.2}\n"
    ".verdict span{color:var(--ink);font-weight:400}\n"
    ".signatures{display:flex;flex-wrap:wrap;gap:0 3rem;margin-top:1rem}\n"
    ".signatures p{flex:1 1 14rem;max-width:22rem;margin:4rem 0 0;padding-top:.3rem;"
    "border-top:1px solid var(--ink);font-size:.875rem}\n";

static const char tables[] =
    "table{width:100%;margin:1.25rem 0;border-collapse:collapse;font-size:.9rem;line-height:1.45}\n"
    "table.slim{width:auto;min-width:min(100%,24rem)}\n"
    "caption{padding:.25rem 0 .5rem;text-align:left;font-weight:650}\n"
    "th,td{padding:.4rem 1rem .4rem 0;text-align:left;vertical-align:baseline;"
    "border-bottom:1px solid var(--faint)}\n"
    "th{font-weight:650}\n"
    "thead th,thead td{vertical-align:bottom;border-bottom:1.5px solid var(--ink)}\n"
    "tbody th{font-weight:400}\n"
    "tbody th.strong{font-weight:650}\n"
    "tbody th.warning{font-weight:600}\n"
    "tbody th.bad{font-weight:700}\n"
    ".unit{display:block;color:var(--muted);font-weight:400}\n"
    ".number{text-align:right;font-variant-numeric:tabular-nums}\n"
    ".words th,.words td,.cut th,.cut td{overflow-wrap:break-word}\n"
    ".cut .long{overflow-wrap:anywhere}\n"
    ".figures td.number,.figures th.number{overflow-wrap:normal}\n"
    ".words .name,.cut .name,.whole tbody .number{white-space:nowrap}\n"
    ".dense{font-size:.8rem}\n"
    ".dense th,.dense td{padding-right:.65rem}\n"
    "th:last-child,td:last-child{padding-right:0}\n"
    ".boxes th,.boxes td{padding:.5rem .6rem;border:1px solid var(--ink)}\n"
    ".boxes td:empty{min-width:5rem;height:2.5rem}\n";

/* A row becomes a block: its first cell the heading, the others labelled. */
/* clang-format off */
#define BLOCKS(table) \
    table "," table " tbody," table " caption{display:block}\n" \
    table " thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}\n" \
    table " tr{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,17rem),1fr));" \
          "column-gap:2rem;padding:.6rem 0;border-top:1px solid var(--faint)}\n" \
    table " tbody th{grid-column:1/-1;font-weight:650}\n" \
    table " tbody th," table " td{border:0;padding:.15rem 0;text-align:left}\n" \
    table "{font-size:.9rem}\n" \
    table " td{display:grid;grid-template-columns:minmax(7rem,1fr) minmax(0,1.2fr);" \
          "column-gap:1rem;overflow-wrap:anywhere}\n" \
    table " .name," table ".whole tbody .number{white-space:normal}\n" \
    table " td.number{overflow-wrap:anywhere}\n" \
    table " td::before{content:attr(data-label);color:var(--muted);font-weight:400}\n" \
    table ":not(.boxes) td:empty{display:none}\n" \
    table ".boxes td{padding:.6rem;border:1px solid var(--ink);margin-top:-1px}\n" \
    table ".boxes td:empty{height:auto;min-height:2.75rem}\n"
/* clang-format on */

static const char narrow_tables[] = "@media screen and (max-width:40rem){\n" BLOCKS(".wide") "}\n";
static const char middle_tables[] = "@media screen and (max-width:56rem){\n" BLOCKS(".wider") "}\n";
static const char dense_tables[] = "@media screen and (max-width:64rem){\n" BLOCKS(".dense") "}\n";

/* A figure keeps its size on a screen, so that its text can be read: it scrolls by itself. */
static const char figures[] =
    "figure{margin:1.75rem 0}\n"
    "figcaption{margin-top:.5rem;color:var(--muted);font-size:.9rem}\n"
    ".scroll{overflow-x:auto}\n"
    ".drawing{display:block;fill:none;font-family:inherit}\n"
    ".drawing text{fill:currentColor;stroke:none}\n"
    ".ink{color:var(--ink)}\n"
    ".muted{color:var(--muted)}\n"
    ".faint{color:var(--faint)}\n"
    ".second{color:var(--second)}\n"
    ".limit{color:var(--limit)}\n"
    ".paper{color:var(--paper)}\n"
    ".hair,.plain,.drawing .strong,.dashed,.dotted{stroke:currentColor;stroke-linejoin:round}\n"
    ".hair{stroke-width:.5}\n"
    ".plain{stroke-width:1}\n"
    ".drawing .strong{stroke-width:1.8}\n"
    ".dashed{stroke-width:1.2;stroke-dasharray:5 3}\n"
    ".dotted{stroke-width:1.2;stroke-dasharray:1.2 2.4}\n"
    ".solid{fill:currentColor}\n"
    ".light{fill:currentColor;fill-opacity:.14}\n"
    ".hollow{fill:var(--paper)}\n";

static const char print[] =
    "@page{margin:15mm 15mm 18mm;@bottom-right{content:\"Page \" counter(page) \" of \" "
    "counter(pages);font:8pt system-ui,\"DejaVu Sans\",sans-serif}}\n"
    "@media print{\n"
    "html{font-size:10pt}\n"
    "body{max-width:none;padding:0;line-height:1.45}\n"
    "p,li,figcaption{max-width:none;orphans:3;widows:3}\n"
    "h2{margin-top:2rem}\n"
    "h1,h2,h3,caption{break-after:avoid}\n"
    "table{font-size:.85rem}\n"
    "table.dense{font-size:.72rem}\n"
    "th,td{padding:.3rem .8rem .3rem 0}\n"
    ".dense th,.dense td{padding-right:.4rem}\n"
    "thead{display:table-header-group}\n"
    "tr,figure,.verdict,.signatures,li{break-inside:avoid}\n"
    ".signatures{break-before:avoid}\n"
    ".verdict strong{font-size:2rem}\n"
    ".boxes td:empty{height:9mm}\n"
    ".scroll{overflow:visible}\n"
    ".drawing{max-width:100%;height:auto}\n"
    "a{color:inherit}\n"
    "hr.page{margin:0;border:0;break-after:page}\n"
    "}\n";

void te_html_style(te_buffer *buffer)
{
    static const char *const parts[] = {tones,        text,          tables,  narrow_tables,
                                        dense_tables, middle_tables, figures, print};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        te_buffer_text(buffer, parts[i]);
    }
}
