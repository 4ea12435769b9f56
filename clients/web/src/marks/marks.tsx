// Levels and kinds as shapes. Round stays at home, wedge goes to the vet, more ink means sooner. The word stands beside
// them; where there is no room for it, give a title.
import type { Kind, Level } from '../api/types';
import { tOf } from '../text/t';

const LEVEL_SHAPES: Record<Level, preact.JSX.Element> = {
  steady: <circle cx="6" cy="6" r="4.25" class="mark-ground mark-line" stroke-width="1.5" />,
  watch: (
    <>
      <circle cx="6" cy="6" r="4.25" class="mark-ground mark-line" stroke-width="1.5" />
      <path d="M1.75 6h8.5a4.25 4.25 0 0 1-8.5 0z" class="mark-ink" />
    </>
  ),
  vet_soon: <path d="M1.1 1.7h9.8L6 10.6z" class="mark-ground mark-line" stroke-width="1.6" stroke-linejoin="round" />,
  same_day: <path d="M.9 1.5h10.2L6 10.9z" class="mark-ink mark-line" stroke-width="1" stroke-linejoin="round" />,
  emergency: (
    <>
      <path fill-rule="evenodd" d="M.25.25h11.5v11.5H.25zM2.6 3h6.8L6 9.6z" class="mark-ink" />
      <path d="M2.6 3h6.8L6 9.6z" class="mark-ground" />
    </>
  ),
};

/** The outline of a level inside an SVG that is already open, its centre at x, y. */
export function LevelShape({ level, x, y, size }: { level: Level; x: number; y: number; size: number }) {
  const scale = size / 12;
  return (
    <g class={`tone-${level}`} transform={`translate(${x - size / 2} ${y - size / 2}) scale(${scale})`}>
      {LEVEL_SHAPES[level]}
    </g>
  );
}

export function LevelMark({ level, size = 16, title }: { level: Level; size?: number; title?: boolean }) {
  return (
    <svg
      class={`mark tone-${level}`}
      viewBox="0 0 12 12"
      width={size}
      height={size}
      {...(title ? { role: 'img', 'aria-label': tOf('level', level) } : { 'aria-hidden': true })}
    >
      {LEVEL_SHAPES[level]}
    </svg>
  );
}

/** Mark and word together: the usual way to say a level. */
export function LevelWord({ level, size = 16, mark = false }: { level: Level; size?: number; mark?: boolean }) {
  return (
    <span class={`level tone-${level}`}>
      {mark && <LevelMark level={level} size={size} />}
      {tOf('level', level)}
    </span>
  );
}

const KIND_SHAPES: Record<Exclude<Kind, 'none'>, preact.JSX.Element> = {
  loss: (
    <>
      <path d="M1.8 3.6 6 4.8l3 4.4 3.4 3" />
      <circle cx="13" cy="12.7" r="1.9" class="glyph-ink" />
    </>
  ),
  gain: (
    <>
      <path d="M1.8 12.4 6 11.2 9 6.8l3.4-3" />
      <circle cx="13" cy="3.3" r="1.9" class="glyph-ink" />
    </>
  ),
  stall: <path d="M1.8 13 6 6.2h7.6M13.8 3.2v6" />,
  dental: <path d="M3 2.4h4.1v8.2a2.05 2.05 0 0 1-4.1 0zM8.9 2.4H13v8.2a2.05 2.05 0 0 1-4.1 0z" />,
  finding: (
    <>
      <circle cx="8" cy="8" r="5.7" stroke-dasharray="2.2 1.9" />
      <circle cx="8" cy="8" r="2" class="glyph-ink" />
    </>
  ),
  spread: (
    <>
      <path d="M7.3 5.4 4.4 10M8.7 5.4l2.9 4.6M6 12h4" />
      <circle cx="8" cy="3.6" r="1.9" />
      <circle cx="3.5" cy="12" r="1.9" />
      <circle cx="12.5" cy="12" r="1.9" />
    </>
  ),
  scale: <path d="M1.9 4.2h12.2a6.1 5.6 0 0 1-12.2 0zM8 9.9v3.4M4.2 13.6h7.6" />,
  missed: (
    <>
      <circle cx="2.9" cy="8" r="1.8" class="glyph-ink" />
      <circle cx="13.1" cy="8" r="1.8" class="glyph-ink" />
      <path d="M8 4.2v1.6M8 7.2v1.6M8 10.2v1.6" />
    </>
  ),
};

