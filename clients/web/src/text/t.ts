// Every word on a screen comes from a catalogue. A wrong key is a type error; a missing translation falls back to English.

import type desk from './en.desk.json';
import en from './en.json';

export type Key = keyof typeof en | keyof typeof desk;
type Entry = string | { [form: string]: string };
type Values = Record<string, string | number>;

const catalogue: Record<string, Entry> = { ...en };

/** Adds the texts of a part that was loaded later. */
export function addTexts(more: Record<string, Entry>): void {
  Object.assign(catalogue, more);
}

const plural = new Intl.PluralRules('en');

/** The text of a key. {name} takes a value; an entry with plural forms chooses by n. */
export function t(key: Key, values: Values = {}): string {
  const entry = catalogue[key] ?? key;
  const text = typeof entry === 'string' ? entry : (entry[plural.select(Number(values.n ?? 0))] ?? entry.other ?? key);
  return text.replace(/\{(\w+)\}/g, (whole, name: string) => (name in values ? String(values[name]) : whole));
}

/** The text for a code that the server sent, for instance t_of('sign_group', 'skin'): the code itself when unknown. */
export function tOf(family: string, code: string | null | undefined, values: Values = {}): string {
  if (!code) return '';
  const key = `${family}.${code}`;
  return key in catalogue ? t(key as Key, values) : code.replaceAll('_', ' ');
}

/** As tOf, but null for a code without a text. */
export function tMaybe(family: string, code: string, values: Values = {}): string | null {
  const key = `${family}.${code}`;
  return key in catalogue ? t(key as Key, values) : null;
}

/** A text cut at its first colon-free span of **bold**: what a sentence stresses. */
export function parts(text: string): { text: string; strong: boolean }[] {
  return text
    .split('**')
    .map((piece, index) => ({ text: piece, strong: index % 2 === 1 }))
    .filter((piece) => piece.text !== '');
}
