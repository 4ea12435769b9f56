// Small worlds for tests: a home with a scale, an animal with a baseline check, further checks.

import { randomUUID } from 'node:crypto';

export const REGIONS = ['behaviour', 'breathing', 'body', 'skin', 'coat', 'eyes', 'ears', 'underside', 'feet', 'scent', 'teeth'];
export const asUsual = () => Object.fromEntries(REGIONS.map((r) => [r, 'as_usual']));

export async function addHome(desk, { name, kind = 'foster', scale = 'kitchen scale' }) {
  const home = { id: randomUUID(), scale: randomUUID(), name };
  await desk.call('PUT', `/homes/${home.id}`, { name, kind, zone: 'Europe/London' });
  await desk.call('PUT', `/scales/${home.scale}`, { home: home.id, name: scale, step: 1, capacity: 5000 });
  return home;
}

// A guinea pig that arrived with a baseline check; days: how long ago.
export async function addCheck(desk, home, { name, grams, days = 1 }) {
  const animal = randomUUID();
  const check = randomUUID();
  const at = new Date(Date.now() - days * 86400000).toISOString();
  const { body } = await desk.call('PUT', `/arrivals/${randomUUID()}`, {
    kind: 'surrender', at, home: home.id,
    animal: { id: animal, name, species: 'guinea_pig', sex: 'female', stage: 'adult' },
    baseline: { id: check, at, answers: asUsual(), findings: [], weighing: { scale: home.scale, readings: [grams], zeroed: true, confirmed: false } },
  });
  return { animal, check, tag: body.animal.tag };
}
