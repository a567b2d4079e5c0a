// SPDX-License-Identifier: GPL-3.0-or-later
// What a page has to stand. Each check takes a loaded page and gives what it found wrong, as
// sentences.
'use strict';
const { spawnSync } = require('node:child_process');
const { createHash } = require('node:crypto');
const fs = require('node:fs');
const os = require('node:os');
const path = require('node:path');

const WIDTHS = [360, 800, 1400]; // px: a telephone, a tablet, a desk
const PAPERS = { A4: [210 / 25.4, 297 / 25.4], Letter: [8.5, 11] }; // inches
const PX_IN_INCH = 96;
const MARGINS = Math.ceil(30 / 25.4 * PX_IN_INCH); // px, left and right of a printed page
const LONGEST_WHOLE = 12; // letters of a word that must stay on one line
const LEAST_TEXT = 9; // px on the screen
const MOST_PAST = 1; // px: room above and below the letters is part of a text's box
const LEAST_CONTRAST = 4.5; // WCAG 2.2, 1.4.3

// The markup that the writer knows. Anything else came out of a text.
const ELEMENTS = `html head meta title style body header main h1 h2 h3 p ul li a strong span hr div
  table caption thead tbody tr th td wbr figure figcaption
  svg desc pattern polyline polygon circle text`.split(/\s+/);
const ATTRIBUTES = `lang charset http-equiv content name class href scope role tabindex id data-label
  aria-label aria-labelledby viewBox width height patternUnits patternTransform points fill
  cx cy r x y font-size font-weight text-anchor transform`.split(/\s+/);

// ---- while it loads ----

function console_(page) {
  const found = [];
  for (const [method, params] of page.events) {
    if (method === 'Runtime.consoleAPICalled') {
      found.push(`console: ${params.args.map((a) => a.value ?? a.description).join(' ')}`);
    } else if (method === 'Runtime.exceptionThrown') {
      found.push(`exception: ${params.exceptionDetails.text}`);
    } else if (method === 'Log.entryAdded') {
      found.push(`log: ${params.entry.text}`);
    } else if (method === 'Audits.issueAdded') {
      found.push(`issue: ${params.issue.code}`);
    }
  }
  return found;
}

function requests(page, { url }) {
  return page.events
    .filter(([method, params]) => method === 'Network.requestWillBeSent' && params.request.url !== url)
    .map(([, params]) => `asks for ${params.request.url.slice(0, 200)}`);
}

// ---- what it is made of ----

async function markup(page) {
  return page.call((elements, attributes) => {
    const found = [];
    for (const element of document.querySelectorAll('*')) {
      if (!elements.includes(element.localName)) found.push(`has an element <${element.localName}>`);
      for (const { name } of element.attributes) {
        if (!attributes.includes(name)) found.push(`has an attribute ${name} in <${element.localName}>`);
      }
    }
    for (const link of document.links) {
      if (!link.href.startsWith(new URL('.', document.URL).href)) {
        found.push(`has a link to ${link.href}, outside its folder`);
      }
    }
    const walker = document.createTreeWalker(document, NodeFilter.SHOW_COMMENT);
    if (walker.nextNode()) found.push('has a comment');
    return [...new Set(found)];
  }, ELEMENTS, ATTRIBUTES);
}

async function structure(page) {
  return page.call(() => {
    const found = [];
    const ids = [...document.querySelectorAll('[id]')].map((element) => element.id);
    for (const id of new Set(ids.filter((id, i) => ids.indexOf(id) !== i))) found.push(`has id ${id} twice`);
    for (const element of document.querySelectorAll('[aria-labelledby]')) {
      for (const id of element.getAttribute('aria-labelledby').split(' ')) {
        if (!document.getElementById(id)) found.push(`names an id that is not there: ${id}`);
      }
    }
    if (document.compatMode !== 'CSS1Compat') found.push('is in quirks mode');
    if (document.querySelectorAll('h1').length !== 1) found.push('has not one h1');
    for (const table of document.querySelectorAll('table')) {
      const counts = new Set([...table.rows].map((row) => row.cells.length));
      if (counts.size !== 1) found.push(`has rows of ${[...counts].join(' and ')} cells in one table`);
      if (!table.tHead) found.push('has a table without a head');
    }
    for (const element of document.body.querySelectorAll('*')) {
      const scrolls = ['auto', 'scroll'].includes(getComputedStyle(element).overflowX);
      if (scrolls && (element.tabIndex < 0 || !element.ariaLabel)) {
        found.push(`scrolls in <${element.localName}>, which has no name or takes no focus`);
      }
    }
    return found;
  });
}

