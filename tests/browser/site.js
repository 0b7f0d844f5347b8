// A site of its own for each test: the simulated chassis, the daemon, and browsers to look at it.
import assert from 'node:assert/strict';
import { execFileSync, spawn } from 'node:child_process';
import { createConnection } from 'node:net';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';

const { SLOTWITNESS_BIN: bin, SLOTWITNESS_FIXTURES: fixtures, SLOTWITNESS_SHOTS: shots } = process.env;
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** The line of its output that a program writes once it is ready. */
function ready(child, pattern, name) {
  return new Promise((done, fail) => {
    let said = '';
    child.stdout.on('data', (data) => {
      said += data;
      const found = said.match(pattern);
      if (found) done(found[1]);
    });
    child.once('exit', (status) => fail(new Error(`${name} ended with ${status}`)));
  });
}

/** Holds of seconds in the place of holds of half a minute: what is tested are pages, not patience. */
const hurried = (procedure) => procedure.replace(/for (?:10|30) s/g, 'for 200 ms');

export const arguments_ = {
  module: 'FAB3', planes: '3, 4', 'other-planes': '1, 2, 5, 6', tray: 'TRAY2', spare: 'QL40100099', 'spare-part': 'QF-32-2', 'spare-revision': 'R4',
  'ejector-torque': '0.9 N·m by handbook 4-2', margin: '10 % by capacity plan 3', 'cooling-limit': '10 min by site rule 7', 'warming-sensors': 'FAB4-core',
  'sensor-limit': '92 C by handbook 6-1',
};

export class Site {
  #folder = mkdtempSync(join(tmpdir(), 'slotwitness-browser-'));
  #children = [];
  #browser = null;
  url = '';
  tokens = {};

  static async begin() {
    const site = new Site();
    await site.#startChassis();
    await site.startDaemon();
    while ((await site.ask('GET', '/v1/chassis/edge-7/answers')).answers.length < 9); // all that the profile asks for
    return site;
  }

  #file(name) {
    return join(this.#folder, name);
  }

