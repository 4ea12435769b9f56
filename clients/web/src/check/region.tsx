import { useState } from 'preact/hooks';
import type { Finding, Grade, Side, Sign } from '../api/types';
import { go } from '../app/router';
import { Screen } from '../app/shell';
import { Glyph, LevelMark } from '../marks/marks';
import { RegionOutline } from '../portrait/portrait';
import { t, tMaybe, tOf } from '../text/t';
import { CheckHead, type StepProps, useStepFocus } from './check';
import {
  answer,
  changeFinding,
  findingsIn,
  isKnown,
  openRegions,
  regionsOf,
  restAsUsual,
  signsOf,
  stepAfter,
  toggleSign,
} from './draft';
import { quietNormals } from './verdict';

const SIDED = new Set(['eyes', 'ears', 'feet']);
const SIDES: Side[] = ['left', 'right', 'both'];
const GRADES: Grade[] = ['slight', 'marked'];

export function RegionStep({ stop, draft, signs, save, to, region }: StepProps & { region: string }) {
  const regions = regionsOf(signs, stop.animal.species);
  const at = regions.findIndex(({ code }) => code === region);
  const focus = useStepFocus(region);
  const here = regions[at];
  const offered = signsOf(signs, stop.animal.species, region);
  const found = findingsIn(draft, signs, region);
  const usual = stop.animal.known_normals.filter((normal) => offered.some((sign) => sign.code === normal.sign));
  const quiet = quietNormals(stop, signs);
  const after = stepAfter(region, regions);
  const afterName = regions.find(({ code }) => code === after)?.name.toLowerCase() ?? t('check.the_weight');
  const othersOpen = openRegions(draft, regions).some(({ code }) => code !== region);
  const name = stop.animal.name;
  if (!here) return null;

  const tick = async (sign: Sign) => {
    const ticked = !draft.findings.some((finding) => finding.sign === sign.code);
    const urgent = ticked && sign.level === 'emergency' && !draft.helped.includes(sign.code);
    await save((so) => {
      const next = toggleSign(so, signs, sign);
      return urgent ? { ...next, helped: [...next.helped, sign.code] } : next;
    });
    if (urgent) go(`/help/${draft.animal}/${sign.code}`);
  };
  const say = async (value: 'as_usual' | 'not_looked_at') => {
    await save((so) => answer(so, signs, region, value));
    to(after);
  };
  const rest = async () => {
    await save((so) => restAsUsual(so, regions));
    to('weight');
  };
  const restButton = othersOpen && (
    <button type="button" onClick={() => void rest()}>
      {t('check.rest')}
    </button>
  );
  return (
    <Screen
      title={`${here.name}, ${name}`}
      class="check"
      actions={
        <div class="bar-actions bar-stack check-bar">
          {found.length > 0 ? (
            <div class="bar-pair">
              {restButton || <span />}
              <button type="button" class="filled" onClick={() => to(after)}>
                {t('check.next', { region: afterName })}
              </button>
            </div>
          ) : (
            <>
              <div class="bar-pair">
                <button type="button" onClick={() => void say('not_looked_at')}>
                  {t('check.not_looked')}
                </button>
                {restButton || <span />}
              </div>
              <button type="button" class="filled" onClick={() => void say('as_usual')}>
                {tMaybe('as_usual', region) ?? t('check.as_usual', { region: here.name })}
              </button>
            </>
          )}
        </div>
      }
    >
      <div ref={focus} class="check-step">
        <CheckHead stop={stop} draft={draft} signs={signs} at={region} />
        <div class="check-region">
          <div>
            <h1>{here.name}</h1>
            <p class="soft second">
              {t('check.at', { at: at + 1, n: regions.length + 1 })} {tMaybe('how', region) ?? ''}
            </p>
          </div>
          <RegionOutline species={stop.animal.species} region={region} />
        </div>
        {usual.length > 0 && (
          <p class="check-usual">
            <span class="on-thread">
              <Glyph name="tick" size={20} />
            </span>
            <strong>{t('check.usual_for', { name })}</strong>{' '}
            {usual
              .map((normal) => {
                const words = offered.find((sign) => sign.code === normal.sign)?.words ?? normal.sign;
                return normal.up_to === 'slight' ? t('check.usual_slight', { words }) : words;
              })
              .join('; ')}
            . {usual.every((normal) => normal.vet_confirmed) ? t('check.seen_by_vet') : ''}
          </p>
        )}
        <ul class="signs">
          {offered.map((sign) => (
            <SignRow
              key={sign.code}
              sign={sign}
              finding={found.find((finding) => finding.sign === sign.code) ?? null}
              sided={SIDED.has(region)}
              usual={(finding) => isKnown(finding, quiet)}
              name={name}
              onTick={() => void tick(sign)}
              onChange={(change) => void save((so) => changeFinding(so, sign.code, change))}
            />
          ))}
        </ul>
        {offered.length === 0 && <p class="soft">{t('check.no_signs')}</p>}
      </div>
    </Screen>
  );
}

