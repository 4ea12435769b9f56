import { useEffect, useState } from 'preact/hooks';
import type { CheckKind } from '../api/types';
import { go } from '../app/router';
import { DateHead, Screen, Tag, Waiting } from '../app/shell';
import {
  catalogue,
  isStaff,
  lastKept,
  me,
  mine,
  now,
  offline,
  reached,
  round,
  sent,
  serverRound,
  zone,
} from '../app/state';
import { Sparkline } from '../chart/sparkline';
import { KindMark, LevelMark, LevelWord } from '../marks/marks';
import { Portrait } from '../portrait/portrait';
import { database } from '../store/db';
import { kindWords } from '../text/animals';
import { ago, clock, dayKey, grams, moment, weekday } from '../text/format';
import { t, tOf } from '../text/t';
import { isDue, lateBy, type Stop, stopsOf } from './round';
import { tellOf } from './tell';

const MINUTES_EACH = 2.4; // about what a whole check takes: common practice, no source

function Row({ stop, begun }: { stop: Stop; begun: string | null }) {
  const { animal } = stop;
  const tell = begun
    ? { kind: 'none' as const, words: t('today.begun', { region: begun }), bold: true }
    : tellOf(stop, now.value, catalogue.value);
  const level = animal.level ?? 'steady';
  return (
    <li>
      <a class={`ruled stop ${level === 'emergency' ? 'stop-emergency' : ''}`} href={`/check/${animal.id}`}>
        <span class="on-thread">
          <LevelMark level={level} size={18} />
        </span>
        <Portrait species={animal.species} coat={animal.coat} markings={animal.markings} />
        <span class="stop-who">
          <span class="serif stop-name">{animal.name}</span>
          <span class="second soft">
            {kindWords(animal)} <Tag tag={animal.tag} />
          </span>
          {tell && (
            <span class={`stop-tell ${tell.bold ? 'say' : ''}`}>
              <KindMark kind={tell.kind} />
              <span>{tell.words}</span>
            </span>
          )}
        </span>
        <span class="stop-weight">
          <strong>{animal.last ? grams(animal.last.grams) : t('today.no_weight')}</strong>
          <Sparkline weighings={animal.weighings} level={level} width={80} height={26} />
          <LevelWord level={level} />
        </span>
      </a>
    </li>
  );
}

function DoneRow({ stop }: { stop: Stop }) {
  const { animal } = stop;
  const level = animal.level ?? 'steady';
  const waits = mine.value.some((each) => each.check === animal.last_check?.id);
  const seen = animal.last_check?.findings.length ?? 0;
  return (
    <li>
      <a class="ruled done-row" href={`/animals/${animal.id}`}>
        <span class={`on-thread ${waits ? 'bead' : ''}`}>
          <LevelMark level={level} size={14} />
        </span>
        <span>
          <span class="serif">{animal.name}</span>{' '}
          <span class="soft second">
            {tOf('level', level)} · {seen > 0 ? t('today.signs', { n: seen }) : t('today.as_usual')}
            {waits && ` · ${t('today.kept', { time: clock(animal.last_check?.at ?? '') })}`}
          </span>
        </span>
        <strong>{animal.last ? grams(animal.last.grams) : ''}</strong>
      </a>
    </li>
  );
}

/** Half-done checks of this person, by animal: "at the ears". */
function useBegun(): Map<string, string> {
  const [begun, setBegun] = useState(new Map<string, string>());
  useEffect(() => {
    void database()
      .then((db) => db.getAll('drafts'))
      .then((drafts) =>
        setBegun(
          new Map(
            drafts
              .filter((draft) => draft.person === me.value?.person.id)
              .map((draft) => [
                draft.animal,
                draft.step === 'weight' || draft.step === 'word'
                  ? t('check.the_weight')
                  : (catalogue.value?.regions.find((region) => region.code === draft.step)?.name.toLowerCase() ??
                    draft.step),
              ]),
          ),
        ),
      );
  }, []);
  return begun;
}

function scaleLine(home: Stop['home']): string {
  const scale = home.scales[0];
  if (!scale) return t('today.no_scale');
  if (!scale.last_test) return t('today.scale_untested', { scale: scale.name });
  return t('today.scale_tested', { scale: scale.name, ago: ago(scale.last_test.at, now.value, home.zone) });
}

