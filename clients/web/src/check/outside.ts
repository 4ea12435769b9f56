// An animal that is not in this person's round, put together from its own pages, so that it can be checked all the same.
import { get } from '../api/client';
import type { AnimalPage, Check, HomePage, RoundAnimal, Weighed } from '../api/types';
import { reaching } from '../app/state';
import type { Stop } from '../today/round';

/** A check's weighing with its verdict, as an entry of the series. */
export function weighedOf(check: Check, step: number | null = null): Weighed | null {
  if (!check.weighing) return null;
  const { verdict } = check;
  return {
    check: check.id,
    at: check.at,
    grams: check.weighing.grams,
    second: check.weighing.readings[1] ?? null,
    scale: check.weighing.scale,
    step,
    confirmed: check.weighing.confirmed,
    mouth_looked: 0,
    mouth_seen: 0,
    quality: verdict?.quality ?? null,
    level: verdict?.level ?? null,
    kind: verdict?.kind ?? null,
    expected: verdict?.expected ?? null,
    low: verdict?.low ?? null,
    high: verdict?.high ?? null,
    own_level: verdict?.own_level ?? null,
    sd: verdict?.sd ?? null,
    change_pct: verdict?.change_pct ?? null,
    reasons: verdict?.reasons ?? [],
    set_aside_by_session: false,
  };
}

export async function stopFromServer(id: string): Promise<Stop | null> {
  const [page, history] = await reaching(() =>
    Promise.all([get<AnimalPage>(`/animals/${id}`), get<{ checks: Check[] }>(`/animals/${id}/history?limit=60`)]),
  );
  const { animal } = page;
  if (!animal.home) return null;
  const home = await get<HomePage>(`/homes/${animal.home}`);
  const round: RoundAnimal = {
    ...animal,
    arrived: animal.arrived ?? null,
    check_every_days: 7,
    known_normals: page.known_normals,
    events: page.events,
    open_alerts: page.open_alerts,
    last_check: history.checks[0] ?? null,
    weighings: history.checks
      .map((check) => weighedOf(check, home.scales.find((scale) => scale.id === check.weighing?.scale)?.step ?? null))
      .filter((each) => each !== null)
      .reverse(),
    done_today: false,
  };
  return {
    home: { ...home.home, cover: false, scales: home.scales, pens: [] },
    pen: { id: animal.pen, name: animal.pen_name },
    animal: round,
  };
}
