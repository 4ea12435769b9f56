// The coordinator's list by urgency and, beside it, what a decision needs. J and K move, letters press the buttons.
import { useEffect, useRef, useState } from 'preact/hooks';
import { get } from '../api/client';
import type { Alert } from '../api/types';
import { go } from '../app/router';
import { DateHead, Screen, Waiting } from '../app/shell';
import { catalogue, me, now, offline, reaching, wordsFor, zone } from '../app/state';
import { SparkNumbers } from '../chart/sparkline';
import { KindMark, LevelMark, LevelWord } from '../marks/marks';
import { recall, remember } from '../store/db';
import { moment, waiting } from '../text/format';
import { type Key, t, tOf } from '../text/t';
import { Evidence } from './evidence';
import { grouped, isLate, lateSentence, nextAfter, sections } from './order';
import { alertSentence } from './why';

interface List {
  alerts: Alert[];
  counts: { waiting: number; in_hand: number };
}

export function signWords(code: string): string {
  return catalogue.value?.signs.find((sign) => sign.code === code)?.words ?? code.replaceAll('_', ' ');
}

export function whoOf(alert: Alert): string {
  return alert.animal?.name ?? (alert.kind === 'scale' ? alert.scale?.name : alert.home?.name) ?? t('desk.somebody');
}

function whereOf(alert: Alert): string {
  if (alert.kind === 'spread') return tOf('sign_group', alert.sign_group);
  if (alert.kind === 'scale') return alert.home?.name ?? '';
  return [alert.home?.name, alert.animal?.pen_name].filter(Boolean).join(', ');
}

function waitWords(alert: Alert): string {
  if (alert.state === 'in_hand') {
    const mine = alert.taken_by?.id === me.value?.person.id;
    return mine ? t('desk.you') : (alert.taken_by?.name.split(' ')[0] ?? '');
  }
  const wait = waiting(alert.raised_at, now.value);
  return isLate(alert, now.value) ? t('desk.limit', { wait, n: alert.limit_hours ?? 0 }) : wait;
}

function Row({ alert, chosen }: { alert: Alert; chosen: boolean }) {
  return (
    <li class={chosen ? 'desk-chosen' : ''}>
      <a
        class={`ruled desk-row ${alert.level === 'emergency' ? 'stop-emergency' : ''}`}
        href={`/desk/${alert.id}`}
        aria-current={chosen ? 'true' : undefined}
      >
        <span class="on-thread">
          <LevelMark level={alert.level} size={18} />
        </span>
        <span class="desk-line">
          <span class="serif stop-name">{whoOf(alert)}</span> <LevelWord level={alert.level} />
          {alert.was_level && <span class="soft small">{t('desk.was', { level: tOf('level', alert.was_level) })}</span>}
          <span class="desk-kind second">
            <KindMark kind={alert.kind} /> {tOf('kind', alert.kind)}
          </span>
        </span>
        <span class={`second desk-wait ${isLate(alert, now.value) ? 'say' : 'soft'}`}>{waitWords(alert)}</span>
        <span class="second desk-why">
          {alertSentence(alert, signWords, now.value, true)}
          <span class="soft small">{whereOf(alert)}</span>
        </span>
        {alert.spark.length > 2 && <SparkNumbers numbers={alert.spark} level={alert.level} />}
      </a>
    </li>
  );
}

const BY = ['all', 'home', 'kind', 'level'] as const;
const EVERY = 60_000;

