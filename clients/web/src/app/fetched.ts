// What a page fetches: first the copy on this device when there is one, then the server's.
import { useEffect, useState } from 'preact/hooks';
import { get } from '../api/client';
import { recall, remember } from '../store/db';
import { reaching, wordsFor } from './state';

export interface Fetched<T> {
  value: T | null;
  /** Words when it could not be fetched; a copy may still be there. */
  says: string | null;
  /** When the copy was read, while the server has not answered. */
  at: string | null;
  again: () => Promise<void>;
}

/** Fetches a path. keep: remember it on this device under its path, for a start without a network. */
export function useFetched<T>(path: string | null, keep = false): Fetched<T> {
  const [state, setState] = useState<{ path: string | null; value: T | null; says: string | null; at: string | null }>({
    path,
    value: null,
    says: null,
    at: null,
  });
  const load = async (current: () => boolean) => {
    if (path === null) return;
    try {
      const value = await reaching(() => get<T>(path));
      if (current()) setState({ path, value, says: null, at: null });
      if (keep) await remember(`page:${path}`, value);
    } catch (error) {
      if (current()) setState((before) => ({ ...before, path, says: wordsFor(error) }));
    }
  };
  // biome-ignore lint/correctness/useExhaustiveDependencies: one load a path
  useEffect(() => {
    let current = true;
    const still = () => current;
    if (keep && path !== null) {
      void recall<T>(`page:${path}`).then((found) => {
        if (found && current)
          setState((before) =>
            before.path === path && before.value !== null
              ? before
              : { path, value: found.value, says: null, at: found.at },
          );
      });
    }
    void load(still);
    return () => {
      current = false;
    };
  }, [path]);
  const fits = state.path === path;
  return {
    value: fits ? state.value : null,
    says: fits ? state.says : null,
    at: fits ? state.at : null,
    again: () => load(() => true),
  };
}