export function TodayScreen() {
  const begun = useBegun();
  const whole = round.value;
  if (!whole) {
    return (
      <Screen title={t('today.title')} at="/">
        <DateHead />
        <h1>{t('today.title')}</h1>
        {reached.value === false ? <p>{t('today.never_read')}</p> : <Waiting />}
      </Screen>
    );
  }
  const stops = stopsOf(whole);
  const due = stops.filter((stop) => isDue(stop, now.value) || begun.has(stop.animal.id));
  const done = stops.filter((stop) => stop.animal.done_today);
  const next = stops
    .filter((stop) => !due.includes(stop) && !stop.animal.done_today && stop.animal.due_on)
    .sort((a, b) => (a.animal.due_on ?? '').localeCompare(b.animal.due_on ?? ''));
  const total = due.length + done.length;
  const first = due.find((stop) => begun.has(stop.animal.id)) ?? due[0];
  return (
    <Screen
      title={t('today.title')}
      at="/"
      class="today"
      actions={
        first && (
          <button type="button" class="filled" onClick={() => go(`/check/${first.animal.id}`)}>
            {t(begun.has(first.animal.id) ? 'today.go_on' : done.length > 0 ? 'today.next' : 'today.start', {
              name: first.animal.name,
            })}
          </button>
        )
      }
    >
      <DateHead />
      <h1>{t('today.title')}</h1>
      {stops.length === 0 ? (
        <p>{t(whole.homes.length === 0 && isStaff() ? 'today.no_home' : 'today.no_animals')}</p>
      ) : total === 0 || due.length === 0 ? (
        <p>
          {t(done.length > 0 ? 'today.all_done' : 'today.nobody', { n: done.length })}{' '}
          {next[0] && t('today.next_is', { name: next[0].animal.name, day: weekday(next[0].animal.due_on ?? '') })}
        </p>
      ) : (
        <p class="soft second">
          {t('today.to_do', { due: due.length, n: total })}{' '}
          {t('today.minutes', { n: Math.max(1, Math.round(due.length * MINUTES_EACH)) })}
        </p>
      )}
      {lastKept.value && (
        <p class="second" role="status">
          <KeptLine />
        </p>
      )}
      {offline.value && serverRound.value && (
        <p class="second" role="status">
          {mine.value.length > 0 ? t('say.offline_kept', { n: mine.value.length }) : t('say.offline')}{' '}
          {t('today.as_of', { time: moment(serverRound.value.at, now.value) })}
        </p>
      )}
      {total > 0 && (
        <ul class="bars" aria-hidden="true">
          {Array.from({ length: total }, (_, at) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: ticks of a ruler
            <li key={at} class={at < done.length ? 'done' : ''} />
          ))}
        </ul>
      )}
      {whole.homes.map((home) => {
        const here = due.filter((stop) => stop.home.id === home.id);
        if (here.length === 0) return null;
        const pens = [...new Set(here.map((stop) => stop.pen.id))];
        return (
          <section key={home.id} aria-labelledby={`home-${home.id}`}>
            <h2 id={`home-${home.id}`}>{home.name}</h2>
            <p class="second soft">
              {home.cover && `${t('today.cover')} · `}
              {home.scales[0] ? (
                <a class="quiet" href={`/scales/${home.scales[0].id}`}>
                  {scaleLine(home)}
                </a>
              ) : (
                scaleLine(home)
              )}
            </p>
            {pens.map((pen) => {
              const inPen = here.filter((stop) => stop.pen.id === pen);
              return (
                <div key={pen ?? 'none'} class="pen">
                  <h3 class="second soft">{inPen[0]?.pen.name ?? t('today.no_pen')}</h3>
                  <ul>
                    {inPen.map((stop) => (
                      <Row key={stop.animal.id} stop={stop} begun={begun.get(stop.animal.id) ?? null} />
                    ))}
                  </ul>
                </div>
              );
            })}
          </section>
        );
      })}
      {done.length > 0 && (
        <section aria-labelledby="done">
          <h2 id="done">{t('today.done')}</h2>
          <p class="second soft">{t('today.done_n', { n: done.length })}</p>
          <ul class="done-list">
            {done.map((stop) => (
              <DoneRow key={stop.animal.id} stop={stop} />
            ))}
          </ul>
        </section>
      )}
      {next.length > 0 && (
        <section aria-labelledby="coming">
          <h2 id="coming">{t('today.coming')}</h2>
          <ul class="done-list">
            {next.map((stop) => (
              <li key={stop.animal.id}>
                <a class="ruled done-row" href={`/animals/${stop.animal.id}`}>
                  <span class="on-thread">
                    <LevelMark level={stop.animal.level ?? 'steady'} size={14} />
                  </span>
                  <span>
                    <span class="serif">{stop.animal.name}</span>{' '}
                    <span class="soft second">{tOf('level', stop.animal.level ?? 'steady')}</span>
                  </span>
                  <span class="second">{whenDue(stop)}</span>
                </a>
              </li>
            ))}
          </ul>
        </section>
      )}
      <p class="caution">{t('say.caution')}</p>
    </Screen>
  );
}

/** Two words only: kept, once this device has it; sent, once the network has. */
function KeptLine() {
  const kept = lastKept.value;
  if (!kept) return null;
  const gone = sent.value.find((each) => each.check === kept.check);
  return (
    <>
      <strong>{kept.name}:</strong>{' '}
      {gone
        ? t('today.was_sent', { time: clock(gone.sent_at, zone()) })
        : t('today.was_kept', { time: clock(kept.at, zone()) })}
    </>
  );
}

function whenDue(stop: Stop): string {
  const late = lateBy(stop.animal, dayKey(now.value, stop.home.zone)) ?? 0;
  if (late === -1) return t('time.tomorrow');
  return late > -7 ? weekday(stop.animal.due_on ?? '') : t('time.in_days', { n: -late });
}

/** What kind of check an animal gets when its row is opened. */
export function kindFor(stop: Stop): CheckKind {
  return stop.animal.done_today ? 'extra' : 'weekly';
}
