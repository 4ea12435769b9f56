// How the desk sorts what waits. Emergencies stay on top until somebody has settled them.
import type { Alert } from '../api/types';
import { levelRank } from '../api/types';
import { waiting } from '../text/format';
import { t, tOf } from '../text/t';

export interface Section {
  key: 'under_way' | 'waiting' | 'in_hand';
  alerts: Alert[];
}

function urgent(a: Alert, b: Alert): number {
  return levelRank(b.level) - levelRank(a.level) || a.raised_at.localeCompare(b.raised_at) || a.id.localeCompare(b.id);
}

export function sections(alerts: readonly Alert[]): Section[] {
  const open = [...alerts].filter((alert) => alert.state !== 'settled').sort(urgent);
  const of = (wanted: (alert: Alert) => boolean) => open.filter(wanted);
  const all: Section[] = [
    { key: 'under_way', alerts: of((alert) => alert.level === 'emergency') },
    { key: 'waiting', alerts: of((alert) => alert.level !== 'emergency' && alert.state === 'waiting') },
    { key: 'in_hand', alerts: of((alert) => alert.level !== 'emergency' && alert.state === 'in_hand') },
  ];
  return all.filter((section) => section.alerts.length > 0);
}

export function grouped(alerts: readonly Alert[], by: 'home' | 'kind' | 'level'): { name: string; alerts: Alert[] }[] {
  const groups = new Map<string, Alert[]>();
  for (const alert of [...alerts].sort(urgent)) {
    const name =
      by === 'home' ? (alert.home?.name ?? '') : by === 'kind' ? tOf('kind', alert.kind) : tOf('level', alert.level);
    groups.set(name, [...(groups.get(name) ?? []), alert]);
  }
  return [...groups].map(([name, list]) => ({ name, alerts: list }));
}

/** Past the time in which its level wants an answer. */
export function isLate(alert: Alert, now: Date): boolean {
  if (alert.state !== 'waiting' || !alert.limit_hours) return false;
  return now.getTime() - Date.parse(alert.raised_at) > alert.limit_hours * 3_600_000;
}

/** "Bracken has waited 5 h, longer than same day allows.", of the most urgent one. */
export function lateSentence(alerts: readonly Alert[], now: Date, who: (alert: Alert) => string): string | null {
  const late = alerts.filter((alert) => isLate(alert, now)).sort(urgent);
  const first = late[0];
  if (!first) return null;
  const sentence = t('desk.late', {
    name: who(first),
    wait: waiting(first.raised_at, now),
    level: tOf('level', first.level),
  });
  return late.length > 1 ? `${sentence} ${t('desk.late_more', { n: late.length - 1 })}` : sentence;
}

/** Where the desk goes when one is done with: the next that waits, in order. */
export function nextAfter(order: readonly Alert[], id: string): string | null {
  const at = order.findIndex((alert) => alert.id === id);
  const rest = [...order.slice(at + 1), ...order.slice(0, Math.max(0, at))];
  return rest.find((alert) => alert.state === 'waiting')?.id ?? null;
}
