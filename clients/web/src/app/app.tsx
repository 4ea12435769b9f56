// Which screen a path shows. The volunteer's part is in the first load; the desk's parts come when they are opened.
import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { CheckScreen } from '../check/check';
import { HelpScreen } from '../help/help';
import { KeptScreen } from '../kept/kept';
import { deskLook } from '../look/desk';
import { SignInScreen } from '../signin/signin';
import { t } from '../text/t';
import { TodayScreen } from '../today/today';
import { match, path } from './router';
import { Screen, Waiting } from './shell';
import { me, ready } from './state';

type Values = Record<string, string>;
type Loaded = ComponentType<Values>;

/** A screen of the later parts: fetched when the first of them is opened, and then there at once. */
function later(pick: (parts: typeof import('./parts')) => Loaded): ComponentType<Values> {
  let loaded: Loaded | null = null;
  return function Later(values: Values) {
    const [, again] = useState(0);
    const [failed, setFailed] = useState(false);
    useEffect(() => {
      if (loaded) return;
      Promise.all([import('./parts').then(pick), deskLook()]).then(
        ([screen]) => {
          loaded = screen;
          again((n) => n + 1);
        },
        () => setFailed(true),
      );
    }, []);
    if (loaded) {
      const Ready = loaded;
      return <Ready {...values} />;
    }
    return (
      <Screen title={t('app.name')} at="">
        {failed ? <p>{t('say.part_missing')}</p> : <Waiting />}
      </Screen>
    );
  };
}

const Desk = later((parts) => parts.DeskScreen as Loaded);
const Animal = later((parts) => parts.AnimalScreen as Loaded);
const Animals = later((parts) => parts.AnimalsScreen as Loaded);
const Homes = later((parts) => parts.HomesScreen as Loaded);
const Home = later((parts) => parts.HomeScreen as Loaded);
const Arrivals = later((parts) => parts.ArrivalScreen as Loaded);
const Scales = later((parts) => parts.ScalesScreen as Loaded);
const ScaleOne = later((parts) => parts.ScaleScreen as Loaded);
const Join = later((parts) => parts.JoinScreen as Loaded);
const People = later((parts) => parts.PeopleScreen as Loaded);
const More = later((parts) => parts.MoreScreen as Loaded);

const ROUTES: [string, ComponentType<Values>][] = [
  ['/', TodayScreen as Loaded],
  ['/check/:animal', CheckScreen as Loaded],
  ['/check/:animal/:step', CheckScreen as Loaded],
  ['/help', HelpScreen as Loaded],
  ['/help/:animal/:sign', HelpScreen as Loaded],
  ['/kept', KeptScreen as Loaded],
  ['/desk', Desk],
  ['/desk/:alert', Desk],
  ['/animals', Animals],
  ['/animals/:id', Animal],
  ['/homes', Homes],
  ['/homes/:id', Home],
  ['/arrivals', Arrivals],
  ['/scales', Scales],
  ['/scales/:id', ScaleOne],
  ['/people', People],
  ['/more', More],
];

/** /desk and /desk/ID are one screen: moving between alerts keeps it. */
function keyOf(pattern: string, values: Values): string {
  if (pattern.startsWith('/desk')) return '/desk';
  if (pattern.startsWith('/check')) return `/check/${values.animal}`;
  return `${pattern}?${Object.values(values).join('/')}`;
}

export function App() {
  const where = path.value;
  const join = match('/join/:token', where);
  if (join?.token) return <Join token={join.token} />;
  if (!ready.value) return null;
  if (!me.value || where === '/signin') return <SignInScreen />;
  for (const [pattern, Part] of ROUTES) {
    const values = match(pattern, where);
    if (values) return <Part key={keyOf(pattern, values)} {...values} />;
  }
  return (
    <Screen title={t('lost.title')} at="">
      <h1>{t('lost.title')}</h1>
      <p>{t('lost.says')}</p>
    </Screen>
  );
}
