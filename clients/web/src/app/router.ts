// Paths and the page's history. Screens name paths; only this file touches the browser's.
import { signal } from '@preact/signals';

export const path = signal(location.pathname);
/** Counts moves, so that a screen can put the focus on its heading after one. */
export const moves = signal(0);

export function go(to: string, how: 'push' | 'replace' = 'push'): void {
  if (to === location.pathname + location.search) return;
  if (how === 'push') history.pushState(null, '', to);
  else history.replaceState(null, '', to);
  arrived();
}

function arrived(): void {
  path.value = location.pathname;
  moves.value += 1;
}

export function back(): void {
  history.back();
}

/** Links inside the app move without a page load; with a key held they open as the browser likes. */
export function listen(): void {
  addEventListener('popstate', arrived);
  document.addEventListener('click', (event) => {
    if (
      event.defaultPrevented ||
      event.button !== 0 ||
      event.metaKey ||
      event.ctrlKey ||
      event.shiftKey ||
      event.altKey
    )
      return;
    const link = (event.target as Element | null)?.closest('a');
    if (!link || link.target || link.hasAttribute('download') || link.origin !== location.origin) return;
    if (link.pathname.startsWith('/api/')) return;
    event.preventDefault();
    if (link.hash && link.pathname === location.pathname) {
      document.getElementById(link.hash.slice(1))?.focus();
      return;
    }
    go(link.pathname + link.search);
    scrollTo(0, 0);
  });
}

/** Cuts a path by a pattern: match('/check/:animal', path) gives { animal } or null. */
export function match<const P extends string>(pattern: P, where: string): Record<string, string> | null {
  const wanted = pattern.split('/');
  const found = where.replace(/\/$/, '').split('/');
  if (pattern === '/') return where === '/' ? {} : null;
  if (wanted.length !== found.length) return null;
  const values: Record<string, string> = {};
  for (let at = 0; at < wanted.length; at += 1) {
    const name = wanted[at] ?? '';
    const value = found[at] ?? '';
    if (name.startsWith(':')) values[name.slice(1)] = decodeURIComponent(value);
    else if (name !== value) return null;
  }
  return values;
}
