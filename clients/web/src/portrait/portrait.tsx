// An animal without a photo is drawn from its species, coat and markings. Ours, simple on purpose: who is who at a glance.
import { useId } from 'preact/hooks';
import { type Patch, readCoat } from './coat';

interface Body {
  /** Closed outline of head and trunk. */
  trunk: string;
  /** Drawn behind the trunk: tails, far ears. */
  behind?: string;
  /** Closed shapes over the trunk, in the light tone: ears, feet, tail tuft. */
  over: string;
  eye: [number, number, number];
  /** Nose, mouth, thigh, whiskers. */
  lines: string;
  /** Where the head ends, where the saddle lies, where the rump begins: x. */
  marks: [number, number, number];
  belly: number;
  spines?: boolean;
}

const GUINEA_PIG: Body = {
  trunk:
    'M4.5 30C4 23.5 9 18.5 16 16.6 26 12 43 10.5 52.5 17 60 22.5 62 32 58.8 38.6c-1 2.2-3 2.8-5.2 2.8H17.5c-4.2 0-6.3-1.7-7-4.2C7 36.6 4.7 33.5 4.5 30z',
  over: 'M20.8 17.2c-2.2-4.8 1.2-8 5.2-6.4 4.3 1.7 5.5 6.9 2.6 9.8-2.6 2.3-6.5.3-7.8-3.4zM16 41.4c-.7 2.7 5.3 2.7 5.6 0M45.5 41.4c-.5 3 7.5 3 7.5 0',
  eye: [14.6, 25.2, 1.9],
  lines: 'M6 29.4c.9.7 2 .7 2.6.1M8.6 33.4c1.4.7 2.9.6 4-.3',
  marks: [22, 24, 43],
  belly: 35,
};

const RABBIT: Body = {
  trunk:
    'M8.5 24.5C7.8 19 12 14.8 18 14.8c4.2 0 6.8 2 8 4.6 9-3.4 20.5-2.4 26.6 4.6 4.7 5.4 5.6 12.6 3 17.4H17c-2.6 0-3.6-1.6-2.8-3.4.7-1.7 2.3-3.4 3.3-5.6-5-.4-8.5-3.6-9-7.9z',
  over: 'M19.5 16c-1.2-5.5-.2-13 3-13.6 3-.5 4 6.6 1.6 14.6M24 17.5c1.8-5.5 6.2-12 9.3-11.2 3 .9.6 8-6 13.2M61.7 34a4.2 4.2 0 1 1-8.4 0 4.2 4.2 0 0 1 8.4 0z',
  eye: [15, 22, 1.9],
  lines: 'M8.7 25.8c.8.5 1.7.5 2.3 0M11 29.6c1.2.4 2.2.2 3-.5M38 41.4c-3-7 2-13 9-12.4',
  marks: [25, 27, 42],
  belly: 35,
};

const RAT: Body = {
  trunk:
    'M4 35.5C5.5 30 11 25 18 24c7-5.5 19-7.5 27-3 6.5 3.7 9.5 11 8 17.4-.5 2-2 3-4 3H17c-5 0-6-1-7-2.6-3-.3-5.6-1.3-6-3.3z',
  behind: 'M52.5 39.5c6 1.2 9 .2 10.5-3.2',
  over: 'M25.1 22a4.6 4.6 0 1 1-9.2 0 4.6 4.6 0 0 1 9.2 0zM15 41.4c-.5 2.3 4.8 2.3 5 0M42 41.4c-.4 2.6 7 2.6 7 0',
  eye: [13, 31, 1.7],
  lines: 'M4.6 36.5l-3 .9M5 37.6l-2.4 2',
  marks: [21, 24, 40],
  belly: 36,
};

const MOUSE: Body = {
  trunk:
    'M8 36.5c1-5 6-9 12-9.6 5.5-4.7 14-6 20-2.4 5.4 3.2 7.6 9.4 6.4 14.4-.5 1.7-1.7 2.5-3.4 2.5H19c-4 0-5.4-.8-6.2-2.2-2.5-.3-4.5-1.2-4.8-2.7z',
  behind: 'M46 40c7 2.5 13-1 16-8.5',
  over: 'M28 23.5a5.8 5.8 0 1 1-11.6 0 5.8 5.8 0 0 1 11.6 0zM18 41.4c-.4 2 4.2 2 4.4 0M36.5 41.4c-.4 2.3 6 2.3 6 0',
  eye: [15.8, 33, 1.6],
  lines: 'M8.5 37.3l-3 .6M8.9 38.3l-2.4 1.8',
  marks: [23, 26, 37],
  belly: 37,
};

