// The calls to the server. The secret from the address goes into a header of
// every call and nowhere else: a cookie would reach other ports of this computer.

const key = 'gapshade-secret';
let secret = sessionStorage.getItem(key) ?? '';
let tellLost = () => {};

// takeSecret reads the secret from the address, and the panel to open where one is
// named behind it, keeps both for this tab and takes them out of the address bar and
// the history. It tells whether there is a secret.
export function takeSecret() {
  const said = location.hash.match(/^#([0-9a-f]{32})(?:\/([a-z2-7]{26}))?$/);
  if (said) {
    secret = said[1];
    sessionStorage.setItem(key, secret);
    if (said[2]) sessionStorage.setItem('gapshade-panel', said[2]);
  }
  if (location.hash) history.replaceState(null, '', location.pathname);
  return secret !== '';
}

// onLost is told true when the server stops answering, false when it is back.
export function onLost(tell) { tellLost = tell; }

// Fault is an error with words for people: what, why, what next. Those from the
// server are in English, and sentences.js gives their German; words.js has our own.
export class Fault extends Error {
  constructor(said, status) {
    super(said.what ?? String(status));
    Object.assign(this, { what: '', why: '', next: '', code: '', field: '' }, said, { status, ours: false });
  }
}

// wait resolves after seconds, or rejects when given up.
const wait = (seconds, signal) => new Promise((resolve, reject) => {
  const timer = setTimeout(resolve, seconds * 1000);
  signal?.addEventListener('abort', () => { clearTimeout(timer); reject(signal.reason); }, { once: true });
});

// send makes one call and keeps at it: while the server is away or says that it
// is busy (429), the same call is made again. It gives the Response, or throws a Fault.
export async function send(method, path, { json, form, signal } = {}) {
  const request = { method, signal, headers: { 'Gapshade-Secret': secret }, cache: 'no-store' };
  if (json !== undefined) {
    request.headers['Content-Type'] = 'application/json';
    request.body = JSON.stringify(json);
  } else if (form) request.body = form;
  for (let tries = 0; ; tries++) {
    let reply;
    try {
      reply = await fetch(path, request);
    } catch (err) {
      if (signal?.aborted) throw err;
      tellLost(true);
      await wait(Math.min(0.5 * 2 ** tries, 4), signal);
      continue;
    }
    tellLost(false);
    if (reply.status === 429) {
      await wait(Number(reply.headers.get('Retry-After')) || 1, signal);
      continue;
    }
    if (reply.ok) return reply;
    throw new Fault(await reply.json().catch(() => ({})), reply.status);
  }
}

// call is send for JSON; null where the reply has no body.
export async function call(method, path, options) {
  const reply = await send(method, path, options);
  return reply.status === 204 ? null : reply.json();
}

// withPhoto is a form with one photo and perhaps more fields.
export function withPhoto(file, fields = {}) {
  const form = new FormData();
  for (const [name, value] of Object.entries(fields)) form.append(name, value);
  form.append('photo', file, file.name || 'photo');
  return form;
}
