// One scale: its course, and the test with a known mass.
import { useState } from 'preact/hooks';
import { call, Refusal, saidOf } from '../api/client';
import type { ScalePage } from '../api/types';
import { useFetched } from '../app/fetched';
import { BackHead, Screen, Waiting } from '../app/shell';
import { now, reaching, refreshRound, wordsFor, zone } from '../app/state';
import { day, grams, moment } from '../text/format';
import { uuid7 } from '../text/ids';
import { readGrams } from '../text/reading';
import { t } from '../text/t';
import { ScaleChart } from './chart';

interface TestAnswer {
  test: { passed: boolean; allowed_error: number | null };
}

export function ScaleScreen({ id }: { id: string }) {
  const page = useFetched<ScalePage>(`/scales/${id}`, true);
  const scale = page.value;
  const [faults, setFaults] = useState<{ mass?: string; reading?: string; all?: string }>({});
  const [done, setDone] = useState<TestAnswer['test'] | null>(null);
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    if (!scale) return;
    const form = event.currentTarget as HTMLFormElement;
    const data = new FormData(form);
    const mass = readGrams(String(data.get('mass')), 0.1);
    const reading = readGrams(String(data.get('reading')), 0.1);
    const found = { ...(mass.ok ? {} : { mass: mass.say }), ...(reading.ok ? {} : { reading: reading.say }) };
    setFaults(found);
    setDone(null);
    if (!mass.ok || !reading.ok) return;
    try {
      const reply = await reaching(() =>
        call<TestAnswer>(`/scale-tests/${uuid7()}`, {
          method: 'PUT',
          body: { scale: id, at: new Date().toISOString(), mass: mass.grams, reading: reading.grams },
        }),
      );
      setDone(reply.body.test);
      form.reset();
      await page.again();
      void refreshRound().catch(() => {});
    } catch (error) {
      const refusal = error instanceof Refusal ? error : null;
      const about = { mass: saidOf(refusal, '/mass'), reading: saidOf(refusal, '/reading') };
      setFaults({
        ...(about.mass ? { mass: about.mass } : {}),
        ...(about.reading ? { reading: about.reading } : {}),
        ...(about.mass || about.reading ? {} : { all: wordsFor(error) }),
      });
    }
  };
  if (!scale) {
    return (
      <Screen title={t('nav.scales')} at="/scales">
        <BackHead to="/scales" />
        <h1>{t('nav.scales')}</h1>
        {page.says !== null ? <p role="alert">{page.says}</p> : <Waiting />}
      </Screen>
    );
  }
  return (
    <Screen title={scale.name} at="/scales">
      <BackHead />
      <h1>{scale.name}</h1>
      <p class="soft">
        <a class="quiet" href={`/homes/${scale.home}`}>
          {scale.home_name}
        </a>{' '}
        · {t('scale.facts', { step: grams(scale.step, scale.step), capacity: grams(scale.capacity) })}
      </p>
      <ScaleChart scale={scale} />
      <section aria-labelledby="test">
        <h2 id="test">{t('scale.test')}</h2>
        <p class="second soft">{t('scale.test_how')}</p>
        <form class="fields scale-form" onSubmit={submit}>
          <div class="bar-pair">
            <div class="field">
              <label for="mass">{t('scale.mass')}</label>
              <input
                id="mass"
                name="mass"
                type="text"
                inputMode="decimal"
                autocomplete="off"
                aria-invalid={faults.mass !== undefined}
                aria-describedby="mass-say"
              />
              <p class="say" id="mass-say" role="alert">
                {faults.mass}
              </p>
            </div>
            <div class="field">
              <label for="reading">{t('scale.reading')}</label>
              <input
                id="reading"
                name="reading"
                type="text"
                inputMode="decimal"
                autocomplete="off"
                aria-invalid={faults.reading !== undefined}
                aria-describedby="reading-say"
              />
              <p class="say" id="reading-say" role="alert">
                {faults.reading}
              </p>
            </div>
          </div>
          <p class="say" role="status">
            {faults.all}
            {done && (done.passed ? t('scale.said_passed') : t('scale.said_failed'))}
            {done && done.allowed_error !== null && ` ${t('scale.allowed', { grams: grams(done.allowed_error) })}`}
          </p>
          <button type="submit" class="filled">
            {t('scale.note_test')}
          </button>
        </form>
      </section>
      <section aria-labelledby="tests">
        <h2 id="tests">{t('scale.tests')}</h2>
        <ul class="lines">
          {scale.tests.map((test) => (
            <li key={test.id}>
              <strong>{moment(test.at, now.value, zone())}</strong>{' '}
              {t('scale.test_line', { mass: grams(test.mass), reading: grams(test.reading) })}{' '}
              <span class="soft second">
                {t(test.passed ? 'scale.ok' : 'scale.off')}
                {test.allowed_error != null && `, ${t('scale.allowed', { grams: grams(test.allowed_error) })}`}
              </span>
            </li>
          ))}
          {scale.tests.length === 0 && <li class="soft">{t('scale.never')}</li>}
        </ul>
      </section>
      {(scale.sessions ?? []).length > 0 && (
        <p class="second soft">
          {t('scale.last_session', { day: day(scale.sessions?.[0]?.from ?? '', now.value, zone()) })}
        </p>
      )}
    </Screen>
  );
}