const HAMSTER: Body = {
  trunk:
    'M9 31c-.5-7.5 5.5-13 12-14.5 9-4 22-3.5 28.5 3.5 6 6.5 7 14.5 3.5 19.5-1 1.4-2.6 1.9-4.6 1.9H21c-7.5 0-11.6-4.5-12-10.4z',
  over: 'M28.9 16.5a4.4 4.4 0 1 1-8.8 0 4.4 4.4 0 0 1 8.8 0zM22 41.4c-.4 2.3 5 2.3 5 0M44 41.4c-.4 2.3 5 2.3 5 0',
  eye: [18.5, 26.5, 2],
  lines: 'M9.3 31c.9.6 1.9.6 2.5 0M12.5 35.8c2.4 1.2 6 .6 7.5-1.6',
  marks: [26, 28, 42],
  belly: 34,
};

const DWARF: Body = {
  ...HAMSTER,
  trunk:
    'M13 32c-.4-6.5 4.5-11 10-12.3 8-3.4 18.5-2.8 24 3 5 5.5 5.6 12.2 3 16.7-.9 1.4-2.3 2-4 2H23.5C17 41.4 13.4 37.2 13 32z',
  over: 'M29.6 20a3.6 3.6 0 1 1-7.2 0 3.6 3.6 0 0 1 7.2 0zM24 41.4c-.4 2 4.3 2 4.3 0M42 41.4c-.4 2 4.3 2 4.3 0',
  eye: [21, 28.5, 2],
  lines: 'M13.3 32c.8.5 1.6.5 2.2 0M16 36c2 1 4.8.5 6-1.3',
};

const GERBIL: Body = {
  ...MOUSE,
  trunk:
    'M7 33c.8-5.5 5.6-10 11.8-11 6.2-5 16.5-6 23-1.8 5.6 3.8 7.8 11.8 6.4 18.2-.5 2-2 3-4 3H19.5c-4.5 0-6-1-6.9-2.8-3-.6-5.2-2.6-5.6-5.6z',
  behind: 'M47 39c6 1 10-4 11.5-12',
  over: 'M26 19.5a4.6 4.6 0 1 1-9.2 0 4.6 4.6 0 0 1 9.2 0zM17 41.4c-.4 2 4.4 2 4.6 0M36 41.4c-.6 2.6 9 2.6 9 0M57 28.5c-.6-4.5 1.6-7.5 3.8-6.8 2 .8 1 4.6-1.2 7.8z',
  eye: [15.2, 28.6, 2],
  lines: 'M7.4 34c.7.5 1.5.5 2 0M10 36.6c1 .4 2 .2 2.6-.4M34 41.4c-2-5 1.4-9.6 7-9',
  marks: [22, 25, 38],
};

const CHINCHILLA: Body = {
  trunk:
    'M9 29c-.5-6.5 4.5-11.5 10.8-12.6 8.5-5.2 22-4.6 28.4 3 5.4 6.5 6.4 14.5 3.6 20-.8 1.4-2.2 2-4 2H21c-3.6 0-5-1-5.6-2.6C11.8 37.6 9.3 33.8 9 29z',
  behind: 'M52 36c4 1 7.5-3 7-9',
  over: 'M30.5 13.5a6.4 7 0 1 1-12.8 0 6.4 7 0 0 1 12.8 0zM56 30c-1-6 .6-11 3.6-11s4.2 5.5 1.6 11.5c-1 2.3-4.8 1.8-5.2-.5zM20 41.4c-.4 2.3 5 2.3 5 0M43 41.4c-.4 2.6 7.5 2.6 7.5 0',
  eye: [17.2, 26.5, 2.2],
  lines: 'M9.4 30.4c.8.6 1.6.6 2.2 0M11.5 33.4c1.2.5 2.4.3 3.2-.5M38 41.4c-2.6-6 2-11 8-10.4',
  marks: [26, 29, 42],
  belly: 35,
};

