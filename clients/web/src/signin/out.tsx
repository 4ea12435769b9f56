import { go } from '../app/router';
import { me, mine, signOut } from '../app/state';
import { t, tOf } from '../text/t';

/** Who is signed in on this device, and the way out. */
export function SignOutLine() {
  const person = me.value?.person;
  if (!person) return null;
  return (
    <div class="out second">
      <span>{t('out.as', { name: person.name, role: tOf('role', person.role) })}</span>
      <button
        type="button"
        onClick={() => {
          void signOut().then(() => go('/', 'replace'));
        }}
      >
        {t('out.button')}
      </button>
      {mine.value.length > 0 && <span class="soft">{t('out.kept', { n: mine.value.length })}</span>}
    </div>
  );
}
