// Load the demo network through the API, in order of time, each act as the person who did it.
//
//   node demo/load.mjs --server URL --invitation TOKEN [--seed N] [--until DATE] [--report FILE]
//
// Nothing is written past the engine: an alert of the demo is one that the server raised when it was told the check.
// What the coordinator then did (taking, booking, settling) follows the courses below, at plausible times.

import { writeFileSync } from 'node:fs';
import { Api, signIn } from './api.mjs';
import { makeNetwork, today, uuid } from './network.mjs';

const option = (name) => (process.argv.includes(name) ? process.argv[process.argv.indexOf(name) + 1] : undefined);
const server = option('--server');
const invitation = option('--invitation');
if (!server || !invitation) {
  console.error('usage: node demo/load.mjs --server URL --invitation TOKEN [--seed N] [--until DATE] [--report FILE]');
  process.exit(2);
}
const net = makeNetwork({ until: option('--until') ?? today(), ...(option('--seed') ? { seed: Number(option('--seed')) } : {}) });
const began = Date.now();

// ---- people and places ----------------------------------------------------------------------------------------------

const person = Object.fromEntries(net.people.map((p) => [p.key, p]));
const as = {}; // Api of each person, signed in

async function join(p, token) {
  const answer = await new Api(server).call('POST', `/invitations/${encodeURIComponent(token)}`, { passphrase: p.passphrase });
  p.id = answer.body.person.id;
  as[p.key] = await signIn(server, p.email, p.passphrase);
}

await join(person.coordinator, invitation);
const desk = as.coordinator;
for (const p of net.people) {
  if (p.key === 'coordinator') continue;
  const { body } = await desk.call('POST', '/people', { name: p.name, email: p.email, role: p.role });
  await join(p, body.token);
}
for (const h of net.homes) {
  await desk.call('PUT', `/homes/${h.id}`, { name: h.name, kind: h.kind, zone: h.zone });
  await desk.call('PUT', `/homes/${h.id}/people/${person[h.who].id}`, { from: h.from });
}
for (const p of net.pens) await as.intake.call('PUT', `/homes/${p.home}/pens/${p.id}`, { name: p.name });
for (const s of net.scales) {
  await as.intake.call('PUT', `/scales/${s.id}`, { home: s.home, name: s.name, step: s.step, capacity: s.capacity });
}

// ---- what the coordinator does --------------------------------------------------------------------------------------

const HOUR = 3600000;
const DAY = 24 * HOUR;
const answerAfter = { emergency: HOUR / 3, same_day: 2 * HOUR, vet_soon: 14 * HOUR, watch: 30 * HOUR, steady: 30 * HOUR };
// From the moment of taking: when, which step, and what was written.
const courses = {
  ill: [[HOUR, 'vet_booked', 'Mill Lane practice'], [DAY, 'vet_seen', 'seen, treatment started'], [24 * DAY, 'settled', 'over it', 'ill']],
  vet_booked: [[HOUR, 'note', 'asked the home for a photo of the chin'], [2 * HOUR, 'vet_booked', 'Mill Lane practice, next free morning']],
  known_normal: [[3 * HOUR, 'vet_booked', 'Mill Lane practice'], [2 * DAY, 'settled', 'the vet has scanned her: usual for her', 'known_normal']],
  measuring_error: [[HOUR, 'reweigh_asked', 'please test the scale with the brass kilogram'], [3 * DAY, 'settled', 'the scale was at fault', 'measuring_error']],
  benign: [[HOUR, 'watching', 'next weighing will tell'], [16 * DAY, 'settled', 'nothing came of it', 'benign']],
  open: [],
};

const key = Object.fromEntries([...net.animals.map((a) => [a.id, a.key]), ...net.homes.map((h) => [h.id, h.key])]);
const agenda = []; // steps to take, kept in order of time
const known = new Map(); // alert id -> {state, level, pending}
const tonight = Math.min(Date.now() - 60000, Date.parse(net.instant(0, 480)));

