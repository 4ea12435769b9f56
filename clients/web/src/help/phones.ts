import type { Phone } from '../api/types';

/** Hours in words such as "20:00-8:00" or "day 8-18"; null when none can be read. */
export function hoursIn(when: string | null | undefined): [number, number] | null {
  const found = when?.match(/(\d{1,2})(?::(\d{2}))?\s*(?:-|–|to)\s*(\d{1,2})(?::(\d{2}))?/);
  if (!found) return null;
  const from = Number(found[1]) + Number(found[2] ?? 0) / 60;
  const to = Number(found[3]) + Number(found[4] ?? 0) / 60;
  return from <= 24 && to <= 24 ? [from, to] : null;
}

/** Those that answer at this hour first, in the network's own order otherwise. */
export function inHourOrder(phones: readonly Phone[], now: Date): Phone[] {
  const hour = now.getHours() + now.getMinutes() / 60;
  const answers = (phone: Phone): boolean => {
    const hours = hoursIn(phone.when);
    if (hours) return hours[0] <= hours[1] ? hour >= hours[0] && hour < hours[1] : hour >= hours[0] || hour < hours[1];
    if (/night/i.test(phone.when ?? '')) return hour < 8 || hour >= 18;
    if (/day/i.test(phone.when ?? '') && !/every|any|days/i.test(phone.when ?? '')) return hour >= 8 && hour < 18;
    return true;
  };
  return [...phones.filter(answers), ...phones.filter((phone) => !answers(phone))];
}