interface RowProps {
  sign: Sign;
  finding: Finding | null;
  sided: boolean;
  usual: (finding: Finding) => boolean;
  name: string;
  onTick: () => void;
  onChange: (change: Partial<Finding>) => void;
}

function SignRow({ sign, finding, sided, usual, name, onTick, onChange }: RowProps) {
  const [noting, setNoting] = useState(Boolean(finding?.note));
  const id = `sign-${sign.code}`;
  const [first, ...rest] = sign.words;
  return (
    <li class={`ruled sign ${finding ? 'sign-on' : ''}`}>
      <label class="sign-line" for={id}>
        <span class="on-thread sign-box">
          <input id={id} type="checkbox" checked={finding !== null} onChange={onTick} />
        </span>
        <span>
          <span class="sign-words">
            {first?.toUpperCase()}
            {rest.join('')}
          </span>
          {sign.hint && <span class="second soft sign-hint">{sign.hint}</span>}
        </span>
        {finding && (
          <span class="sign-level" aria-live="polite">
            {usual(finding) ? (
              <span class="second soft">{t('check.usual_short', { name })}</span>
            ) : (
              <span class={`level tone-${sign.level}`}>
                <LevelMark level={sign.level} size={18} />
                {tOf('level', sign.level)}
              </span>
            )}
          </span>
        )}
      </label>
      {finding && (
        <div class="sign-more">
          {sided && (
            <Choices
              legend={t('check.side')}
              name={`side-${sign.code}`}
              values={SIDES}
              word={(side) => tOf('side', side)}
              value={finding.side ?? null}
              onPick={(side) => onChange({ side })}
            />
          )}
          <Choices
            legend={t('check.grade')}
            name={`grade-${sign.code}`}
            values={GRADES}
            word={(grade) => tOf('grade', grade)}
            value={finding.grade}
            onPick={(grade) => onChange({ grade })}
          />
          {noting ? (
            <textarea
              aria-label={t('check.note_on', { sign: sign.words })}
              rows={2}
              maxLength={1000}
              value={finding.note ?? ''}
              onInput={(event) => onChange({ note: event.currentTarget.value })}
            />
          ) : (
            <button type="button" onClick={() => setNoting(true)}>
              <Glyph name="note" /> {t('check.note')}
            </button>
          )}
        </div>
      )}
    </li>
  );
}

export function Choices<V extends string>(props: {
  legend: string;
  name: string;
  values: readonly V[];
  word: (value: V) => string;
  value: V | null;
  onPick: (value: V) => void;
}) {
  return (
    <fieldset class="choices">
      <legend class="hidden">{props.legend}</legend>
      {props.values.map((value) => (
        <label key={value}>
          <input
            type="radio"
            name={props.name}
            value={value}
            checked={props.value === value}
            onChange={() => props.onPick(value)}
          />
          {props.word(value)}
        </label>
      ))}
    </fieldset>
  );
}