function plan(when, step) {
  if (when > tonight) return;
  agenda.push({ when, ...step });
  agenda.sort((a, b) => a.when - b.when);
}

function courseOf(alert, at) {
  const day = Math.round((Date.parse(at) - Date.parse(net.instant(0, 0))) / DAY);
  const event = net.events.find((e) => e.kind.includes(alert.kind) && day >= e.from - 1 && (!e.animal || e.animal === alert.animal) && (!e.home || e.home === alert.home));
  if (event && (event.animal || event.home)) return event.course;
  if (alert.kind === 'scale') return 'measuring_error';
  return alert.kind === 'missed' ? 'open' : 'benign';
}

// The answer to a check says which alerts it raised or joined. One that waits is taken, and then follows its course once.
function notice(alerts, at, where) {
  for (const alert of alerts ?? []) {
    const before = known.get(alert.id);
    const now = { state: alert.state, level: alert.level, course: before?.course ?? courseOf({ ...alert, ...where }, at), taken: before?.taken ?? 0 };
    known.set(alert.id, now);
    if (alert.state !== 'waiting' || now.course === 'open' || before?.pending) continue;
    now.pending = true;
    const take = Date.parse(at) + (answerAfter[alert.level] ?? DAY);
    plan(take, { alert: alert.id, step: 'taken' });
    if (now.taken++ === 0 || now.course === 'vet_booked') {
      for (const [after, step, note, outcome] of courses[now.course]) plan(take + after, { alert: alert.id, step, note, outcome });
    }
  }
}

let steps = 0;
async function act({ when, alert, step, note, outcome }) {
  const entry = known.get(alert);
  const { body, etag } = await desk.call('GET', `/alerts/${alert}`).catch((problem) => {
    if (problem.status === 404) return { body: { alert: { state: 'settled' } } }; // withdrawn: it was the scale
    throw problem;
  });
  const state = body.alert.state;
  if (step === 'taken') entry.pending = false;
  if (state === 'settled' || (step === 'taken' && state !== 'waiting')) return;
  await desk.call('POST', `/alerts/${alert}/steps`, {
    id: uuid(`step ${net.seed} ${alert} ${step} ${when}`, when), step, at: new Date(when).toISOString(),
    ...(note ? { note } : {}), ...(outcome ? { outcome } : {}),
  }, { etag });
  steps++;
}

// ---- thirty weeks ---------------------------------------------------------------------------------------------------

const put = {
  arrival: (t) => `/arrivals/${t.id}`,
  check: (t) => `/checks/${t.id}`,
  known_normal: (t) => `/animals/${t.animal_id}/known-normals/${t.id}`,
  event: (t) => `/animals/${t.animal_id}/events/${t.id}`,
  scale_test: (t) => `/scale-tests/${t.id}`,
};
let done = 0;
for (const t of net.timeline) {
  const when = Date.parse(t.at);
  while (agenda.length && agenda[0].when <= when) await act(agenda.shift());
  const { body } = await as[t.by].call('PUT', put[t.what](t), t.body);
  const animal = net.animals.find((a) => a.key === t.animal);
  notice(body.alerts, t.at, { animal: t.animal, home: animal?.home ?? t.home });
  done++;
  if (process.stderr.isTTY && done % 50 === 0) process.stderr.write(`\r${done} of ${net.timeline.length}`);
}
while (agenda.length) await act(agenda.shift());
if (process.stderr.isTTY) process.stderr.write('\r');

const seconds = ((Date.now() - began) / 1000).toFixed(1);
console.log(`${net.animals.length} animals in ${net.homes.length} homes, ${net.timeline.length} entries and ${steps} steps in ${seconds} s`);
if (option('--report')) writeFileSync(option('--report'), `${JSON.stringify({ seed: net.seed, until: net.until, seconds: Number(seconds) })}\n`);