export function DeskScreen({ alert: chosen }: { alert?: string }) {
  const [list, setList] = useState<{ at: string; value: List } | null>(null);
  const [fresh, setFresh] = useState<List | null>(null);
  const [says, setSays] = useState<string | null>(null);
  const [by, setBy] = useState<(typeof BY)[number]>('all');
  const shown = useRef<List | null>(null);
  shown.current = list?.value ?? null;

  const load = async (how: 'show' | 'offer') => {
    try {
      const value = await reaching(() => get<List>('/alerts?state=open&limit=200'));
      setSays(null);
      const known = new Set(shown.current?.alerts.map((each) => each.id));
      const news = value.alerts.filter((each) => !known.has(each.id)).length;
      if (how === 'offer' && shown.current && news > 0) setFresh(value);
      else {
        setFresh(null);
        setList({ at: new Date().toISOString(), value });
        await remember('desk', value);
      }
    } catch (error) {
      setSays(wordsFor(error));
    }
  };

  // biome-ignore lint/correctness/useExhaustiveDependencies: loads once, then by the clock
  useEffect(() => {
    void recall<List>('desk').then((found) => {
      if (found && !shown.current) setList({ at: found.at, value: found.value });
    });
    void load('show');
    const timer = setInterval(() => {
      if (document.visibilityState === 'visible') void load('offer');
    }, EVERY);
    return () => clearInterval(timer);
  }, []);

  const alerts = list?.value.alerts ?? [];
  const order = sections(alerts).flatMap((section) => section.alerts);
  const wide = matchMedia('(min-width: 900px)').matches;
  const current = alerts.find((each) => each.id === chosen) ?? null;
  const open = chosen ?? (wide ? order[0]?.id : undefined);

  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (
        event.ctrlKey ||
        event.metaKey ||
        event.altKey ||
        (event.target as Element | null)?.closest('input, textarea, select, dialog')
      )
        return;
      if (event.key !== 'j' && event.key !== 'k') return;
      const at = order.findIndex((each) => each.id === open);
      const next = order[event.key === 'j' ? at + 1 : at - 1];
      if (!next) return;
      event.preventDefault();
      go(`/desk/${next.id}`, chosen ? 'replace' : 'push');
      requestAnimationFrame(() =>
        document.querySelector<HTMLElement>('.desk-row[aria-current]')?.scrollIntoView({ block: 'nearest' }),
      );
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  });

  const onDone = async (done: Alert, moveOn: boolean) => {
    const after = nextAfter(order, done.id);
    await load('show');
    if (moveOn && wide && after) go(`/desk/${after}`, 'replace');
  };

  const count = list?.value.counts.waiting ?? 0;
  const late = lateSentence(alerts, now.value, whoOf);
  const first = order.find((each) => each.state === 'waiting') ?? order[0];
  const title =
    list === null
      ? t('nav.desk')
      : count > 0
        ? t('desk.title', { n: count, count: t('desk.numbers').split(' ')[count] ?? count })
        : t('desk.empty_title');
  return (
    <Screen
      title={title}
      at="/desk"
      plain
      class={`desk ${chosen ? 'desk-one' : ''}`}
      actions={
        !chosen && first ? (
          <button type="button" class="filled desk-open" onClick={() => go(`/desk/${first.id}`)}>
            {t('desk.open', { name: whoOf(first) })}
          </button>
        ) : undefined
      }
    >
      <div class="page desk-list">
        <div class="desk-date">
          <DateHead />
        </div>
        <h1>{title}</h1>
        {late && <p>{late}</p>}
        {says !== null && <p role="alert">{says}</p>}
        {offline.value && list && (
          <p class="second">{t('today.as_of', { time: moment(list.at, now.value, zone()) })}</p>
        )}
        {fresh && (
          <button
            type="button"
            onClick={() => {
              setList({ at: new Date().toISOString(), value: fresh });
              setFresh(null);
            }}
          >
            {t('desk.new', { n: fresh.alerts.filter((each) => !alerts.some((old) => old.id === each.id)).length })}
          </button>
        )}
        {alerts.length > 1 && (
          <div class="tabs second" role="group" aria-label={t('desk.by')}>
            {BY.map((each) => (
              <button key={each} type="button" aria-pressed={by === each} onClick={() => setBy(each)}>
                {t(`desk.by_${each}` as Key)}
              </button>
            ))}
          </div>
        )}
        {list === null ? (
          <Waiting />
        ) : alerts.length === 0 ? (
          <p>{t('desk.empty')}</p>
        ) : by === 'all' ? (
          sections(alerts).map((section) => (
            <section key={section.key} aria-labelledby={`desk-${section.key}`}>
              <h2 id={`desk-${section.key}`}>{t(`desk.${section.key}` as Key)}</h2>
              <ul>
                {section.alerts.map((alert) => (
                  <Row key={alert.id} alert={alert} chosen={alert.id === open} />
                ))}
              </ul>
            </section>
          ))
        ) : (
          grouped(alerts, by).map((group) => (
            <section key={group.name} aria-label={group.name}>
              <h2>{group.name}</h2>
              <ul>
                {group.alerts.map((alert) => (
                  <Row key={alert.id} alert={alert} chosen={alert.id === open} />
                ))}
              </ul>
            </section>
          ))
        )}
      </div>
      {open && (wide || chosen) && (
        <Evidence
          key={open}
          id={open}
          known={current ?? order.find((each) => each.id === open) ?? null}
          onDone={onDone}
        />
      )}
    </Screen>
  );
}
