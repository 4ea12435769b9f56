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

/** A screen of its own file, fetched when first opened and then there at once. */
function later(load: () => Promise<Loaded>): ComponentType<Values> {
  let loaded: Loaded | null = null;
  return function Later(values: Values) {
    const [, again] = useState(0);
    const [failed, setFailed] = useState(false);
    useEffect(() => {
      if (loaded) return;
      Promise.all([load(), deskLook()]).then(
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

const Desk = later(() => import('../desk/desk').then((part) => part.DeskScreen as Loaded));
const Animal = later(() => import('../animal/animal').then((part) => part.AnimalScreen as Loaded));
const Animals = later(() => import('../animal/animals').then((part) => part.AnimalsScreen as Loaded));
const Homes = later(() => import('../home/homes').then((part) => part.HomesScreen as Loaded));
const Home = later(() => import('../home/home').then((part) => part.HomeScreen as Loaded));
const Arrivals = later(() => import('../arrival/arrival').then((part) => part.ArrivalScreen as Loaded));
const Scales = later(() => import('../scale/scales').then((part) => part.ScalesScreen as Loaded));
const ScaleOne = later(() => import('../scale/scale').then((part) => part.ScaleScreen as Loaded));
const Join = later(() => import('../signin/join').then((part) => part.JoinScreen as Loaded));
const People = later(() => import('../person/people').then((part) => part.PeopleScreen as Loaded));
const More = later(() => import('../person/more').then((part) => part.MoreScreen as Loaded));

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
