import { useState } from 'preact/hooks';
import { call, Refusal, saidOf } from '../api/client';
import type { HomeSummary } from '../api/types';
import { useFetched } from '../app/fetched';
import { go } from '../app/router';
import { DateHead, Screen, Waiting } from '../app/shell';
import { isCoordinator, reaching, wordsFor, zone } from '../app/state';
import { LevelMark, LevelWord } from '../marks/marks';
import { uuid7 } from '../text/ids';
import { t, tOf } from '../text/t';

const KINDS = ['foster', 'room', 'quarantine', 'boarding', 'clinic'];

export function HomesScreen() {
  const list = useFetched<{ homes: HomeSummary[] }>('/homes', true);
  const [adding, setAdding] = useState(false);
  const homes = list.value?.homes ?? [];
  return (
    <Screen title={t('nav.homes')} at="/homes">
      <DateHead />
      <h1>{t('nav.homes')}</h1>
      {list.says !== null && <p role="status">{list.says}</p>}
      {!list.value && list.says === null && <Waiting />}
      {list.value && homes.length === 0 && <p>{t('homes.none')}</p>}
      <ul class="homes">
        {homes.map((home) => (
          <li key={home.id}>
            <a class="ruled done-row home-row" href={`/homes/${home.id}`}>
              <span class="on-thread">
                <LevelMark level={home.worst_level ?? 'steady'} size={18} />
              </span>
              <span>
                <span class="serif stop-name">{home.name}</span>
                <span class="second soft">
                  {tOf('home_kind', home.kind)} · {t('homes.animals', { n: home.animals })}
                  {home.people.length > 0 && ` · ${home.people.map((person) => person.name).join(', ')}`}
                </span>
              </span>
              <LevelWord level={home.worst_level ?? 'steady'} />
            </a>
          </li>
        ))}
      </ul>
      {isCoordinator() &&
        (adding ? (
          <NewHome onBack={() => setAdding(false)} />
        ) : (
          <button type="button" onClick={() => setAdding(true)}>
            {t('homes.add')}
          </button>
        ))}
    </Screen>
  );
}

function NewHome({ onBack }: { onBack: () => void }) {
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [says, setSays] = useState<string | null>(null);
  const [id] = useState(uuid7);
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    const data = new FormData(event.currentTarget as HTMLFormElement);
    try {
      await reaching(() =>
        call(`/homes/${id}`, {
          method: 'PUT',
          body: {
            name: String(data.get('name')).trim(),
            kind: String(data.get('kind')),
            zone: String(data.get('zone')),
          },
        }),
      );
      go(`/homes/${id}`);
    } catch (error) {
      if (error instanceof Refusal) setRefusal(error);
      setSays(wordsFor(error));
    }
  };
  return (
    <form class="slip fields" onSubmit={submit}>
      <h2>{t('homes.add')}</h2>
      <div class="field">
        <label for="home-name">{t('homes.name')}</label>
        <input id="home-name" name="name" required maxLength={100} aria-invalid={saidOf(refusal, '/name') !== null} />
      </div>
      <div class="field">
        <label for="home-kind">{t('homes.kind')}</label>
        <select id="home-kind" name="kind">
          {KINDS.map((kind) => (
            <option key={kind} value={kind}>
              {tOf('home_kind', kind)}
            </option>
          ))}
        </select>
      </div>
      <div class="field">
        <label for="home-zone">{t('homes.zone')}</label>
        <input
          id="home-zone"
          name="zone"
          required
          defaultValue={zone() ?? Intl.DateTimeFormat().resolvedOptions().timeZone}
        />
      </div>
      <p class="say" role="alert">
        {says}
      </p>
      <div class="bar-pair">
        <button type="button" onClick={onBack}>
          {t('step.back')}
        </button>
        <button type="submit" class="filled">
          {t('homes.save')}
        </button>
      </div>
    </form>
  );
}
