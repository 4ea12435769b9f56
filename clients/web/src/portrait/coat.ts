// Reads coat and markings, as people write them, into colours and patches for the drawn portrait.

export interface Coat {
  base: string;
  /** A second colour, for the patches. */
  second: string;
  third: string | null;
  patches: Patch[];
  dark: boolean;
}

export type Patch = 'face' | 'saddle' | 'behind' | 'front' | 'belly' | 'cap' | 'blaze' | 'hood' | 'spots' | 'back';

const COLOURS: [RegExp, string][] = [
  [/\b(dark|slate|blue)[ -]?gr[ae]y\b|\bslate\b/, '#6F757A'],
  [/\b(light|silver)[ -]?gr[ae]y\b|\bsilver\b|\bpearl\b/, '#B9BCB8'],
  [/\bgr[ae]y\b|\bblue\b|\bcinder\b/, '#8B8D88'],
  [/\bblack\b|\bebony\b/, '#35312E'],
  [/\bdark brown\b|\bchocolate\b|\bmink\b/, '#57382B'],
  [/\bbrown\b|\bsable\b|\bchestnut\b/, '#7B5138'],
  [/\bagouti\b|\bwild\b|\bgolden agouti\b/, '#8D7754'],
  [/\bginger\b|\borange\b|\bred\b|\bfox\b/, '#C27F3D'],
  [/\bgold(en)?\b|\bhoney\b/, '#C8843F'],
  [/\bsand(y)?\b|\bfawn\b|\btan\b|\bbuff\b/, '#CDA878'],
  [/\bcream\b|\bchampagne\b|\bbeige\b|\bstraw\b/, '#E6D2AC'],
  [/\blilac\b|\bdove\b/, '#A79A9D'],
  [/\bsalt\b|\bsalt and pepper\b|\bpepper\b/, '#77726A'],
  [/\bwhite\b|\balbino\b/, '#F4F1E8'],
];

const PATCHES: [RegExp, Patch][] = [
  [/\b(saddle|belt|band(ed)?|middle|dutch)\b/, 'saddle'],
  [/\b(behind|rump|rear|back end|half)\b/, 'behind'],
  [/\b(front|collar|shoulders?|chest|bib)\b/, 'front'],
  [/\b(belly|under(side)?|below|tummy)\b/, 'belly'],
  [/\b(cap|crest(ed)?|crown)\b/, 'cap'],
  [/\b(blaze|stripe on the (nose|face)|star)\b/, 'blaze'],
  [/\b(hood(ed)?|head)\b/, 'hood'],
  [/\b(face|mask|cheeks?|nose)\b/, 'face'],
  [
    /\b(spots?|spotted|patch(es)?|patched|dapple[d]?|brindle|roan|tri-?colou?r(ed)?|tortoiseshell|harlequin|broken|pied)\b/,
    'spots',
  ],
  [/\b(dorsal|back stripe|stripe)\b/, 'back'],
];

const USUAL: Record<string, string> = {
  guinea_pig: '#C27F3D',
  rabbit: '#8B8D88',
  rat: '#8D7754',
  mouse: '#8B7B6B',
  hamster_syrian: '#C8843F',
  hamster_dwarf: '#9A948A',
  gerbil: '#C9A36C',
  chinchilla: '#A2A5A5',
  degu: '#8D7754',
  ferret: '#8B715A',
  hedgehog: '#86755F',
};
const WHITE = '#F4F1E8';

/** Colours in the order in which they are named, each once. */
export function coloursIn(text: string): string[] {
  let rest = text.toLowerCase();
  const found: [number, string][] = [];
  for (const [words, colour] of COLOURS) {
    const at = rest.search(words);
    if (at < 0) continue;
    found.push([at, colour]);
    rest = rest.replace(words, (match) => ' '.repeat(match.length));
  }
  return found.sort((a, b) => a[0] - b[0]).map(([, colour]) => colour);
}

export function patchesIn(text: string): Patch[] {
  const lower = text.toLowerCase();
  return PATCHES.filter(([words]) => words.test(lower)).map(([, patch]) => patch);
}

function brightness(colour: string): number {
  const value = Number.parseInt(colour.slice(1), 16);
  return 0.299 * (value >> 16) + 0.587 * ((value >> 8) & 255) + 0.114 * (value & 255);
}

/** What to draw. An animal without a described coat gets its species' usual colour: nothing is invented beyond that. */
export function readCoat(species: string, coat: string | null, markings: string | null): Coat {
  const coatColours = coloursIn(coat ?? '');
  const markColours = coloursIn(markings ?? '').filter((colour) => !coatColours.includes(colour));
  const all = [...coatColours, ...markColours];
  const base = all[0] ?? USUAL[species] ?? '#9C917F';
  const patches = patchesIn(`${coat ?? ''} ${markings ?? ''}`);
  if (patches.length === 0 && all.length === 2) patches.push('saddle');
  if (patches.length === 0 && all.length >= 3) patches.push('saddle', 'face');
  const second = all[1] ?? (base === WHITE ? '#C9C4B4' : WHITE);
  return { base, second, third: all[2] ?? null, patches, dark: brightness(base) < 90 };
}