// The policy lets exactly this style sheet through.
async function policy(page) {
  const { policy: text, styles } = await page.call(() => ({
    policy: document.querySelector('meta[http-equiv="Content-Security-Policy"]')?.content ?? '',
    styles: [...document.querySelectorAll('style')].map((style) => style.textContent),
  }));
  const found = [];
  if (!/(^|;) *default-src 'none' *(;|$)/.test(text)) found.push("has no policy default-src 'none'");
  if (/script-src|unsafe|\*|https?:/.test(text)) found.push(`has a policy that lets something in: ${text}`);
  for (const style of styles) {
    const hash = createHash('sha256').update(style).digest('base64');
    if (!text.includes(`'sha256-${hash}'`)) found.push(`has a style sheet whose SHA-256 is ${hash}, not in its policy`);
  }
  return found;
}

// ---- on a screen ----

async function width(page) {
  const found = [];
  for (const px of WIDTHS) {
    await page.resize(px);
    const widest = await page.call((most) => {
      if (document.documentElement.scrollWidth <= most && document.body.scrollWidth <= most) return null;
      const scrolls = (element) => {
        for (let at = element.parentElement; at && at !== document.body; at = at.parentElement) {
          if (getComputedStyle(at).overflowX !== 'visible') return true;
        }
        return false;
      };
      const wide = [...document.body.querySelectorAll('*')]
        .find((element) => element.getBoundingClientRect().right > most + 0.5 && !scrolls(element));
      return `${document.documentElement.scrollWidth} px because of ${wide ? `<${wide.localName} class="${wide.getAttribute('class') ?? ''}">` : 'something'}`;
    }, px);
    if (widest) found.push(`at ${px} px scrolls sideways: ${widest}`);
  }
  return found;
}

