import { useEffect, useState } from 'preact/hooks';
import { call, get, Refusal, saidOf } from '../api/client';
import type { Role } from '../api/types';
import { Screen, Waiting } from '../app/shell';
import { wordsFor } from '../app/state';
import { Maker } from '../marks/marks';
import { day } from '../text/format';
import { t, tOf } from '../text/t';

interface Invitation {
  name: string;
  email: string;
  role: Role;
  expires_at: string;
}

const LEAST = 15;

/** Spends an invitation: somebody chooses the passphrase of their new account. */
export function JoinScreen({ token }: { token: string }) {
  const [invitation, setInvitation] = useState<Invitation | null>(null);
  const [says, setSays] = useState<string | null>(null);
  const [field, setField] = useState<string | null>(null);
  const [done, setDone] = useState(false);
  useEffect(() => {
    get<Invitation>(`/invitations/${encodeURIComponent(token)}`).then(setInvitation, (error) =>
      setSays(error instanceof Refusal && error.status === 404 ? t('join.spent') : wordsFor(error)),
    );
  }, [token]);
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    const passphrase = String(new FormData(event.currentTarget as HTMLFormElement).get('passphrase'));
    if (new TextEncoder().encode(passphrase).length < LEAST) {
      setField(t('join.short', { n: LEAST }));
      return;
    }
    try {
      await call(`/invitations/${encodeURIComponent(token)}`, { method: 'POST', body: { passphrase } });
      setDone(true);
    } catch (error) {
      const about = error instanceof Refusal ? saidOf(error, '/passphrase') : null;
      if (about) setField(about);
      else setSays(error instanceof Refusal && error.status === 404 ? t('join.spent') : wordsFor(error));
    }
  };
  return (
    <Screen title={t('join.title')} class="signin">
      <div class="signin-mark">
        <Maker size={64} />
      </div>
      {says !== null ? (
        <>
          <h1>{t('join.title')}</h1>
          <p role="alert">{says}</p>
        </>
      ) : done ? (
        <>
          <h1>{t('join.done')}</h1>
          <p>{t('join.done_says')}</p>
          <a class="button filled" href="/">
            {t('signin.button')}
          </a>
        </>
      ) : invitation === null ? (
        <Waiting />
      ) : (
        <>
          <h1>{t('join.welcome', { name: invitation.name.split(' ')[0] ?? '' })}</h1>
          <p class="soft">
            {t('join.as', { role: tOf('role', invitation.role), until: day(invitation.expires_at, new Date()) })}
          </p>
          <form class="fields" onSubmit={submit}>
            <div class="field">
              <label for="email">{t('signin.email')}</label>
              <input id="email" type="email" autocomplete="username" value={invitation.email} readOnly />
            </div>
            <div class="field">
              <label for="passphrase">{t('join.choose')}</label>
              <p class="hint" id="passphrase-hint">
                {t('join.hint', { n: LEAST })}
              </p>
              <input
                id="passphrase"
                name="passphrase"
                type="password"
                autocomplete="new-password"
                required
                aria-describedby="passphrase-hint passphrase-say"
                aria-invalid={field !== null}
              />
              <p class="say" id="passphrase-say" role="alert">
                {field}
              </p>
            </div>
            <button type="submit" class="filled">
              {t('join.button')}
            </button>
          </form>
        </>
      )}
    </Screen>
  );
}
