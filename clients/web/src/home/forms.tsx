import { useState } from 'preact/hooks';
import { call } from '../api/client';
import type { PersonRow } from '../api/types';
import { useFetched } from '../app/fetched';
import { reaching, wordsFor } from '../app/state';
import { uuid7 } from '../text/ids';
import { t } from '../text/t';

export function AddPen({ home, onSaved }: { home: string; onSaved: () => void }) {
  const [says, setSays] = useState<string | null>(null);
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const name = String(new FormData(form).get('name')).trim();
    if (!name) return;
    try {
      await reaching(() => call(`/homes/${home}/pens/${uuid7()}`, { method: 'PUT', body: { name } }));
      form.reset();
      setSays(null);
      onSaved();
    } catch (error) {
      setSays(wordsFor(error));
    }
  };
  return (
    <form class="find" onSubmit={submit}>
      <input name="name" maxLength={60} aria-label={t('home.new_pen')} placeholder={t('home.new_pen')} />
      <button type="submit">{t('home.add_pen')}</button>
      <p class="say" role="alert">
        {says}
      </p>
    </form>
  );
}

export function AddPerson({ home, onSaved }: { home: string; onSaved: () => void }) {
  const [open, setOpen] = useState(false);
  const [says, setSays] = useState<string | null>(null);
  const people = useFetched<{ people: PersonRow[] }>(open ? '/people' : null);
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    const person = String(new FormData(event.currentTarget as HTMLFormElement).get('person'));
    try {
      await reaching(() =>
        call(`/homes/${home}/people/${person}`, { method: 'PUT', body: { from: new Date().toISOString() } }),
      );
      setOpen(false);
      onSaved();
    } catch (error) {
      setSays(wordsFor(error));
    }
  };
  if (!open) {
    return (
      <button type="button" class="bare" onClick={() => setOpen(true)}>
        {t('home.add_person')}
      </button>
    );
  }
  return (
    <form class="find" onSubmit={submit}>
      <select name="person" aria-label={t('home.add_person')}>
        {(people.value?.people ?? [])
          .filter((person) => !person.homes.some((each) => each.id === home))
          .map((person) => (
            <option key={person.id} value={person.id}>
              {person.name}
            </option>
          ))}
      </select>
      <button type="submit">{t('home.add_person_save')}</button>
      <p class="say" role="alert">
        {says ?? people.says}
      </p>
    </form>
  );
}
