import { useState } from 'preact/hooks';
import type { Alert, AnimalPage, Check, Weighed } from '../api/types';
import { useFetched } from '../app/fetched';
import { go } from '../app/router';
import { BackHead, Caution, Screen, Tag, Waiting } from '../app/shell';
import { catalogue, isCoordinator, isStaff, now, round, zone } from '../app/state';
import { WeightChart } from '../chart/chart';
import { weighedOf } from '../check/outside';
import { LevelWord } from '../marks/marks';
import { Portrait } from '../portrait/portrait';
import { alertReasonShort } from '../text/alerts';
import { kindAndAge } from '../text/animals';
import { day, grams, moment, weekday } from '../text/format';
import { t, tOf } from '../text/t';
import { findStop } from '../today/round';
import { changedSentence } from './changed';
import { Matrix } from './matrix';
import { NewEvent, NewNormal } from './notes';

const SPANS = [
  { key: 'weeks', weeks: (wide: boolean) => (wide ? 26 : 16) },
  { key: 'year', weeks: () => 52 },
  { key: 'life', weeks: () => 520 },
] as const;

export function AnimalScreen({ id }: { id: string }) {
  const page = useFetched<AnimalPage>(`/animals/${id}`, true);
  const history = useFetched<{ checks: Check[] }>(`/animals/${id}/history?limit=104`, true);
  const earlier = useFetched<{ alerts: Alert[] }>(
    isCoordinator() ? `/alerts?state=settled&animal=${id}&limit=20` : null,
  );
  const [span, setSpan] = useState<(typeof SPANS)[number]['key']>('weeks');
  const known = findStop(round.value, id);
  const animal = page.value?.animal ?? known?.animal ?? null;
  const signs = catalogue.value;
  if (!animal) {
    return (
      <Screen title={t('nav.animals')} at="/animals" class="animal-page">
        <BackHead />
        <h1>{t('nav.animals')}</h1>
        {page.says !== null ? <p role="alert">{page.says}</p> : <Waiting />}
      </Screen>
    );
  }
  const checks = history.value?.checks ?? (known?.animal.last_check ? [known.animal.last_check] : []);
  const fromChecks = checks.map((check) => weighedOf(check)).filter((each): each is Weighed => each !== null);
  const weighings = fromChecks.length > 1 ? [...fromChecks].reverse() : (known?.animal.weighings ?? []);
  const events = page.value?.events ?? known?.animal.events ?? [];
  const normals = page.value?.known_normals ?? known?.animal.known_normals ?? [];
  const open = page.value?.open_alerts ?? known?.animal.open_alerts ?? [];
  const wide = innerWidth >= 900;
  const weeks = SPANS.find((each) => each.key === span)?.weeks(wide) ?? 26;
  const here = animal.status === 'here' || animal.status === undefined;
  const words = (code: string) => signs?.signs.find((sign) => sign.code === code)?.words ?? code;
  const again = async () => {
    await Promise.all([page.again(), history.again()]);
  };
  return (
    <Screen
      title={animal.name}
      at="/animals"
      wide
      class="animal-page"
      actions={
        here && (
          <>
            <button type="button" onClick={() => go(`/check/${id}?kind=weigh_only`)}>
              {t('animal.weigh_only')}
            </button>
            <button type="button" class="filled" onClick={() => go(`/check/${id}`)}>
              {t('animal.start_check')}
            </button>
          </>
        )
      }
    >
      <BackHead>{here && <LevelWord level={animal.level ?? 'steady'} size={22} mark />}</BackHead>
      <div class="animal-split">
        <div class="animal-head">
          <Portrait species={animal.species} coat={animal.coat} markings={animal.markings} size="page" />
          <div>
            <h1>{animal.name}</h1>
            <p class="soft">
              {kindAndAge(animal, now.value)}
              <br />
              <Tag tag={animal.tag} /> ·{' '}
              {animal.home ? (
                <a class="quiet" href={`/homes/${animal.home}`}>
                  {animal.home_name}
                </a>
              ) : (
                tOf('status', animal.status)
              )}
              {animal.pen_name && `, ${animal.pen_name}`}
            </p>
          </div>
        </div>
        <p class="lead">{history.value || checks.length > 0 ? changedSentence(checks, signs) : ''}</p>
      </div>
      {page.says !== null && (
        <p class="second" role="status">
          {page.says} {page.at && t('today.as_of', { time: moment(page.at, now.value, zone()) })}
        </p>
      )}
      {weighings.length > 0 ? (
        <WeightChart
          name={animal.name}
          weighings={weighings}
          events={events}
          now={now.value}
          weeks={weeks}
          young={animal.stage === 'young'}
          level={weighings.at(-1)?.level ?? 'steady'}
        />
      ) : history.value ? (
        <p class="soft">{t('animal.no_weights')}</p>
      ) : (
        <Waiting />
      )}
      {weighings.length > 3 && (
        <div class="tabs second" role="group" aria-label={t('animal.span')}>
          {SPANS.map((each) => (
            <button key={each.key} type="button" aria-pressed={span === each.key} onClick={() => setSpan(each.key)}>
              {each.key === 'weeks'
                ? t('animal.span_weeks', { n: each.weeks(wide) })
                : t(each.key === 'year' ? 'animal.span_year' : 'animal.span_life')}
            </button>
          ))}
        </div>
      )}
      <div class="columns">
        <section aria-labelledby="findings">
          <h2 id="findings">{t('animal.findings')}</h2>
          {signs && checks.length > 0 ? (
            <Matrix
              name={animal.name}
              checks={checks}
              catalogue={signs}
              species={animal.species}
              weeks={wide ? 16 : 10}
              now={now.value}
            />
          ) : (
            <p class="soft">{t('say.nothing_here')}</p>
          )}
        </section>
        <div>
          <section aria-labelledby="to-do">
            <h2 id="to-do">{t('animal.to_do')}</h2>
            <ul class="lines">
              {animal.due_on && (
                <li>
                  <strong>{t('animal.next_check')}</strong> {nextWords(animal.due_on)}
                </li>
              )}
              {open.map((alert) => (
                <li key={alert.id}>
                  <LevelWord level={alert.level} mark />{' '}
                  {isCoordinator() ? (
                    <a href={`/desk/${alert.id}`}>{tOf('kind', alert.kind)}</a>
                  ) : (
                    alertReasonShort(alert)
                  )}
                </li>
              ))}
            </ul>
          </section>
          <section aria-labelledby="usual">
            <h2 id="usual">{t('animal.usual', { name: animal.name })}</h2>
            <ul class="lines">
              {normals.map((normal) => (
                <li key={normal.id}>
                  {words(normal.sign)}{' '}
                  <span class="soft second">
                    {t(normal.up_to === 'slight' ? 'animal.when_slight' : 'animal.also_marked')}
                  </span>{' '}
                  <span class="soft second">{normal.vet_confirmed ? t('animal.by_vet') : saidBy(normal.said_by)}</span>
                </li>
              ))}
              {normals.length === 0 && <li class="soft">{t('animal.no_usual')}</li>}
            </ul>
            {here && signs && (
              <NewNormal animal={id} species={animal.species} catalogue={signs} onSaved={() => void again()} />
            )}
          </section>
        </div>
        <div>
          <section aria-labelledby="life">
            <h2 id="life">{t('animal.life')}</h2>
            <ul class="lines">
              {events.map((event) => (
                <li key={`${event.event}${event.from}`}>
                  <strong>{tOf('event', event.event)}</strong> {day(event.from, now.value)}
                  {event.to && event.to !== event.from ? t('animal.until', { day: day(event.to, now.value) }) : ''}
                </li>
              ))}
              {(page.value?.stays ?? []).map((stay) => (
                <li key={`${stay.from}${stay.home_name}`}>
                  {t(stay.to ? 'animal.stayed' : 'animal.stays', {
                    home: stay.home_name ?? (typeof stay.home === 'string' ? t('animal.a_home') : stay.home.name),
                    from: day(stay.from, now.value, zone()),
                    to: stay.to ? day(stay.to, now.value, zone()) : '',
                  })}
                </li>
              ))}
              {page.value?.arrival && (
                <li>
                  {t('animal.came', {
                    day: day(page.value.arrival.at, now.value, zone()),
                    how: tOf('arrival_kind', page.value.arrival.kind),
                  })}
                  {page.value.arrival.from && (
                    <span class="soft second"> {t('animal.from', { from: page.value.arrival.from })}</span>
                  )}
                </li>
              )}
              {page.value?.animal.chip && <li>{t('animal.chip', { chip: page.value.animal.chip })}</li>}
            </ul>
            {here && <NewEvent animal={id} onSaved={() => void again()} />}
          </section>
          {(earlier.value?.alerts.length ?? 0) > 0 && (
            <section aria-labelledby="earlier">
              <h2 id="earlier">{t('desk.earlier')}</h2>
              <ul class="lines">
                {earlier.value?.alerts.map((alert) => (
                  <li key={alert.id}>
                    <a href={`/desk/${alert.id}`}>
                      {day(alert.opened_at, now.value, zone())}, {tOf('kind', alert.kind)}
                    </a>{' '}
                    {alert.outcome && tOf('outcome', alert.outcome)}
                  </li>
                ))}
              </ul>
            </section>
          )}
        </div>
      </div>
      <section aria-labelledby="checks">
        <h2 id="checks">{t('animal.checks')}</h2>
        <ul class="lines">
          {checks.slice(0, 12).map((check) => (
            <li key={check.id}>
              <strong>{moment(check.at, now.value, zone())}</strong> {tOf('check_kind', check.kind)}
              {check.weighing && `, ${grams(check.weighing.grams)}`}
              {check.findings.length > 0 && `: ${check.findings.map((finding) => words(finding.sign)).join('; ')}`}{' '}
              <span class="soft second">
                {check.person?.name.split(' ')[0]}
                {check.late &&
                  check.received_at &&
                  ` · ${t('desk.sent', { time: moment(check.received_at, now.value, zone()) })}`}
              </span>
              {check.note && <p class="second">“{check.note}”</p>}
            </li>
          ))}
        </ul>
      </section>
      <Caution />
      {!isStaff() && page.says !== null && <p class="soft second">{t('animal.as_known')}</p>}
    </Screen>
  );
}

function saidBy(by: AnimalPage['known_normals'][number]['said_by']): string {
  if (!by) return '';
  return typeof by === 'string' ? by : by.name;
}

function nextWords(due: string): string {
  const days = Math.round((Date.parse(due) - Date.parse(now.value.toISOString().slice(0, 10))) / 86_400_000);
  if (days < 0) return t('tell.late', { n: -days });
  if (days === 0) return t('time.today');
  return days < 7 ? weekday(due) : day(due, now.value);
}
