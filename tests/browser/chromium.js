// SPDX-License-Identifier: GPL-3.0-or-later
// Chromium without a window, driven over its DevTools protocol through a pipe: JSON messages, each
// ended by a NUL, to its file descriptor 3 and from its 4.
'use strict';
const { spawn } = require('node:child_process');
const fs = require('node:fs');
const os = require('node:os');
const path = require('node:path');

const PATIENCE = 120000; // milliseconds for any one answer

class Chromium {
  static async start() {
    const browser = new Chromium();
    const isRoot = process.getuid && process.getuid() === 0;
    browser.profile = fs.mkdtempSync(path.join(os.tmpdir(), 'topend-chromium-'));
    browser.process = spawn('chromium', [
      '--headless=new', '--remote-debugging-pipe', `--user-data-dir=${browser.profile}`,
      '--disable-gpu', '--disable-dev-shm-usage', '--disable-background-networking',
      '--no-first-run', '--hide-scrollbars', '--host-resolver-rules=MAP * ~NOTFOUND',
      ...(isRoot ? ['--no-sandbox'] : []),
    ], { stdio: ['ignore', 'ignore', 'ignore', 'pipe', 'pipe'] });
    browser.waiting = new Map(); // answers by the number of their question
    browser.listeners = new Map(); // a page's listener by its session
    browser.count = 0;
    browser.rest = Buffer.alloc(0);
    browser.process.on('error', () => browser.fail('chromium is missing; .ci/setup installs it'));
    browser.process.on('exit', () => browser.fail('chromium ended'));
    browser.process.stdio[3].on('error', () => browser.fail('chromium does not listen'));
    browser.process.stdio[4].on('data', (bytes) => browser.receive(bytes));
    try {
      browser.version = (await browser.send('Browser.getVersion')).product;
    } catch (error) {
      browser.process.kill();
      fs.rmSync(browser.profile, { recursive: true, force: true });
      throw error;
    }
    return browser;
  }

  fail(message) {
    this.failure = new Error(message);
    for (const { reject } of this.waiting.values()) reject(this.failure);
    this.waiting.clear();
  }

  receive(bytes) {
    this.rest = Buffer.concat([this.rest, bytes]);
    for (let end = this.rest.indexOf(0); end >= 0; end = this.rest.indexOf(0)) {
      this.take(JSON.parse(this.rest.subarray(0, end).toString('utf8')));
      this.rest = this.rest.subarray(end + 1);
    }
  }

  take(message) {
    if (message.id === undefined) {
      const listener = this.listeners.get(message.sessionId);
      if (listener) listener(message.method, message.params);
      return;
    }
    const waiting = this.waiting.get(message.id);
    this.waiting.delete(message.id);
    if (!waiting) return;
    clearTimeout(waiting.timer);
    if (message.error) waiting.reject(new Error(`${waiting.method}: ${message.error.message}`));
    else waiting.resolve(message.result);
  }

  send(method, params = {}, sessionId = undefined) {
    if (this.failure) return Promise.reject(this.failure);
    const id = ++this.count;
    return new Promise((resolve, reject) => {
      const timer = setTimeout(() => this.fail(`no answer to ${method}`), PATIENCE);
      this.waiting.set(id, {
        method, timer, resolve, reject: (error) => { clearTimeout(timer); reject(error); },
      });
      this.process.stdio[3].write(`${JSON.stringify({ id, method, params, sessionId })}\0`);
    });
  }

  // A page of its own: nothing of another one's is left.
  async open() {
    const { browserContextId } = await this.send('Target.createBrowserContext');
    const { targetId } = await this.send('Target.createTarget', { url: 'about:blank', browserContextId });
    const { sessionId } = await this.send('Target.attachToTarget', { targetId, flatten: true });
    return new Page(this, sessionId, browserContextId);
  }

  async stop() {
    const ended = new Promise((resolve) => {
      if (this.failure) resolve();
      else this.process.once('exit', resolve);
    });
    await this.send('Browser.close').catch(() => {});
    await ended;
    fs.rmSync(this.profile, { recursive: true, force: true, maxRetries: 5 });
  }
}

class Page {
  constructor(browser, sessionId, context) {
    this.browser = browser;
    this.sessionId = sessionId;
    this.context = context;
    this.events = []; // [method, params], all of them
    this.awaited = [];
    browser.listeners.set(sessionId, (method, params) => {
      this.events.push([method, params]);
      this.awaited.filter((a) => a.method === method).forEach((a) => a.resolve(params));
    });
  }

  send(method, params) {
    return this.browser.send(method, params, this.sessionId);
  }

  when(method) {
    return new Promise((resolve, reject) => {
      const timer = setTimeout(() => reject(new Error(`${method} did not come`)), PATIENCE);
      this.awaited.push({ method, resolve: (params) => { clearTimeout(timer); resolve(params); } });
    });
  }

  async load(url) {
    for (const domain of ['Page', 'Network', 'Runtime', 'Log', 'Audits']) {
      await this.send(`${domain}.enable`);
    }
    const loaded = this.when('Page.loadEventFired');
    const { errorText } = await this.send('Page.navigate', { url });
    if (errorText) throw new Error(`${url}: ${errorText}`);
    await loaded;
  }

  // The value of an expression, or of the promise that it gives.
  async evaluate(expression) {
    const { result, exceptionDetails } = await this.send('Runtime.evaluate',
      { expression, returnByValue: true, awaitPromise: true });
    if (exceptionDetails) {
      throw new Error(exceptionDetails.exception?.description ?? exceptionDetails.text);
    }
    return result.value;
  }

  // The value of a function that runs in the page; its arguments are sent as JSON.
  call(body, ...args) {
    return this.evaluate(`(${body})(...${JSON.stringify(args)})`);
  }

  async resize(width, height = 900) {
    await this.send('Emulation.setDeviceMetricsOverride',
      { width, height, deviceScaleFactor: 1, mobile: false });
  }

  async show(media, scheme) {
    await this.send('Emulation.setEmulatedMedia',
      { media, features: [{ name: 'prefers-color-scheme', value: scheme }] });
  }

  async print(width, height) { // inches
    const { data } = await this.send('Page.printToPDF',
      { paperWidth: width, paperHeight: height, printBackground: false });
    return Buffer.from(data, 'base64');
  }

  async close() {
    this.browser.listeners.delete(this.sessionId);
    await this.browser.send('Target.disposeBrowserContext', { browserContextId: this.context });
  }
}

module.exports = { Chromium };
