// The round as it stands for the person now: what the server said, with what this phone kept since laid over it.
import type { Check, Level, Round, RoundAnimal, RoundHome } from '../api/types';
import { levelRank } from '../api/types';
import type { Kept, Sent } from '../store/db';
import { dayKey, daysBetween } from '../text/format';
import { acceptedGrams } from '../text/reading';

export interface Stop {
  home: RoundHome;
  pen: { id: string | null; name: string | null };
  animal: RoundAnimal;
}

function checkOf(one: Kept | Sent): Check {
  const { body } = one;
  return {
    id: one.check,
    animal: body.animal,
    home: body.home,
    kind: body.kind,
    at: body.at,
    minutes: body.minutes ?? null,
    person: null,
    answers: body.answers,
    findings: body.findings,
    weighing: body.weighing ? { ...body.weighing, grams: acceptedGrams(body.weighing.readings) } : null,
    verdict: null,
    note: body.note ?? null,
    received_at: 'sent_at' in one ? one.sent_at : null,
    late: false,
  };
}

function lay(
  animal: RoundAnimal,
  check: Check,
  zone: string,
  step: number | null,
  now: Date,
  level: Level | null,
): RoundAnimal {
  if (animal.last_check?.id === check.id || animal.weighings.some((each) => each.check === check.id)) return animal;
  const weighings = check.weighing
    ? [
        ...animal.weighings,
        {
          check: check.id,
          at: check.at,
          grams: check.weighing.grams,
          second: check.weighing.readings[1] ?? null,
          scale: check.weighing.scale,
          step,
          confirmed: check.weighing.confirmed,
          mouth_looked: 0,
          mouth_seen: 0,
          quality: null,
          level: null,
          kind: null,
          expected: null,
          low: null,
          high: null,
          own_level: null,
          change_pct: null,
          reasons: [],
          set_aside_by_session: false,
        },
      ]
    : animal.weighings;
  return {
    ...animal,
    weighings,
    level: level ?? animal.level,
    last: check.weighing ? { at: check.at, grams: check.weighing.grams } : animal.last,
    last_check: check,
    done_today: animal.done_today || (check.kind !== 'weigh_only' && dayKey(check.at, zone) === dayKey(now, zone)),
  };
}

/** Checks that this phone has and the server's round does not know yet. */
export function roundWithKept(round: Round, kept: readonly Kept[], sent: readonly Sent[], now: Date): Round {
  const fresh = sent.filter((each) => each.sent_at > round.as_of);
  const all = [...fresh, ...kept].sort((a, b) => a.body.at.localeCompare(b.body.at));
  if (all.length === 0) return round;
  return {
    ...round,
    homes: round.homes.map((home) => ({
      ...home,
      pens: home.pens.map((pen) => ({
        ...pen,
        animals: pen.animals.map((animal) =>
          all
            .filter((each) => each.body.animal === animal.id)
            .reduce(
              (so, each) =>
                lay(
                  so,
                  checkOf(each),
                  home.zone,
                  home.scales.find((scale) => scale.id === each.body.weighing?.scale)?.step ?? null,
                  now,
                  'level' in each ? each.level : null,
                ),
              animal,
            ),
        ),
      })),
    })),
  };
}

/** Everyone in walking order: home by home, pen by pen. */
export function stopsOf(round: Round): Stop[] {
  return round.homes.flatMap((home) =>
    home.pens.flatMap((pen) => pen.animals.map((animal) => ({ home, pen: { id: pen.id, name: pen.name }, animal }))),
  );
}

/** Days that a check is late (positive), due today (0) or yet to come (negative). */
export function lateBy(animal: Pick<RoundAnimal, 'due_on'>, today: string): number | null {
  return animal.due_on ? daysBetween(animal.due_on, today) : null;
}

/** Due today or late, and not done. */
export function isDue(stop: Stop, now: Date): boolean {
  if (stop.animal.done_today) return false;
  const late = lateBy(stop.animal, dayKey(now, stop.home.zone));
  return (
    late === null ||
    late >= 0 ||
    stop.animal.open_alerts.some((alert) => levelRank(alert.level) >= levelRank('same_day'))
  );
}

export function findStop(round: Round | null, animal: string): Stop | null {
  return (round && stopsOf(round).find((stop) => stop.animal.id === animal)) ?? null;
}
