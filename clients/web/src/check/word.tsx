import { useState } from 'preact/hooks';
import { go } from '../app/router';
import { Screen } from '../app/shell';
import { lastKept, now, readQueue, sendKept } from '../app/state';
import { WordChart } from '../chart/word';
import { LevelMark } from '../marks/marks';
import { database } from '../store/db';
import { keep } from '../store/outbox';
import { grams, gramsNumber } from '../text/format';
import { wordSentence } from '../text/reasons';
import { Says } from '../text/says';
import { t, tOf } from '../text/t';
import { CheckHead, type StepProps, useStepFocus } from './check';
import { bodyOf, gramsOf, openRegions, regionsOf } from './draft';
import { addMember } from './session';
import { useWord } from './verdict';

/** Signs that would decide what a fall means: common practice, no source. */
const WORTH = ['drool', 'selective', 'eating_less'];

export function WordStep({ stop, draft, signs, save, to }: StepProps) {
  const focus = useStepFocus('word');
  const word = useWord(stop, draft, signs);
  const [says, setSays] = useState<string | null>(null);
  const [noting, setNoting] = useState(draft.note !== '');
  const [busy, setBusy] = useState(false);
  const { animal } = stop;
  const regions = draft.kind === 'weigh_only' ? [] : regionsOf(signs, animal.species);
  const open = openRegions(draft, regions);
  const value = gramsOf(draft);
  const step = stop.home.scales.find((scale) => scale.id === draft.scale)?.step ?? null;
  const last = animal.weighings.filter((each) => each.quality !== 'set_aside').at(-1) ?? null;
  const thin = word.verdict && ['loss', 'dental', 'stall'].includes(word.verdict.kind);
  const worth = thin
    ? signs.signs.filter(
        (sign) =>
          WORTH.includes(sign.code) &&
          (sign.species === null || sign.species.includes(animal.species)) &&
          regions.some(({ code }) => code === sign.region) &&
          !draft.findings.some((finding) => finding.sign === sign.code),
      )
    : [];

  const keepIt = async () => {
    if (open[0]) {
      setSays(t('say.still_open', { regions: open.map((region) => region.name).join(', '), n: open.length }));
      return;
    }
    if (draft.kind === 'weigh_only' && value === null) {
      setSays(t('field.weight_empty'));
      return;
    }
    setBusy(true);
    const at = new Date();
    const body = bodyOf(draft, at);
    try {
      await keep(await database(), {
        shape: 1,
        check: draft.id,
        person: draft.person,
        animal: { id: animal.id, name: animal.name },
        home: draft.home,
        body,
        kept_at: at.toISOString(),
        refused: null,
        refused_status: null,
      });
    } catch {
      setBusy(false);
      setSays(t('say.no_room'));
      return;
    }
    if (word.verdict && draft.scale && value !== null) {
      await addMember(draft.scale, {
        check: draft.id,
        animal: animal.id,
        at: body.at,
        grams: value,
        verdict: word.verdict,
        confirmed: draft.confirmed,
        species: animal.species,
      }).catch(() => {});
    }
    await readQueue();
    lastKept.value = { check: draft.id, name: animal.name, at: at.toISOString() };
    go('/', 'replace');
    void sendKept();
  };

  const two = draft.readings.length > 1;
  return (
    <Screen
      title={t('word.title', { name: animal.name })}
      class="check"
      actions={
        <>
          <button
            type="button"
            onClick={() =>
              void save((so) => ({ ...so, readings: [], confirmed: false, typed: '', unweighed: false })).then(() =>
                to('weight'),
              )
            }
          >
            {t(value === null ? 'word.weigh' : 'word.weigh_again')}
          </button>
          <button type="button" class="filled" disabled={busy} onClick={() => void keepIt()}>
            {t('word.keep')}
          </button>
        </>
      }
    >
      <div ref={focus} class="check-step">
        <CheckHead stop={stop} draft={draft} signs={signs} at="word" />
        {value !== null && (
          <div class="word-number">
            <span class="second soft">
              {two
                ? t('word.readings', {
                    readings: draft.readings.map((each) => gramsNumber(each, step)).join(t('list.and')),
                  })
                : draft.confirmed
                  ? t('word.confirmed')
                  : ''}
            </span>
            <span class="word-grams">
              <strong>{gramsNumber(value, step)}</strong> g
            </span>
          </div>
        )}
        <div aria-live="polite">
          {word.settled && (
            <>
              <h1 class={`word-level tone-${word.level}`}>
                <span class="on-thread">
                  <LevelMark level={word.level} size={30} />
                </span>
                {value !== null && word.verdict === null && word.level === 'steady'
                  ? t('word.later_title')
                  : tOf('level', word.level)}
              </h1>
              <p class="word-sentence">
                {value === null ? (
                  t('word.no_weight')
                ) : word.verdict === null ? (
                  t('word.later')
                ) : (
                  <Says
                    text={wordSentence(
                      word.verdict,
                      animal.name,
                      { grams: value, at: now.value.toISOString(), step },
                      last,
                    )}
                  />
                )}
              </p>
            </>
          )}
        </div>
        {word.weighed && word.verdict && (
          <WordChart
            name={animal.name}
            weighings={[...animal.weighings, word.weighed]}
            level={word.verdict.level}
            asked={false}
            step={step}
            young={animal.stage === 'young'}
          />
        )}
        {draft.findings.length > 0 && (
          <p class="second">
            <strong>{t('word.seen')}</strong>{' '}
            {draft.findings
              .map((finding) => signs.signs.find((sign) => sign.code === finding.sign)?.words ?? finding.sign)
              .join('; ')}
            .
          </p>
        )}
        {word.settled && (word.verdict || value === null) && (
          <p class="word-next">{tOf('next', word.level, { name: animal.name, n: animal.check_every_days })}</p>
        )}
        {(word.level === 'emergency' || word.level === 'same_day') && (
          <a class="button" href="/help">
            {t('word.help')}
          </a>
        )}
        {worth.length > 0 && (
          <>
            <h2 class="word-worth">{t('word.worth')}</h2>
            <ul class="lines">
              {worth.map((sign) => (
                <li key={sign.code}>
                  <a href={`/check/${draft.animal}/${sign.region}`}>{tOf('worth', sign.code)}</a>
                </li>
              ))}
            </ul>
          </>
        )}
        {noting ? (
          <div class="field">
            <label for="check-note">{t('word.note')}</label>
            <textarea
              id="check-note"
              rows={3}
              maxLength={2000}
              value={draft.note}
              onInput={(event) => {
                const note = event.currentTarget.value;
                void save((so) => ({ ...so, note }));
              }}
            />
          </div>
        ) : (
          <button type="button" class="bare" onClick={() => setNoting(true)}>
            {t('word.add_note')}
          </button>
        )}
        <p class="say" role="alert">
          {says}
        </p>
        {says !== null && open.length > 0 && (
          <div class="open-regions">
            {open.map((region) => (
              <a key={region.code} class="button" href={`/check/${draft.animal}/${region.code}`}>
                {region.name}
              </a>
            ))}
          </div>
        )}
        <p class="caution">{t('say.caution')}</p>
        {value !== null && word.verdict && word.verdict.quality === 'set_aside' && (
          <p class="second">{t('word.set_aside', { grams: grams(value, step) })}</p>
        )}
      </div>
    </Screen>
  );
}
