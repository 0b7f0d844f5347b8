// The daemon, asked: with the person's token, and its clock.

let token = null;
let offset = 0;

/** A token comes with the address, as #token=…, and stays in this tab alone. */
export function takeToken() {
  const given = new URLSearchParams(location.hash.slice(1)).get('token');
  if (given) {
    sessionStorage.setItem('token', given);
    history.replaceState(null, '', location.pathname + location.search);
  }
  token = sessionStorage.getItem('token');
}

/** The daemon's time. It goes on by the page's own monotonic clock while nothing is heard. */
export const now = () => performance.timeOrigin + performance.now() + offset;
export function setNow(text) {
  offset = Date.parse(text) - performance.timeOrigin - performance.now();
}

export class Refused extends Error {
  constructor(status, problem) {
    super([problem.detail, problem.found && `Found: ${problem.found}.`, problem.expected && `Expected: ${problem.expected}.`, problem.remedy].filter(Boolean).join(' '));
    this.status = status;
  }
}

async function send(path, options, patience) {
  const headers = { Accept: 'application/json', ...options.headers };
  if (token) headers.Authorization = `Bearer ${token}`;
  return fetch(path, { ...options, headers, cache: 'no-store', signal: AbortSignal.timeout(patience) });
}

async function ask(path, options = {}) {
  const response = await send(path, options, 8_000);
  const body = await response.json().catch(() => ({ detail: `The daemon answered ${response.status}.` }));
  if (!response.ok) throw new Refused(response.status, body);
  return body;
}

export const get = (path) => ask(path);
export const post = (path, body, headers = {}) =>
  ask(path, { method: 'POST', body: JSON.stringify(body), headers: { 'Content-Type': 'application/json', ...headers } });

const tags = new Map();

/** Returns when it is another than it was at the last call, after so many seconds at the latest (RFC 7240 §4.3). */
export async function changed(path, seconds) {
  const headers = { Prefer: `wait=${seconds}`, ...(tags.has(path) ? { 'If-None-Match': tags.get(path) } : {}) };
  const response = await send(path, { headers }, seconds * 1000 + 4_000);
  await response.arrayBuffer();
  if (response.ok && response.headers.has('ETag')) tags.set(path, response.headers.get('ETag'));
  else if (response.status !== 304) throw new Error(`The daemon answered ${response.status}.`);
}
