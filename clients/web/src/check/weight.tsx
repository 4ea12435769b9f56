import { useEffect, useRef, useState } from 'preact/hooks';
import type { Verdict } from '../api/types';
import { Screen } from '../app/shell';
import { WordChart } from '../chart/word';
import { Glyph, KindMark } from '../marks/marks';
import { digitsOf, grams } from '../text/format';
import { readGrams, readingsAgree } from '../text/reading';
import { difference, doubtSentence } from '../text/reasons';
import { type Key, t } from '../text/t';
import { CheckHead, type StepProps, useStepFocus } from './check';
import { wantsReading } from './draft';
import { isZeroed, sayZeroed } from './session';
import { useWord, wordFor } from './verdict';

export function WeightStep({ stop, draft, signs, save, to }: StepProps) {
  const focus = useStepFocus('weight');
  const field = useRef<HTMLInputElement>(null);
  const [says, setSays] = useState<string | null>(null);
  const [choosing, setChoosing] = useState(false);
  const scales = stop.home.scales;
  const usual = scales.find((scale) => scale.id === stop.animal.weighings.at(-1)?.scale) ?? scales[0];
  const scale = scales.find((each) => each.id === draft.scale) ?? usual;
  const step = scale?.step ?? 1;
  const name = stop.animal.name;
  const word = useWord(stop, draft, signs);
  const wants = wantsReading(draft, word.verdict, (a, b) => readingsAgree(a, b, step));
  const last = stop.animal.weighings.filter((each) => each.quality !== 'set_aside').at(-1) ?? null;
  const limits = signs.species.find((each) => each.code === stop.animal.species);

  // biome-ignore lint/correctness/useExhaustiveDependencies: the scale of the home is taken up once it is known
  useEffect(() => {
    if (!scale || draft.scale === scale.id) return;
    void isZeroed(scale.id, new Date()).then((zeroed) =>
      save((so) => ({ ...so, scale: scale.id, zeroed: so.zeroed || zeroed })),
    );
  }, [scale?.id, draft.scale]);

  const type = (key: string) => {
    setSays(null);
    void save((so) => ({ ...so, typed: key === 'delete' ? so.typed.slice(0, -1) : (so.typed + key).slice(0, 7) }));
  };

  const take = async () => {
    const reading = readGrams((await save((so) => so)).typed, step);
    if (!reading.ok) {
      setSays(reading.say);
      return;
    }
    const { grams: value } = reading;
    if (limits?.entry_high && value > limits.entry_high) {
      setSays(t('field.weight_over', { grams: grams(value, step), species: limits.name }));
      return;
    }
    if (limits?.entry_low && value < limits.entry_low) {
      setSays(t('field.weight_under', { grams: grams(value, step), species: limits.name }));
      return;
    }
    setSays(null);
    const next = await save((so) => ({
      ...so,
      scale: scale?.id ?? so.scale,
      readings: [...so.readings, value].slice(-5),
      typed: '',
      confirmed: false,
      unweighed: false,
    }));
    const said = await wordFor(stop, next, signs, new Date());
    if (wantsReading(next, said.verdict, (a, b) => readingsAgree(a, b, step)) === null) to('word');
  };
  const right = async () => {
    await save((so) => ({ ...so, confirmed: true, typed: '' }));
    to('word');
  };
  const zero = async () => {
    if (!scale) return;
    await sayZeroed(scale.id, new Date());
    await save((so) => ({ ...so, scale: scale.id, zeroed: true }));
    focus.current?.querySelector<HTMLElement>('[data-heading]')?.focus();
  };
  const without = async () => {
    await save((so) => ({ ...so, readings: [], typed: '', unweighed: true }));
    to('word');
  };

  // Digits work wherever the focus is; a field in use keeps its own keys.
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (!draft.zeroed || event.ctrlKey || event.metaKey || event.altKey) return;
      const target = event.target as Element | null;
      if (target?.closest('input, textarea, select')) return;
      if (/^[0-9.,]$/.test(event.key)) type(event.key);
      else if (event.key === 'Backspace') type('delete');
      else if (event.key === 'Enter' && !target?.closest('button, a, summary')) void take();
      else return;
      event.preventDefault();
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  });

  const chosen = scale && (
    <div class="check-scale second">
      <span class="on-thread">
        <KindMark kind="scale" size={20} />
      </span>
      <span>
        {t(draft.zeroed ? 'weight.scale_zeroed' : 'weight.scale', {
          scale: scale.name,
          step: grams(scale.step, scale.step),
        })}
      </span>
      {scales.length > 1 && !choosing && (
        <button type="button" class="bare second" onClick={() => setChoosing(true)}>
          {t('weight.change')}
        </button>
      )}
    </div>
  );
  const first = draft.readings[0];
  const head = (
    <>
      <CheckHead stop={stop} draft={draft} signs={signs} at="weight" />
      {chosen}
      {choosing && (
        <div class="fields">
          {scales.map((each) => (
            <button
              key={each.id}
              type="button"
              aria-pressed={each.id === scale?.id}
              onClick={() => {
                setChoosing(false);
                void isZeroed(each.id, new Date()).then((zeroed) => save((so) => ({ ...so, scale: each.id, zeroed })));
              }}
            >
              {t('weight.scale', { scale: each.name, step: grams(each.step, each.step) })}
            </button>
          ))}
        </div>
      )}
      {scale && limits && scale.step > limits.step && (
        <p class="second">{t('weight.coarse', { step: grams(scale.step, scale.step), name })}</p>
      )}
      {scale && !scale.last_test && <p class="second soft">{t('weight.untested')}</p>}
    </>
  );

  if (!scale) {
    return (
      <Screen
        title={t('weight.title_of', { name })}
        class="check"
        actions={
          <button type="button" class="filled" onClick={() => void without()}>
            {t('weight.without')}
          </button>
        }
      >
        <div ref={focus}>
          {head}
          <h1>{t('weight.title')}</h1>
          <p>{t('weight.no_scale')}</p>
        </div>
      </Screen>
    );
  }
  if (!draft.zeroed) {
    return (
      <Screen
        title={t('weight.title_of', { name })}
        class="check"
        actions={
          <>
            <button type="button" onClick={() => void without()}>
              {t('weight.without')}
            </button>
            <button type="button" class="filled" onClick={() => void zero()}>
              {t('weight.zero_yes')}
            </button>
          </>
        }
      >
        <div ref={focus}>
          {head}
          <div class="slip">
            <h1 class="slip-title">{t('weight.zero')}</h1>
            <p>{t('weight.zero_why', { name })}</p>
          </div>
        </div>
      </Screen>
    );
  }
  return (
    <Screen
      title={t('weight.title_of', { name })}
      class="check check-weight"
      actions={
        <div class="weigh">
          <p class="say weigh-say" role="alert">
            {says}
          </p>
          <form
            class="weigh-line"
            onSubmit={(event) => {
              event.preventDefault();
              void take();
            }}
          >
            <label for="reading">
              {wants === 'second' ? t('weight.second') : wants === 'third' ? t('weight.third') : t('weight.reading')}
            </label>
            <input
              ref={field}
              id="reading"
              type="text"
              inputMode="none"
              autocomplete="off"
              enterkeyhint="done"
              value={draft.typed}
              aria-invalid={says !== null}
              onInput={(event) => {
                setSays(null);
                const typed = event.currentTarget.value;
                void save((so) => ({ ...so, typed }));
              }}
            />
            <span class="weigh-unit" aria-hidden="true">
              g
            </span>
          </form>
          <div class="pad">
            {['1', '2', '3', '4', '5', '6', '7', '8', '9'].map((digit) => (
              <button key={digit} type="button" onClick={() => type(digit)}>
                {digit}
              </button>
            ))}
            <button type="button" class={digitsOf(step) ? '' : 'pad-two'} onClick={() => type('0')}>
              0
            </button>
            {digitsOf(step) > 0 && (
              <button type="button" onClick={() => type('.')} aria-label={t('weight.point')}>
                .
              </button>
            )}
            <button type="button" onClick={() => type('delete')} aria-label={t('weight.delete')}>
              <Glyph name="delete" size={24} />
            </button>
          </div>
          <div class="bar-pair">
            {wants === 'second' && first !== undefined ? (
              <button type="button" onClick={() => void right()}>
                {t('weight.is_right', { grams: grams(first, step) })}
              </button>
            ) : (
              <button
                type="button"
                onClick={() =>
                  void (draft.readings.length > 0 ? save((so) => ({ ...so, readings: [], typed: '' })) : without())
                }
              >
                {draft.readings.length > 0 ? t('weight.from_start') : t('weight.without')}
              </button>
            )}
            <button type="button" class="filled" onClick={() => void take()}>
              {t('weight.take')}
            </button>
          </div>
        </div>
      }
    >
      <div ref={focus} class="check-step">
        {head}
        {wants === 'second' && first !== undefined && word.verdict ? (
          <div class="slip question" role="status">
            <h1 class="slip-title">{t('weight.once_more')}</h1>
            <p>
              {t('weight.first_was')} <strong>{grams(first, step)}</strong>
              {last
                ? `: ${t(wayOf(first, word.verdict), { difference: difference(first, last, new Date().toISOString(), step), name })}`
                : '.'}
            </p>
            <div class="question-more">
              {word.weighed && (
                <WordChart
                  name={name}
                  weighings={[...stop.animal.weighings, word.weighed]}
                  level={word.level}
                  asked
                  step={step}
                  young={stop.animal.stage === 'young'}
                />
              )}
              <p class="second">{doubtSentence(word.verdict, name)}</p>
            </div>
          </div>
        ) : wants === 'third' ? (
          <div class="slip question" role="status">
            <h1 class="slip-title">{t('weight.third_title')}</h1>
            <p>
              {t('weight.third_why', {
                readings: draft.readings.map((each) => grams(each, step)).join(t('list.and')),
                difference: grams(Math.abs((draft.readings[0] ?? 0) - (draft.readings[1] ?? 0)), step),
              })}
            </p>
          </div>
        ) : (
          <h1 class="weigh-title">{t('weight.title_of', { name })}</h1>
        )}
      </div>
    </Screen>
  );
}

/** Under or over what was expected; a doubt within the range has another reason. */
function wayOf(grams: number, verdict: Verdict): Key {
  if (verdict.low !== null && grams < verdict.low) return 'weight.first_under';
  if (verdict.high !== null && grams > verdict.high) return 'weight.first_over';
  return 'weight.first_within';
}
