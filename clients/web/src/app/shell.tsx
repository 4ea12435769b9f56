// The frame of every screen: the flat thread with the navigation, the margin with the thread, the one button.
import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { Role } from '../api/types';
import { Glyph, Maker } from '../marks/marks';
import { clock, day, longDay } from '../text/format';
import { type Key, t } from '../text/t';
import { back, go, moves } from './router';
import { isStaff, kept, me, mine, newVersion, now, offline, ready, role, signedOut, zone } from './state';
import { takeNewVersion } from './version';

interface Place {
  key: Key;
  to: string;
  roles: Role[];
}

const ALL: Role[] = ['volunteer', 'intake', 'coordinator'];
const STAFF: Role[] = ['intake', 'coordinator'];

const TOP: Place[] = [
  { key: 'nav.desk', to: '/desk', roles: ['coordinator'] },
  { key: 'nav.today', to: '/', roles: ['volunteer', 'intake'] },
  { key: 'nav.homes', to: '/homes', roles: STAFF },
  { key: 'nav.animals', to: '/animals', roles: ALL },
  { key: 'nav.arrivals', to: '/arrivals', roles: STAFF },
  { key: 'nav.rounds', to: '/', roles: ['coordinator'] },
  { key: 'nav.scales', to: '/scales', roles: STAFF },
  { key: 'nav.people', to: '/people', roles: ['coordinator'] },
  { key: 'nav.kept', to: '/kept', roles: ['volunteer'] },
  { key: 'nav.help', to: '/help', roles: ['volunteer'] },
];

function phonePlaces(who: Role): Place[] {
  if (who === 'coordinator') {
    return [
      { key: 'nav.desk', to: '/desk', roles: ALL },
      { key: 'nav.homes', to: '/homes', roles: ALL },
      { key: 'nav.animals', to: '/animals', roles: ALL },
      { key: 'nav.more', to: '/more', roles: ALL },
    ];
  }
  if (who === 'intake') {
    return [
      { key: 'nav.today', to: '/', roles: ALL },
      { key: 'nav.arrivals', to: '/arrivals', roles: ALL },
      { key: 'nav.animals', to: '/animals', roles: ALL },
      { key: 'nav.more', to: '/more', roles: ALL },
    ];
  }
  return [
    { key: 'nav.today', to: '/', roles: ALL },
    { key: 'nav.animals', to: '/animals', roles: ALL },
    { key: 'nav.kept', to: '/kept', roles: ALL },
    { key: 'nav.help', to: '/help', roles: ALL },
  ];
}

function word(place: Place): string {
  const count = mine.value.length;
  return place.to === '/kept' && count > 0 ? t('nav.kept_n', { n: count }) : t(place.key);
}

function Top({ at }: { at: string }) {
  const who = role.value;
  if (!who) return null;
  const search = useRef<HTMLInputElement>(null);
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.key !== '/' || (event.target as Element | null)?.closest('input, textarea, select')) return;
      event.preventDefault();
      search.current?.focus();
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  }, []);
  return (
    <header class="top">
      <a class="top-name" href={who === 'coordinator' ? '/desk' : '/'}>
        <Maker size={30} />
        {t('app.name')}
      </a>
      <nav class="nav-top" aria-label={t('nav.label')}>
        {TOP.filter((place) => place.roles.includes(who)).map((place) => (
          <a key={place.key} href={place.to} aria-current={place.to === at ? 'page' : undefined}>
            {word(place)}
          </a>
        ))}
      </nav>
      {isStaff() && (
        <form
          class="top-search"
          role="search"
          aria-label={t('nav.search_all')}
          onSubmit={(event) => {
            event.preventDefault();
            const words = search.current?.value.trim() ?? '';
            go(`/animals?q=${encodeURIComponent(words)}`);
          }}
        >
          <Glyph name="search" />
          <input ref={search} type="search" aria-label={t('nav.search')} placeholder={t('nav.search')} />
        </form>
      )}
      <a class="top-who" href="/more">
        {me.value?.person.name.split(' ')[0]} · {day(now.value, now.value, zone())}, {clock(now.value, zone())}
      </a>
    </header>
  );
}

/** The signal and the queue in one word; pressing it opens the queue. */
export function Signal() {
  const count = mine.value.length;
  if (!offline.value && count === 0) return null;
  return (
    <a class="button signal" href="/kept">
      <Glyph name={offline.value ? 'nosignal' : 'kept'} />
      {offline.value
        ? count > 0
          ? t('signal.none_kept', { n: count })
          : t('signal.none')
        : t('signal.kept', { n: count })}
    </a>
  );
}