const GLYPHS = {
  back: <path d="M10.5 2.8 5 8l5.5 5.2" />,
  forward: <path d="M5.5 2.8 11 8l-5.5 5.2" />,
  delete: <path d="M5.4 3.4H14v9.2H5.4L1.6 8zM7.6 6l3.8 4M11.4 6 7.6 10" />,
  tick: <path d="M2.6 8.6 6.2 12 13.4 4" />,
  nosignal: (
    <>
      <circle cx="8" cy="12.6" r="1.3" class="glyph-ink" />
      <path d="M4.7 9.3a4.7 4.7 0 0 1 6.6 0M2 6.3a8.5 8.5 0 0 1 12 0M3 14 13 2.5" />
    </>
  ),
  kept: <path d="M2.2 6.2v7h11.6v-7M5 2.6h6v6.2H5zM2.2 10.4h11.6" />,
  sent: <path d="M2.2 9.4v3.9h11.6V9.4M8 10.6V2.6M4.8 5.6 8 2.4l3.2 3.2" />,
  call: <path d="M3 2.4h3l1.3 3.5-1.8 1.4a8.5 8.5 0 0 0 3.6 3.6l1.4-1.8 3.3 1.3v2.8c-6.2.6-11.4-4.7-10.8-10.8z" />,
  note: <path d="M3 13.2l.6-3 7-7 2.4 2.4-7 7zM9.2 4.6l2.4 2.4" />,
  search: (
    <>
      <circle cx="7" cy="7" r="4.3" />
      <path d="M10.3 10.3 14 14" />
    </>
  ),
} as const;

export type GlyphName = keyof typeof GLYPHS;

function Sixteen({ size, children }: { size: number; children: preact.ComponentChildren }) {
  return (
    <svg class="glyph" viewBox="0 0 16 16" width={size} height={size} aria-hidden="true">
      {children}
    </svg>
  );
}

export function KindMark({ kind, size = 16 }: { kind: Kind; size?: number }) {
  if (kind === 'none') return null;
  return <Sixteen size={size}>{KIND_SHAPES[kind]}</Sixteen>;
}

export function Glyph({ name, size = 18 }: { name: GlyphName; size?: number }) {
  return <Sixteen size={size}>{GLYPHS[name]}</Sixteen>;
}

/** Somebody looks over a bowl that stands on a ruler. */
export function Maker({ size = 26 }: { size?: number }) {
  return (
    <svg class="maker" viewBox="0 0 28 28" width={size} height={size} aria-hidden="true">
      <ellipse cx="7.7" cy="7.6" rx="2.7" ry="3.7" transform="rotate(-38 7.7 7.6)" class="maker-ink" />
      <ellipse cx="20.3" cy="7.6" rx="2.7" ry="3.7" transform="rotate(38 20.3 7.6)" class="maker-ink" />
      <path d="M7 14.2c0-5.2 2.9-8.4 7-8.4s7 3.2 7 8.4z" class="maker-ink maker-cut" />
      <circle cx="11" cy="11.4" r="1.15" class="maker-ground" />
      <circle cx="17" cy="11.4" r="1.15" class="maker-ground" />
      <path d="M2 15.6h24c-.4 4.6-4.8 7-12 7s-11.6-2.4-12-7z" class="maker-ink" />
      <path d="M2 26.4h24M2.7 26v-1.7M8.35 26v-1.7M14 26v-2.3M19.65 26v-1.7M25.3 26v-1.7" class="maker-line" />
    </svg>
  );
}