  async #startChassis() {
    for (const key of ['host_key', 'watcher_key']) execFileSync('ssh-keygen', ['-q', '-t', 'ed25519', '-N', '', '-f', this.#file(key)]);
    const chassis = spawn(join(bin, 'slotwitness-chassis'), ['--port', '0', '--name', 'edge-7', '--serial', 'QL40000017', '--host-key', this.#file('host_key'),
      '--authorized-keys', this.#file('watcher_key.pub'), '--control', this.#file('control'), '--boot-time', '8s', '--refresh', '1600ms', '--speed', '8'], { stdio: ['ignore', 'pipe', 'ignore'] });
    this.#children.push(chassis);
    const port = await ready(chassis, /"port": *(\d+)/, 'the simulated chassis');
    const [type, key] = readFileSync(this.#file('host_key.pub'), 'utf8').split(' ');
    writeFileSync(this.#file('known_hosts'), `[127.0.0.1]:${port} ${type} ${key}\n`);
    writeFileSync(this.#file('quillon.toml'), readFileSync(join(fixtures, 'quillon/profile.toml'), 'utf8').replace(/refresh( *)= "2 s"/g, 'refresh$1= "200 ms"'));
    writeFileSync(this.#file('replace-fabric-module.toml'), hurried(readFileSync(join(fixtures, 'quillon/procedures/replace-fabric-module.toml'), 'utf8')));
    const one = (name, at) => `[[chassis]]\nname = "${name}"\nprofile = "quillon.toml"\naddress = "127.0.0.1"\nport = ${at}\nuser = "watcher"\nkey = "watcher_key"\nknown-hosts = "known_hosts"\n[chassis.pace]\npending = "200 ms"\nidle = "400 ms"\n`;
    writeFileSync(this.#file('site.toml'), `[daemon]\nlisten = "127.0.0.1:0"\njournal = "journal.sqlite"\ntokens = "tokens"\nprocedures = ["replace-fabric-module.toml"]\n${one('edge-7', port)}${one('core-3', 1)}`);
    for (const role of ['engineer', 'viewer']) this.tokens[role] = this.token(role);
  }

  /** A new token of this role; a rack token is of one procedure. */
  token(role, procedure) {
    const said = execFileSync(join(bin, 'slotwitness'), ['token', 'make', '--config', this.#file('site.toml'), '--name', `A. ${role}`, '--role', role,
      ...(procedure ? ['--procedure', procedure] : [])], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] });
    return said.match(/sw1\.[a-z0-9.]+/)[0];
  }

  async startDaemon() {
    this.daemon = spawn(join(bin, 'slotwitness'), ['serve', '--config', this.#file('site.toml')], { stdio: ['ignore', 'pipe', 'ignore'] });
    this.#children.push(this.daemon);
    this.url = await ready(this.daemon, /listening on (\S+)/, 'the daemon');
  }

  /** Orders to the simulated chassis and its people, one after the other. */
  async order(...orders) {
    for (const order of orders) {
      const answer = await new Promise((done, fail) => {
        const socket = createConnection(this.#file('control'), () => socket.write(`${order}\n`));
        let said = '';
        socket.on('data', (data) => {
          said += data;
          if (said.includes('\n')) socket.end(), done(JSON.parse(said.split('\n')[0]));
        });
        socket.on('error', fail);
      });
      assert.equal(answer.done, true, `${order}: ${answer.error}`);
    }
  }

  async ask(method, path, body, headers = {}, token = this.tokens.engineer) {
    const response = await fetch(this.url + path, { method, headers: { Authorization: `Bearer ${token}`, ...(body ? { 'Content-Type': 'application/json' } : {}), ...headers },
      body: body && JSON.stringify(body) });
    const answer = await response.json();
    assert.ok(response.ok, `${method} ${path}: ${JSON.stringify(answer)}`);
    return answer;
  }

  openSwap() {
    return this.ask('POST', '/v1/procedures', { chassis: 'edge-7', procedure: 'replace-fabric-module', ticket: 'T-1207', arguments: arguments_ });
  }

  /** A page of a person of its own; whatever goes wrong in its scripts fails the test. */
  async page(path, { token = this.tokens.engineer, width = 1280, height = 800, scheme = 'light', ...more } = {}) {
    this.#browser ??= await chromium.launch({
      executablePath: '/usr/bin/chromium',
      args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
    });
    const context = await this.#browser.newContext({ viewport: { width, height }, colorScheme: scheme, bypassCSP: false, ...more });
    context.setDefaultTimeout(15_000);
    const page = await context.newPage();
    page.wrong = [];
    page.on('pageerror', (error) => page.wrong.push(error.stack));
    page.on('console', (message) => message.text().includes('Content Security Policy') && page.wrong.push(message.text()));
    await page.goto(`${this.url}${path}#token=${token}`);
    return page;
  }

  async end() {
    await this.#browser?.close();
    for (const child of this.#children.reverse()) {
      child.removeAllListeners('exit');
      if (child.exitCode === null && child.signalCode === null) {
        const gone = new Promise((done) => child.once('exit', done));
        child.kill();
        await gone;
      }
    }
    rmSync(this.#folder, { recursive: true, force: true });
  }
}

/** Kept for people to look at. */
export async function shot(page, name, options = {}) {
  if (!shots) return;
  mkdirSync(shots, { recursive: true });
  await page.screenshot({ path: join(shots, `${name}.png`), ...options });
}

/** What axe finds wrong with the page, as lines; a page may hold no finding. */
export async function findings(page) {
  await page.evaluate(axe); // evaluated, not injected: the page's policy stays
  return page.evaluate(async () =>
    (await globalThis.axe.run()).violations.flatMap((one) => one.nodes.map((node) => `${one.id}: ${node.target.join(' ')}: ${node.failureSummary}`)));
}
