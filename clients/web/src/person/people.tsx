import { useState } from 'preact/hooks';
import { call, Refusal, saidOf } from '../api/client';
import type { PersonRow, Role } from '../api/types';
import { useFetched } from '../app/fetched';
import { DateHead, Screen, Waiting } from '../app/shell';
import { reaching, wordsFor } from '../app/state';
import { t, tOf } from '../text/t';

const ROLES: Role[] = ['volunteer', 'intake', 'coordinator'];

export function PeopleScreen() {
  const list = useFetched<{ people: PersonRow[] }>('/people');
  const [link, setLink] = useState<{ name: string; url: string } | null>(null);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [says, setSays] = useState<string | null>(null);
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const data = new FormData(form);
    const name = String(data.get('name')).trim();
    setRefusal(null);
    setSays(null);
    try {
      const reply = await reaching(() =>
        call<{ invitation: string }>('/people', {
          method: 'POST',
          body: { name, email: String(data.get('email')).trim(), role: String(data.get('role')) },
        }),
      );
      setLink({ name, url: new URL(reply.body.invitation, location.origin).href });
      form.reset();
      await list.again();
    } catch (error) {
      if (error instanceof Refusal) setRefusal(error);
      setSays(wordsFor(error));
    }
  };
  return (
    <Screen title={t('nav.people')} at="/people">
      <DateHead />
      <h1>{t('nav.people')}</h1>
      {list.says !== null && <p role="status">{list.says}</p>}
      {!list.value && list.says === null && <Waiting />}
      <ul class="homes">
        {(list.value?.people ?? []).map((person) => (
          <li key={person.id} class="ruled done-row home-row">
            <span>
              <span class="serif stop-name">{person.name}</span>
              <span class="second soft">{[person.email, ...person.homes.map((home) => home.name)].join(' · ')}</span>
            </span>
            <span class="second">
              {tOf('role', person.role)}
              {person.invited && <span class="soft"> · {t('people.invited')}</span>}
            </span>
          </li>
        ))}
      </ul>
      <form class="slip fields" onSubmit={submit}>
        <h2>{t('people.invite')}</h2>
        <div class="field">
          <label for="person-name">{t('people.name')}</label>
          <input
            id="person-name"
            name="name"
            required
            maxLength={100}
            autocomplete="off"
            aria-invalid={saidOf(refusal, '/name') !== null}
          />
        </div>
        <div class="field">
          <label for="person-email">{t('signin.email')}</label>
          <input
            id="person-email"
            name="email"
            type="email"
            required
            autocomplete="off"
            aria-invalid={saidOf(refusal, '/email') !== null}
          />
        </div>
        <div class="field">
          <label for="person-role">{t('people.role')}</label>
          <select id="person-role" name="role">
            {ROLES.map((role) => (
              <option key={role} value={role}>
                {tOf('role', role)}
              </option>
            ))}
          </select>
        </div>
        <p class="say" role="alert">
          {says}
        </p>
        <button type="submit" class="filled">
          {t('people.make')}
        </button>
        {link && (
          <div role="status">
            <p>{t('people.link', { name: link.name })}</p>
            <input
              readOnly
              aria-label={t('people.link_label')}
              value={link.url}
              onFocus={(event) => event.currentTarget.select()}
            />
          </div>
        )}
      </form>
    </Screen>
  );
}