/** One line under the title when something about the app itself has to be said. */
function Notices() {
  if (signedOut.value) {
    return (
      <div class="slip notice" role="status">
        <p>{kept.value.length > 0 ? t('say.sign_in_to_send', { n: kept.value.length }) : t('say.sign_in_again')}</p>
        <a class="button" href="/signin">
          {t('signin.button')}
        </a>
      </div>
    );
  }
  if (newVersion.value) {
    return (
      <div class="slip notice" role="status">
        <p>{t('say.new_version')}</p>
        <button type="button" onClick={takeNewVersion}>
          {t('say.new_version_take')}
        </button>
      </div>
    );
  }
  return null;
}

export interface ScreenProps {
  title: string;
  /** Where the navigation stands; none for screens that hold the person at one thing. */
  at?: string;
  wide?: boolean;
  class?: string;
  /** Replaces the date in the head of a phone's page. */
  head?: ComponentChildren;
  actions?: ComponentChildren;
  children: ComponentChildren;
  plain?: boolean;
}

export function Screen({ title, at, wide, class: name = '', head, actions, children, plain }: ScreenProps) {
  const main = useRef<HTMLElement>(null);
  const alone = at === undefined || !role.value;
  useEffect(() => {
    document.title = `${title} · ${t('app.name')}`;
  }, [title]);
  useEffect(() => {
    if (moves.peek() > 0) focusHeading(main.current);
  }, []);
  return (
    <div class={`app ${alone ? '' : 'has-top'}`}>
      {!alone && (
        <a class="button skip" href="#main">
          {t('nav.skip')}
        </a>
      )}
      {!alone && <Top at={at} />}
      <main ref={main} id="main" tabIndex={-1} class={plain ? name : `page ${wide ? 'page-wide' : ''} ${name}`}>
        {head}
        {ready.value && at !== undefined && <Notices />}
        {children}
      </main>
      {(actions || !alone) && (
        <div class={`bar ${actions ? '' : 'bar-nav-only'}`}>
          {actions && <div class="bar-actions">{actions}</div>}
          {!alone && role.value && (
            <nav class="nav-phone" aria-label={t('nav.label')}>
              {phonePlaces(role.value).map((place) => (
                <a key={place.key} href={place.to} aria-current={place.to === at ? 'page' : undefined}>
                  {word(place)}
                </a>
              ))}
            </nav>
          )}
        </div>
      )}
    </div>
  );
}

export function focusHeading(within: ParentNode | null): void {
  const heading = within?.querySelector<HTMLElement>('h1, [data-heading]');
  if (!heading) return;
  heading.tabIndex = -1;
  heading.focus({ preventScroll: true });
}

/** The head of a page of its own: the maker's mark, the date, the signal. */
export function DateHead() {
  return (
    <div class="page-head">
      <span class="maker-link">
        <Maker />
      </span>
      <span class="soft">{longDay(now.value, zone())}</span>
      <Signal />
    </div>
  );
}

/** The head of a page that was reached from another: a way back on the thread. */
export function BackHead({ children, to }: { children?: ComponentChildren; to?: string }) {
  return (
    <div class="page-head">
      <span class="on-thread">
        {to ? (
          <a class="button glyph-only" href={to} aria-label={t('nav.back')}>
            <Glyph name="back" size={20} />
          </a>
        ) : (
          <button type="button" class="glyph-only" aria-label={t('nav.back')} onClick={back}>
            <Glyph name="back" size={20} />
          </button>
        )}
      </span>
      {children}
    </div>
  );
}

/** Ruled empty lines while something is fetched; words after a second. */
export function Waiting() {
  return (
    <div class="waiting-lines" role="status">
      <i />
      <i />
      <i />
      <span class="hidden">{t('say.waiting')}</span>
    </div>
  );
}

export function Caution() {
  return <p class="caution">{t('say.caution')}</p>;
}

/** A tag: four characters and, bold, the check character. */
export function Tag({ tag }: { tag: string }) {
  const bare = tag.replace(/[\s-]/g, '');
  return (
    <span class="tag">
      <span class="hidden">{t('animal.tag_is')} </span>
      {bare.slice(0, -1)}
      <b>{bare.slice(-1)}</b>
    </span>
  );
}
