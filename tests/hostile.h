/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Texts that would be markup, a script, another reading order or broken bytes, were they let. */
#ifndef HOSTILE_H
#define HOSTILE_H

static const char *const hostile_texts[] = {
    "</title></style></script><script>console.error('script ran')</script>",
    "<svg onload=console.error('svg-ran')><script>throw 1</script></svg>",
    "\"><img src=x onerror=\"console.error('image ran')\"><a title=\"",
    "' onmouseover='console.error(1)' x='",
    "]]><!--<![CDATA[ --!><style>body{display:none}</style>",
    "javascript:console.error('link ran')",
    "//example.invalid/a.html",
    "../../etc/passwd",
    "a&lt;b&amp;amp;&#60;&notit; &copy",
    "control \x01\x02\x1b[31m\t\r\n\x7f and \xc2\x85 and \xe2\x80\xa8",
    "order \xe2\x80\xae"
    "desrever \xe2\x81\xa6 isolate \xe2\x80\x8f mark",
    "broken \xff\xfe\xc0\x80\xed\xa0\x80\xf5 \xe2\x82",
    "caf\xc3\xa9 \xd0\x96 \xe6\xbc\xa2\xe5\xad\x97 e\xcc\x81\xcc\x81\xcc\x81",
    "\xef\xbf\xbf noncharacter \xef\xb7\x90 \xf0\x9f\x94\xa7",
    "aVeryLongWordWithoutAnySpaceThatNoColumnOfAnyTableCouldEverHoldInOneLineOfItsOwnOnAnyPage"
    "AndThatGoesOnForAWhileSoThatItIsWiderThanAScreenOf360PixelsAndThanAPrintedPageAsWell",
    "=1+1",
    "{{7*7}} ${7*7} %s %n \\u003cscript\\u003e",
};
enum { HOSTILE_COUNT = sizeof hostile_texts / sizeof *hostile_texts };

#endif
