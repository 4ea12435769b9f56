import type { Kind } from '../api/types';
import { tMaybe, tOf } from './t';

/** One line for the volunteer: what an open alert asks to look at. */
export function alertReasonShort(alert: { kind: Kind; reasons: string[] }): string {
  return tMaybe('look_at', alert.kind) ?? tOf('kind', alert.kind);
}