// Contrast of the figures' texts, which axe leaves out, against what is painted below their middle;
// whether they are whole; and the size of all texts.
function textsInPage(leastSize, leastContrast, mostPast) {
  const parts = (colour) => colour.match(/[\d.]+/g).slice(0, 3).map(Number);
  const channel = (c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
  const luminance = (colour) => {
    const [r, g, b] = colour.map((part) => channel(part / 255));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const groundOf = (text) => {
    let ground = parts(getComputedStyle(document.body).backgroundColor);
    const box = text.getBoundingClientRect();
    for (const shape of text.ownerSVGElement.querySelectorAll('polygon, circle')) {
      const { fill, fillOpacity } = getComputedStyle(shape);
      const isBelow = shape.compareDocumentPosition(text) & Node.DOCUMENT_POSITION_FOLLOWING;
      if (!isBelow || !fill.startsWith('rgb')) continue;
      const middle = new DOMPoint((box.left + box.right) / 2, (box.top + box.bottom) / 2)
        .matrixTransform(shape.getScreenCTM().inverse());
      if (!shape.isPointInFill(middle)) continue;
      const over = parts(fill);
      ground = ground.map((c, i) => c + (over[i] - c) * Number(fillOpacity));
    }
    return ground;
  };
  const found = new Set();
  for (const text of document.querySelectorAll('svg text')) {
    const name = `has text "${text.textContent.slice(0, 40)}"`;
    const ink = luminance(parts(getComputedStyle(text).fill));
    const ground = luminance(groundOf(text));
    const contrast = (Math.max(ink, ground) + 0.05) / (Math.min(ink, ground) + 0.05);
    if (contrast < leastContrast) found.add(`${name} of contrast ${contrast.toFixed(2)} in a figure`);
    const { a, b } = text.getScreenCTM();
    const size = parseFloat(getComputedStyle(text).fontSize) * Math.hypot(a, b);
    if (size < leastSize) found.add(`${name} ${size.toFixed(1)} px high in a figure`);
    const [box, whole] = [text.getBoundingClientRect(), text.ownerSVGElement.getBoundingClientRect()];
    const past = Math.max(whole.left - box.left, box.right - whole.right,
      whole.top - box.top, box.bottom - whole.bottom);
    if (past > mostPast) found.add(`${name} that reaches ${past.toFixed(1)} px past its figure`);
  }
  for (const element of document.body.querySelectorAll(':not(svg, svg *)')) {
    const size = parseFloat(getComputedStyle(element).fontSize);
    if (size < leastSize) found.add(`has text ${size.toFixed(1)} px high in <${element.localName}>`);
  }
  return [...found];
}

async function texts(page, { isRough }) {
  const found = [];
  for (const scheme of ['light', 'dark']) {
    await page.show('screen', scheme);
    await page.resize(WIDTHS[0]);
    const most = isRough ? Number.MAX_VALUE : MOST_PAST;
    const wrong = await page.call(textsInPage, LEAST_TEXT, LEAST_CONTRAST, most);
    found.push(...wrong.map((text) => `${scheme}: ${text}`));
  }
  return found;
}

// Figures and short words that lie on two lines.
function brokenInPage(longest) {
  const found = new Set();
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode;
    const head = node.parentElement.closest('thead'); // out of sight where rows are blocks
    const isHidden = head && getComputedStyle(head).position === 'absolute';
    if (isHidden || node.parentElement.closest('svg')) continue;
    for (const word of node.data.matchAll(/[\p{L}\p{N}.,]+/gu)) {
      if (word[0].length > longest) continue;
      const range = document.createRange();
      range.setStart(node, word.index);
      range.setEnd(node, word.index + word[0].length);
      const lines = new Set([...range.getClientRects()].map((rect) => Math.round(rect.top)));
      if (lines.size > 1) found.add(`breaks "${word[0]}" in <${node.parentElement.localName}>`);
    }
  }
  return [...found];
}

async function words(page, { isRough }) {
  if (isRough) return [];
  const found = [];
  for (const px of WIDTHS) {
    await page.show('screen', 'light');
    await page.resize(px);
    const broken = await page.call(brokenInPage, LONGEST_WHOLE);
    found.push(...broken.map((text) => `${px} px: ${text}`));
  }
  for (const [name, [wide]] of Object.entries(PAPERS)) {
    await page.show('print', 'light');
    await page.resize(Math.floor(wide * PX_IN_INCH) - MARGINS);
    const broken = await page.call(brokenInPage, LONGEST_WHOLE);
    found.push(...broken.map((text) => `${name}: ${text}`));
  }
  await page.show('screen', 'light');
  return found;
}

// Dark where dark is asked for; on paper always black on white.
async function schemes(page) {
  const found = [];
  for (const [media, scheme, ground] of [['screen', 'light', 255], ['screen', 'dark', 0],
    ['print', 'light', 255], ['print', 'dark', 255]]) {
    await page.show(media, scheme);
    const { back, front } = await page.call(() => {
      const style = getComputedStyle(document.body);
      const mean = (colour) => colour.match(/[\d.]+/g).slice(0, 3).reduce((sum, part) => sum + part / 3, 0);
      return { back: mean(style.backgroundColor), front: mean(style.color) };
    });
    const near = media === 'print' ? 0 : 40;
    if (Math.abs(back - ground) > near || Math.abs(front - (255 - ground)) > near) {
      found.push(`${media}, ${scheme}: is written in ${front.toFixed(0)} on ${back.toFixed(0)} of 255`);
    }
  }
  await page.show('screen', 'light');
  return found;
}

// In the dark only colours are others.
async function accessibility(page, { axe }) {
  const found = [];
  await page.evaluate(axe);
  for (const scheme of ['light', 'dark']) {
    for (const px of WIDTHS) {
      await page.show('screen', scheme);
      await page.resize(px);
      const options = { resultTypes: ['violations'], ...(scheme === 'dark' ? { runOnly: ['color-contrast'] } : {}) };
      const violations = await page.evaluate(
        `axe.run(document, ${JSON.stringify(options)}).then((result) => result.violations.map(`
        + '(v) => `${v.id}: ${v.help}; ${v.nodes.length} of them, the first ${v.nodes[0].html.slice(0, 200)}`))');
      found.push(...violations.map((text) => `${scheme}, ${px} px: ${text}`));
    }
  }
  await page.show('screen', 'light');
  return found;
}

// ---- on paper ----

// Every part that must stay whole gets a small word at its top and one at its bottom, outside the
// flow, so that nothing moves. Their pages in the PDF tell where it was cut. Gives the heights of
// the parts, which may be cut when they are higher than a page.
function markInPage() {
  const parts = [...document.querySelectorAll('tr, figure, .verdict, .signatures p')];
  const add = (to, word, edge) => {
    const mark = document.createElement('span');
    mark.textContent = word;
    mark.style.cssText = `position:absolute;${edge}:0;left:0;font:2px/2px sans-serif;color:#000;`
      + 'letter-spacing:0;white-space:nowrap;width:auto;max-width:none;margin:0;border:0;padding:0';
    to.append(mark);
  };
  return parts.map((part, i) => {
    const whole = part.localName === 'tr' ? [...part.cells] : [part];
    whole.forEach((cell, j) => {
      cell.style.position = 'relative';
      add(cell, `(top${i}x${j})`, 'top');
      add(cell, `(end${i}x${j})`, 'bottom');
    });
    return { name: part.localName, height: part.getBoundingClientRect().height, cells: whole.length };
  });
}

// The words of a PDF: [{page, text, xMin, xMax, pageWidth}].
function wordsOf(pdf) {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'topend-print-'));
  const file = path.join(folder, 'page.pdf');
  fs.writeFileSync(file, pdf);
  const result = spawnSync('pdftotext', ['-bbox', file, '-'], { encoding: 'utf8', maxBuffer: 1 << 29 });
  fs.rmSync(folder, { recursive: true });
  if (result.error) throw new Error('pdftotext is missing; .ci/setup installs it');
  if (result.status !== 0) throw new Error(`pdftotext: ${result.stderr}`);
  const words = [];
  let page = 0;
  let pageWidth = 0;
  for (const line of result.stdout.split('\n')) {
    const begins = line.match(/<page width="([\d.]+)"/);
    const word = line.match(/<word xMin="([-\d.]+)" yMin="[-\d.]+" xMax="([-\d.]+)" [^>]*>(.*)<\/word>/);
    if (begins) {
      page += 1;
      pageWidth = Number(begins[1]);
    } else if (word) {
      words.push({ page, pageWidth, xMin: Number(word[1]), xMax: Number(word[2]), text: word[3] });
    }
  }
  return words;
}

