import type { Role } from '../api/types';
import { DateHead, Screen } from '../app/shell';
import { mine, role } from '../app/state';
import { SignOutLine } from '../signin/out';
import { type Key, t } from '../text/t';

const PLACES: { key: Key; to: string; roles: Role[] }[] = [
  { key: 'nav.rounds', to: '/', roles: ['volunteer', 'intake', 'coordinator'] },
  { key: 'nav.homes', to: '/homes', roles: ['intake', 'coordinator', 'volunteer'] },
  { key: 'nav.arrivals', to: '/arrivals', roles: ['intake', 'coordinator'] },
  { key: 'nav.scales', to: '/scales', roles: ['volunteer', 'intake', 'coordinator'] },
  { key: 'nav.people', to: '/people', roles: ['coordinator'] },
  { key: 'nav.kept', to: '/kept', roles: ['volunteer', 'intake', 'coordinator'] },
  { key: 'nav.help', to: '/help', roles: ['volunteer', 'intake', 'coordinator'] },
];

/** What a phone's four words leave out, and who is signed in. */
export function MoreScreen() {
  const who = role.value;
  return (
    <Screen title={t('nav.more')} at="/more">
      <DateHead />
      <h1>{t('nav.more')}</h1>
      <ul class="homes">
        {PLACES.filter((place) => who && place.roles.includes(who)).map((place) => (
          <li key={place.to}>
            <a class="ruled done-row" href={place.to}>
              <strong>
                {place.to === '/kept' && mine.value.length > 0
                  ? t('nav.kept_n', { n: mine.value.length })
                  : t(place.key)}
              </strong>
            </a>
          </li>
        ))}
      </ul>
      <SignOutLine />
    </Screen>
  );
}