const DEGU: Body = {
  ...RAT,
  behind: 'M52.5 39c5 .6 8.5-3 9-9',
  over: 'M25 21.5a4.7 5 0 1 1-9.4 0 4.7 5 0 0 1 9.4 0zM60 31c-1-3.5 0-6.5 1.8-6.4 1.7.2 1.6 4 .2 6.8zM15 41.4c-.5 2.3 4.8 2.3 5 0M42 41.4c-.4 2.6 7 2.6 7 0',
};

const FERRET: Body = {
  trunk:
    'M3.5 27.5c.4-4.5 4.5-8 9.5-8.2 3.5-.1 6 1 8 2.7 8-1.6 19-3.2 26.5-.2 6.5 2.6 9.5 8 9.5 13.8 0 3.6-2.4 5.8-5.8 5.8H23c-3.6 0-5.6-2.4-6.6-5.6-1-2-2-3-4-3.3-5.2.2-9.2-1.5-8.9-5z',
  behind: 'M56 36c4 1.5 6.5 0 7.5-3.5',
  over: 'M17 19.8a3 3 0 1 1-6 0 3 3 0 0 1 6 0zM20 41.4c-.4 2.4 5.6 2.4 5.6 0M46 41.4c-.4 2.4 6.5 2.4 6.5 0',
  eye: [10, 25.5, 1.6],
  lines: 'M3.7 28c.8.7 1.7.7 2.4.1M6 30.5c1 .5 2.2.4 3-.3',
  marks: [17, 26, 44],
  belly: 37,
};

const HEDGEHOG: Body = {
  trunk:
    'M4 36c2.5-3 5.5-5.5 9-7C15 19.5 24 13.5 34.5 13.5 48 13.5 57.5 22.5 57.5 35c0 4-1.8 6.4-5 6.4H15c-3.5 0-5-1-6-2.8-2.3.1-4.6-.8-5-2.6z',
  over: 'M18.6 28a3.1 3.1 0 1 1-6.2 0 3.1 3.1 0 0 1 6.2 0zM17 41.4c-.4 2.2 5 2.2 5 0M43 41.4c-.4 2.2 5 2.2 5 0',
  eye: [11.3, 33.4, 1.6],
  lines:
    'M22 22l-2-4M28 19l-1-4.5M34 18.5v-4.7M40 19.5l1.5-4.3M46 22.5l2.8-3.6M24 28l-3-3.5M31 26l-1-4.5M38 26l1.5-4.5M45 29l3-3.6M51 30l3.6-2.4M28 34l-2.5-3.5M36 33v-4.6M43 35l2.5-3.8M50 37l4-2.6',
  marks: [18, 26, 42],
  belly: 38,
  spines: true,
};

const BODIES: Record<string, Body> = {
  guinea_pig: GUINEA_PIG,
  rabbit: RABBIT,
  rat: RAT,
  mouse: MOUSE,
  hamster_syrian: HAMSTER,
  hamster_dwarf: DWARF,
  gerbil: GERBIL,
  chinchilla: CHINCHILLA,
  degu: DEGU,
  ferret: FERRET,
  hedgehog: HEDGEHOG,
};

function patchPath(patch: Patch, body: Body): string {
  const [head, saddle, rump] = body.marks;
  const mid = (saddle + rump) / 2;
  switch (patch) {
    case 'face':
      return `M0 0H${head - 9}V48H0z`;
    case 'front':
      return `M0 0H${mid}V48H0z`;
    case 'hood':
      return `M0 0H${head + 2}V48H0z`;
    case 'saddle':
      return `M${saddle} 0H${rump}V48H${saddle}z`;
    case 'behind':
      return `M${mid} 0H64V48H${mid}z`;
    case 'belly':
      return `M0 ${body.belly}H64V48H0z`;
    case 'cap':
      return `M${head - 10} 0H${head + 2}V${body.eye[1] - 5}H${head - 10}z`;
    case 'blaze':
      return `M0 ${body.eye[1] - 2.4}L${body.eye[0] - 4} 0h5L${body.eye[0] - 3} ${body.eye[1] + 6}H0z`;
    case 'spots':
      return `M${rump - 4} 0h14v26c-6 5-13 2-14-5zM${saddle + 2} 30c5-4 11 0 9 6s-10 5-9-6zM0 0h${head - 8}v${body.eye[1] + 6}H0z`;
    case 'back':
      return `M${head} 0H60V${body.belly - 16}H${head}z`;
  }
}

