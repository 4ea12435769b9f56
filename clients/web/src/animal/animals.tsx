import { useEffect, useState } from 'preact/hooks';
import { get } from '../api/client';
import type { AnimalSummary } from '../api/types';
import { go, moves } from '../app/router';
import { DateHead, Screen, Tag, Waiting } from '../app/shell';
import { reaching, round, wordsFor } from '../app/state';
import { LevelMark, LevelWord } from '../marks/marks';
import { Portrait } from '../portrait/portrait';
import { kindWords } from '../text/animals';
import { grams } from '../text/format';
import { t } from '../text/t';
import { stopsOf } from '../today/round';

interface Page {
  animals: AnimalSummary[];
  next: string | null;
}

/** A tag typed with blanks or a hyphen finds like one without. */
function asked(): string {
  return new URLSearchParams(location.search).get('q')?.trim() ?? '';
}

export function AnimalsScreen() {
  const words = asked();
  const [page, setPage] = useState<{ words: string; animals: AnimalSummary[]; next: string | null } | null>(null);
  const [says, setSays] = useState<string | null>(null);
  const where = moves.value;
  const path = (cursor?: string | null) =>
    `/animals?limit=50${words ? `&q=${encodeURIComponent(words)}` : ''}${cursor ? `&cursor=${encodeURIComponent(cursor)}` : ''}`;
  // biome-ignore lint/correctness/useExhaustiveDependencies: a move may bring other words
  useEffect(() => {
    let current = true;
    reaching(() => get<Page>(path())).then(
      (found) => current && setPage({ words, ...found }),
      (error) => current && setSays(wordsFor(error)),
    );
    return () => {
      current = false;
    };
  }, [words, where]);
  const more = async () => {
    if (!page?.next) return;
    try {
      const next = await reaching(() => get<Page>(path(page.next)));
      setPage({ words, animals: [...page.animals, ...next.animals], next: next.next });
    } catch (error) {
      setSays(wordsFor(error));
    }
  };
  const fits = page?.words === words ? page : null;
  // Without a network: the round that this phone knows.
  const known = round.value
    ? stopsOf(round.value)
        .map((stop) => stop.animal)
        .filter((animal) => animal.name.toLowerCase().includes(words.toLowerCase()))
        .sort((a, b) => a.name.localeCompare(b.name))
    : [];
  const animals: AnimalSummary[] = fits?.animals ?? (says !== null ? known : []);
  return (
    <Screen title={t('nav.animals')} at="/animals" class="animal-list">
      <DateHead />
      <h1>{t('nav.animals')}</h1>
      <form
        class="find"
        role="search"
        aria-label={t('animals.find')}
        onSubmit={(event) => {
          event.preventDefault();
          const q = String(new FormData(event.currentTarget as HTMLFormElement).get('q')).trim();
          go(`/animals${q ? `?q=${encodeURIComponent(q)}` : ''}`);
        }}
      >
        <input
          key={words}
          name="q"
          type="search"
          aria-label={t('animals.find')}
          placeholder={t('animals.find')}
          defaultValue={words}
        />
        <button type="submit">{t('animals.go')}</button>
      </form>
      {says !== null && (
        <p class="second" role="status">
          {says} {known.length > 0 && t('animals.as_known')}
        </p>
      )}
      {!fits && says === null && <Waiting />}
      {fits && animals.length === 0 && <p>{words ? t('animals.none', { words }) : t('say.nothing_here')}</p>}
      <ul>
        {animals.map((animal) => (
          <li key={animal.id}>
            <a class="ruled" href={`/animals/${animal.id}`}>
              <span class="on-thread">{animal.level && <LevelMark level={animal.level} size={18} />}</span>
              <Portrait species={animal.species} coat={animal.coat} markings={animal.markings} />
              <span class="stop-who">
                <span class="serif stop-name">{animal.name}</span>
                <span class="second soft">
                  {kindWords(animal)} <Tag tag={animal.tag} />
                </span>
                <span class="second soft">{[animal.home_name, animal.pen_name].filter(Boolean).join(', ')}</span>
              </span>
              <span class="stop-weight">
                <strong>{animal.last ? grams(animal.last.grams) : ''}</strong>
                {animal.level && <LevelWord level={animal.level} />}
              </span>
            </a>
          </li>
        ))}
      </ul>
      {fits?.next && (
        <button type="button" onClick={() => void more()}>
          {t('animals.more')}
        </button>
      )}
    </Screen>
  );
}
