import { useState } from 'preact/hooks';
import { call } from '../api/client';
import type { HomeSummary, Scale } from '../api/types';
import { useFetched } from '../app/fetched';
import { go } from '../app/router';
import { DateHead, Screen, Waiting } from '../app/shell';
import { isStaff, now, reaching, wordsFor, zone } from '../app/state';
import { Glyph, KindMark } from '../marks/marks';
import { ago, daysBetween, grams } from '../text/format';
import { uuid7 } from '../text/ids';
import { readGrams } from '../text/reading';
import { t } from '../text/t';

const TEST_EVERY = 30; // days: common practice, no source

export function scaleWords(scale: Scale): string {
  if (!scale.last_test) return t('scale.never');
  const { at, passed } = scale.last_test;
  return t(passed ? 'scale.passed' : 'scale.failed', { ago: ago(at, now.value, zone()) });
}

function wantsTest(scale: Scale): boolean {
  return !scale.last_test?.passed || daysBetween(scale.last_test.at, now.value.toISOString()) > TEST_EVERY;
}

export function ScalesScreen() {
  const list = useFetched<{ scales: Scale[] }>('/scales', true);
  const [adding, setAdding] = useState(false);
  const scales = list.value?.scales ?? [];
  return (
    <Screen title={t('nav.scales')} at="/scales">
      <DateHead />
      <h1>{t('nav.scales')}</h1>
      {list.says !== null && <p role="status">{list.says}</p>}
      {!list.value && list.says === null && <Waiting />}
      {list.value && <p class="soft">{t('scales.want', { n: scales.filter(wantsTest).length })}</p>}
      <ul class="homes">
        {scales.map((scale) => (
          <li key={scale.id}>
            <a class="ruled done-row home-row" href={`/scales/${scale.id}`}>
              <span class="on-thread">
                {wantsTest(scale) ? <KindMark kind="scale" size={20} /> : <Glyph name="tick" />}
              </span>
              <span>
                <span class="serif stop-name">{scale.name}</span>
                <span class="second soft">
                  {scale.home_name} ·{' '}
                  {t('scale.facts', { step: grams(scale.step, scale.step), capacity: grams(scale.capacity) })}
                </span>
              </span>
              <span class={`second ${wantsTest(scale) ? 'say' : ''}`}>{scaleWords(scale)}</span>
            </a>
          </li>
        ))}
      </ul>
      {isStaff() &&
        (adding ? (
          <NewScale onBack={() => setAdding(false)} />
        ) : (
          <button type="button" onClick={() => setAdding(true)}>
            {t('scales.add')}
          </button>
        ))}
    </Screen>
  );
}

function NewScale({ onBack }: { onBack: () => void }) {
  const homes = useFetched<{ homes: HomeSummary[] }>('/homes', true);
  const [says, setSays] = useState<string | null>(null);
  const [id] = useState(uuid7);
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    const data = new FormData(event.currentTarget as HTMLFormElement);
    const capacity = readGrams(String(data.get('capacity')));
    if (!capacity.ok) {
      setSays(capacity.say);
      return;
    }
    try {
      await reaching(() =>
        call(`/scales/${id}`, {
          method: 'PUT',
          body: {
            home: String(data.get('home')),
            name: String(data.get('name')).trim(),
            step: Number(data.get('step')),
            capacity: capacity.grams,
          },
        }),
      );
      go(`/scales/${id}`);
    } catch (error) {
      setSays(wordsFor(error));
    }
  };
  return (
    <form class="slip fields" onSubmit={submit}>
      <h2>{t('scales.add')}</h2>
      <div class="field">
        <label for="scale-home">{t('scales.home')}</label>
        <select id="scale-home" name="home" required>
          {(homes.value?.homes ?? []).map((home) => (
            <option key={home.id} value={home.id}>
              {home.name}
            </option>
          ))}
        </select>
      </div>
      <div class="field">
        <label for="scale-name">{t('homes.name')}</label>
        <input id="scale-name" name="name" required maxLength={60} defaultValue={t('scales.kitchen')} />
      </div>
      <div class="bar-pair">
        <div class="field">
          <label for="scale-step">{t('scales.step')}</label>
          <select id="scale-step" name="step">
            {[0.1, 0.5, 1, 2, 5, 10].map((step) => (
              <option key={step} value={step} selected={step === 1}>
                {grams(step)}
              </option>
            ))}
          </select>
        </div>
        <div class="field">
          <label for="scale-capacity">{t('scales.capacity')}</label>
          <input id="scale-capacity" name="capacity" type="text" inputMode="decimal" required defaultValue="5000" />
        </div>
      </div>
      <p class="say" role="alert">
        {says}
      </p>
      <div class="bar-pair">
        <button type="button" onClick={onBack}>
          {t('step.back')}
        </button>
        <button type="submit" class="filled">
          {t('scales.save')}
        </button>
      </div>
    </form>
  );
}
