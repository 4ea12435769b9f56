import { useState } from 'preact/hooks';
import { Refusal, Unreachable } from '../api/client';
import { go } from '../app/router';
import { Screen } from '../app/shell';
import { kept, me, role, signIn, wordsFor } from '../app/state';
import { Maker } from '../marks/marks';
import { t } from '../text/t';

/** Where a person starts: the desk for a coordinator, the round for everybody else. */
export function home(): string {
  return role.value === 'coordinator' ? '/desk' : '/';
}

export function SignInScreen() {
  const [says, setSays] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget as HTMLFormElement);
    setBusy(true);
    setSays(null);
    try {
      await signIn(String(form.get('email')).trim(), String(form.get('passphrase')));
      go(location.pathname === '/signin' || location.pathname === '/' ? home() : location.pathname, 'replace');
    } catch (error) {
      if (error instanceof Refusal && error.status === 401) setSays(t('signin.wrong'));
      else if (error instanceof Unreachable) setSays(t(error.busy ? 'signin.slow' : 'signin.unreachable'));
      else setSays(wordsFor(error));
    } finally {
      setBusy(false);
    }
  };
  return (
    <Screen title={t('signin.title')} class="signin">
      <div class="signin-mark">
        <Maker size={64} />
      </div>
      <h1>{t('app.name')}</h1>
      <p class="soft">{t('signin.says')}</p>
      {kept.value.length > 0 && <p class="say">{t('say.sign_in_to_send', { n: kept.value.length })}</p>}
      <form class="fields" onSubmit={submit}>
        <div class="field">
          <label for="email">{t('signin.email')}</label>
          <input
            id="email"
            name="email"
            type="email"
            autocomplete="username"
            required
            defaultValue={me.value?.person.email ?? ''}
          />
        </div>
        <div class="field">
          <label for="passphrase">{t('signin.passphrase')}</label>
          <input id="passphrase" name="passphrase" type="password" autocomplete="current-password" required />
        </div>
        <p class="say" role="alert">
          {says}
        </p>
        <button type="submit" class="filled" disabled={busy}>
          {busy ? t('signin.busy') : t('signin.button')}
        </button>
      </form>
    </Screen>
  );
}
