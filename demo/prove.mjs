// Prove that a server with the demo network answers: sign-in, round, check and alert. Used by `demo/run --check`.
//
//   node demo/prove.mjs --server URL
//
// It logs one check, an animal a fifth under its weight, so it is run on a copy of the demo's database.

import { randomUUID } from 'node:crypto';
import { Api, signIn } from './api.mjs';
import { makeNetwork, today } from './network.mjs';

const server = process.argv[process.argv.indexOf('--server') + 1];
const { people } = makeNetwork({ until: today() });
const account = (key) => people.find((p) => p.key === key);
let failures = 0;

async function prove(what, work) {
  try {
    const said = await work();
    console.log(`  ${what}: ok${said ? `, ${said}` : ''}`);
  } catch (error) {
    failures++;
    console.log(`  ${what}: FAILED: ${error.message}`);
  }
}
function expect(holds, words) {
  if (!holds) throw new Error(words);
}

let volunteer;
let subject;
let raised;

await prove('sign-in', async () => {
  volunteer = await signIn(server, account('wren').email, account('wren').passphrase);
  const me = await volunteer.get('/me');
  expect(me.person.role === 'volunteer', `me says role ${me.person.role}`);
  const refused = await new Api(server).call('POST', '/session', { email: account('wren').email, passphrase: 'not the passphrase', bearer: true }).catch((e) => e);
  expect(refused.status === 401, `a wrong passphrase gave ${refused.status}`);
  return `${me.person.name}, ${me.homes.length} homes`;
});

await prove('round', async () => {
  const { homes } = await volunteer.get('/round');
  const animals = homes.flatMap((h) => h.pens.flatMap((p) => p.animals.map((a) => ({ ...a, home: h.id, scales: h.scales }))));
  expect(animals.length > 0, 'the round is empty');
  const due = animals.filter((a) => !a.done_today && a.due_on <= today());
  // Whoever plays with the demo may have made all checks, or raised alerts on all animals: the proof does not mind.
  const known = animals.filter((a) => a.weighings.length > 8);
  subject = known.find((a) => a.open_alerts.length === 0) ?? known[0];
  expect(subject, 'no animal has a history');
  return `${animals.length} animals, ${due.length} due`;
});

await prove('check', async () => {
  const last = subject.weighings.at(-1).grams;
  const grams = Math.round(last * 0.8);
  const id = randomUUID();
  const body = {
    animal: subject.id, home: subject.home, kind: 'weigh_only', at: new Date(Date.now() - 1000).toISOString(), answers: {}, findings: [],
    weighing: { scale: subject.scales[0].id, readings: [grams, grams + 1], zeroed: true, confirmed: true },
  };
  const first = await volunteer.call('PUT', `/checks/${id}`, body);
  const again = await volunteer.call('PUT', `/checks/${id}`, body);
  expect(first.status === 201 && again.status === 200, `sent twice: ${first.status}, ${again.status}`);
  const other = await volunteer.call('PUT', `/checks/${id}`, { ...body, note: 'another body' }).catch((e) => e);
  expect(other.status === 409, `another body under the same id gave ${other.status}`);
  expect(['same_day', 'emergency'].includes(first.body.level), `${last} g, then ${grams} g, was judged ${first.body.level}`);
  raised = first.body.alerts[0];
  expect(raised, 'no alert was raised');
  return `${subject.name} ${last} g, then ${grams} g: ${first.body.level}`;
});

await prove('alert', async () => {
  const desk = await signIn(server, account('coordinator').email, account('coordinator').passphrase);
  const { alerts } = await desk.get('/alerts?state=open');
  expect(alerts.some((a) => a.id === raised.id), 'the alert is not on the desk');
  const { body, etag } = await desk.call('GET', `/alerts/${raised.id}`);
  expect(body.evidence.length > 0, 'the alert has no evidence');
  const taken = await desk.call('POST', `/alerts/${raised.id}/steps`, { id: randomUUID(), step: 'taken' }, { etag });
  expect(taken.body.alert.state === 'in_hand', `taken, and is ${taken.body.alert.state}`);
  return `${body.alert.kind}, ${body.alert.level}, taken; ${alerts.length} open`;
});

await prove('pages', async () => {
  const page = await fetch(`${server}/`);
  expect(page.status === 200 && /html/.test(page.headers.get('content-type')), `/ answered ${page.status}`);
  for (const path of ['/healthz', '/readyz']) {
    const { status } = await fetch(server + path);
    expect(status === 200, `${path} answered ${status}`);
  }
});

process.exit(failures ? 1 : 0);