const REGION_SPOTS: Record<string, (body: Body) => [number, number, number, number]> = {
  behaviour: () => [32, 28, 26, 15],
  breathing: (body) => [body.marks[0] + 3, 31, 7, 7],
  body: (body) => [(body.marks[1] + body.marks[2]) / 2 + 2, 25, 15, 9],
  skin: (body) => [body.marks[2], 24, 9, 7],
  coat: (body) => [body.marks[1] + 6, 22, 11, 7],
  eyes: (body) => [body.eye[0], body.eye[1], 5.2, 5.2],
  ears: (body) => [body.marks[0] + 2, 14, 6.5, 7],
  underside: (body) => [(body.marks[1] + body.marks[2]) / 2, 40, 15, 4],
  feet: () => [34, 42, 22, 3.6],
  scent: () => [56, 36, 5, 5],
  teeth: (body) => [body.eye[0] - 5, body.eye[1] + 7, 5, 4.4],
};

/** The portrait, in a photo's place. */
export function Portrait(props: {
  species: string;
  coat: string | null;
  markings: string | null;
  size?: 'row' | 'page';
}) {
  const id = useId();
  const body = BODIES[props.species] ?? HAMSTER;
  const coat = readCoat(props.species, props.coat, props.markings);
  const light = coat.patches.includes('belly') || coat.base !== '#F4F1E8' ? '#F4F1E8' : '#E6E0D0';
  const ears = coat.patches.includes('saddle') || coat.patches.includes('belly') ? light : coat.base;
  return (
    <svg class={`portrait portrait-${props.size ?? 'row'}`} viewBox="-4 -2 72 50" aria-hidden="true">
      <rect x="-4" y="-2" width="72" height="50" rx="2" class="portrait-ground" />
      <clipPath id={`${id}c`}>
        <path d={body.trunk} />
      </clipPath>
      {body.behind && <path d={body.behind} class="portrait-line" />}
      <path d={body.trunk} fill={coat.base} />
      <g clip-path={`url(#${id}c)`}>
        {coat.patches.map((patch, index) => (
          <path
            key={patch}
            d={patchPath(patch, body)}
            fill={
              index > 0 && coat.third && (patch === 'face' || patch === 'hood' || patch === 'cap')
                ? coat.third
                : coat.second
            }
          />
        ))}
      </g>
      <path d={body.trunk} class="portrait-line" />
      <path d={body.over} fill={ears} class="portrait-line-filled" />
      <path d={body.lines} class="portrait-line" />
      {coat.dark && <circle cx={body.eye[0]} cy={body.eye[1]} r={body.eye[2] + 0.9} fill="#F4F1E8" />}
      <circle cx={body.eye[0]} cy={body.eye[1]} r={body.eye[2]} fill="#14231C" />
    </svg>
  );
}

/** An outline that shows where the hands are now. */
export function RegionOutline({ species, region }: { species: string; region: string }) {
  const body = BODIES[species] ?? HAMSTER;
  const spot = REGION_SPOTS[region]?.(body);
  return (
    <svg class="outline" viewBox="0 0 64 47" aria-hidden="true">
      {body.behind && <path d={body.behind} class="outline-line" />}
      <path d={body.trunk} class="outline-body" />
      {spot && <ellipse cx={spot[0]} cy={spot[1]} rx={spot[2]} ry={spot[3]} class="outline-spot" />}
      <path d={body.trunk} class="outline-line" />
      <path d={body.over} class="outline-line" />
      <path d={body.lines} class="outline-line" />
      <circle cx={body.eye[0]} cy={body.eye[1]} r={body.eye[2]} class="outline-eye" />
    </svg>
  );
}
