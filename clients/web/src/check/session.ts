// What this phone weighed on one scale within four hours: together they show a bowl that was not at zero.
import type { Verdict } from '../api/types';
import type { Mate } from '../engine/engine';
import { recall, remember } from '../store/db';

const SESSION = 4 * 3_600_000;

interface Member extends Mate {
  check: string;
  animal: string;
  at: string;
}

interface Session {
  zeroed_at: string | null;
  members: Member[];
}

async function session(scale: string): Promise<Session> {
  return (await recall<Session>(`scale:${scale}`))?.value ?? { zeroed_at: null, members: [] };
}

function recent(at: string, now: Date): boolean {
  const age = now.getTime() - Date.parse(at);
  return age >= 0 && age < SESSION;
}

/** Was "bowl on, display at zero" already said in this session of the scale? */
export async function isZeroed(scale: string, now: Date): Promise<boolean> {
  const { zeroed_at } = await session(scale);
  return zeroed_at !== null && recent(zeroed_at, now);
}

export async function sayZeroed(scale: string, now: Date): Promise<void> {
  const so = await session(scale);
  await remember(`scale:${scale}`, {
    ...so,
    zeroed_at: now.toISOString(),
    members: so.members.filter((each) => recent(each.at, now)),
  });
}

export async function matesOf(scale: string, animal: string, now: Date): Promise<Mate[]> {
  return (await session(scale)).members.filter((each) => each.animal !== animal && recent(each.at, now));
}

export async function addMember(
  scale: string,
  member: {
    check: string;
    animal: string;
    at: string;
    grams: number;
    verdict: Verdict;
    confirmed: boolean;
    species: string;
  },
): Promise<void> {
  const so = await session(scale);
  const others = so.members.filter((each) => each.animal !== member.animal && recent(each.at, new Date(member.at)));
  await remember(`scale:${scale}`, { zeroed_at: member.at, members: [...others, member] });
}