// Pages of every mark, as text: "top3x0" -> "2".
function pagesOfMarks(words) {
  const pages = new Map();
  for (const { page, text } of words) {
    for (const [, mark] of text.matchAll(/\(((?:top|end)\d+x\d+)\)/g)) {
      pages.set(mark, [...(pages.get(mark) ?? []), page]);
    }
  }
  return pages;
}

function cutParts(parts, pages, most) {
  const found = [];
  parts.forEach(({ name, height, cells }, i) => {
    const of = (edge) => Array.from({ length: cells }, (_, j) => pages.get(`${edge}${i}x${j}`) ?? []);
    const [tops, ends] = [of('top'), of('end')];
    const seen = new Set([...tops, ...ends].map((at) => at.join()));
    if (seen.has('')) found.push(`a mark of <${name}> ${i} is not in the PDF: the check cannot tell`);
    else if (seen.size > 1 && height <= most) {
      found.push(`cuts <${name}> ${i}: tops on pages ${tops.join(' ')}, ends on ${ends.join(' ')}`);
    }
  });
  return found;
}

async function paper(page) {
  const found = [];
  await page.show('print', 'dark'); // dark must change nothing on paper
  await page.resize(Math.floor(PAPERS.A4[0] * PX_IN_INCH) - MARGINS);
  const parts = await page.call(markInPage);
  for (const [name, [wide, high]] of Object.entries(PAPERS)) {
    const words = wordsOf(await page.print(wide, high));
    const most = (high - 40 / 25.4) * PX_IN_INCH;
    found.push(...cutParts(parts, pagesOfMarks(words), most).map((text) => `${name}: ${text}`));
    const outside = words.find(({ xMin, xMax, pageWidth }) => xMin < 0 || xMax > pageWidth);
    if (outside) found.push(`${name}: word "${outside.text.slice(0, 40)}" reaches past the page`);
    if (words.length === 0) found.push(`${name}: the PDF has no text`);
  }
  await page.show('screen', 'light');
  return found;
}

// The checks by their names, in order: from accessibility on, the page is no longer as it was
// written, for axe and then the marks are in it.
const CHECKS = {
  markup,
  structure,
  policy,
  width,
  texts,
  words,
  schemes,
  console: console_,
  requests,
  accessibility,
  paper,
};

// What is wrong with a file: ["CHECK: what is wrong", ...].
//   axe      the source of axe-core
//   isRough  its texts may fit neither figures nor lines
//   only     the name of one check, in place of all
async function check(browser, url, { axe, isRough = false, only }) {
  const page = await browser.open();
  const found = [];
  await page.resize(WIDTHS[1]);
  await page.load(url);
  for (const name of only ? [only] : Object.keys(CHECKS)) {
    const wrong = await CHECKS[name](page, { url, axe, isRough });
    found.push(...wrong.map((text) => `${name}: ${text}`));
  }
  await page.close();
  return found;
}

module.exports = { check };
