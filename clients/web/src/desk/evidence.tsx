// One alert with all that a decision needs, and the buttons that make it.
import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { Matrix } from '../animal/matrix';
import { call, Refusal } from '../api/client';
import type { Alert, AlertPage, AlertStep, Step } from '../api/types';
import { BackHead, Caution, Tag, Waiting } from '../app/shell';
import { catalogue, isCoordinator, now, offline, reaching, wordsFor, zone } from '../app/state';
import { WeightChart } from '../chart/chart';
import { SparkNumbers } from '../chart/sparkline';
import { KindMark, LevelMark, LevelWord } from '../marks/marks';
import { Portrait } from '../portrait/portrait';
import { kindAndAge } from '../text/animals';
import { ago, day, grams, moment } from '../text/format';
import { uuid7 } from '../text/ids';
import { Says } from '../text/says';
import { t, tOf } from '../text/t';
import { signWords, whoOf } from './desk';
import { StepForm, type StepInput } from './step';
import { alertSentence } from './why';

interface Loaded {
  page: AlertPage;
  etag: string;
}

const LETTERS: Record<string, Step> = {
  t: 'taken',
  v: 'vet_booked',
  a: 'reweigh_asked',
  w: 'watching',
  n: 'note',
  s: 'settled',
};

export function Evidence({
  id,
  known,
  onDone,
}: {
  id: string;
  known: Alert | null;
  onDone: (alert: Alert, moveOn: boolean) => Promise<void>;
}) {
  const [loaded, setLoaded] = useState<Loaded | null>(null);
  const [says, setSays] = useState<string | null>(null);
  const [form, setForm] = useState<Step | null>(null);
  const [clash, setClash] = useState<{ input: StepInput; theirs: AlertStep[] } | null>(null);
  const [busy, setBusy] = useState(false);
  const [all, setAll] = useState(false);
  const box = useRef<HTMLElement>(null);

  const load = async (): Promise<Loaded | null> => {
    try {
      const reply = await reaching(() => call<AlertPage>(`/alerts/${id}`));
      const next = { page: reply.body, etag: reply.etag ?? `"${reply.body.alert.version}"` };
      setLoaded(next);
      setSays(null);
      return next;
    } catch (error) {
      setSays(wordsFor(error));
      return null;
    }
  };
  // biome-ignore lint/correctness/useExhaustiveDependencies: the key of the element is the alert
  useEffect(() => {
    void load();
  }, []);

  const alert = loaded?.page.alert ?? known;
  const send = async (input: StepInput, etag = loaded?.etag) => {
    if (!etag || !loaded || busy) return;
    setBusy(true);
    try {
      const reply = await reaching(() =>
        call<{ alert: Alert; step: AlertStep }>(`/alerts/${id}/steps`, {
          method: 'POST',
          ifMatch: etag,
          body: { id: uuid7(), ...input },
        }),
      );
      setForm(null);
      setClash(null);
      await load();
      await onDone({ ...loaded.page.alert, ...reply.body.alert }, input.step === 'taken' || input.step === 'settled');
    } catch (error) {
      if (error instanceof Refusal && error.status === 412) {
        const before = new Set(loaded.page.steps.map((step) => step.id));
        const next = await load();
        setClash({ input, theirs: (next?.page.steps ?? []).filter((step) => !before.has(step.id)) });
      } else setSays(wordsFor(error));
    } finally {
      setBusy(false);
    }
  };
  const press = (step: Step) => {
    if (step === 'taken') void send({ step });
    else setForm(step);
  };

  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey || form || clash || !isCoordinator()) return;
      if ((event.target as Element | null)?.closest('input, textarea, select')) return;
      const step = LETTERS[event.key.toLowerCase()];
      if (!step || !alert || alert.state === 'settled' || (step === 'taken' && alert.state === 'in_hand')) return;
      event.preventDefault();
      press(step);
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  });

  if (!alert) {
    return (
      <section class="evidence" ref={box} aria-label={t('desk.evidence')}>
        <div class="evidence-body">
          <div class="evidence-back">
            <BackHead to="/desk" />
          </div>
          {says !== null ? <p role="alert">{says}</p> : <Waiting />}
        </div>
      </section>
    );
  }
  const booked = loaded?.page.steps.some((each) => each.step === 'vet_booked') ?? false;
  const actions = actionsFor(alert.state, booked);
  return (
    <section class="evidence" ref={box} aria-label={t('desk.evidence_of', { name: whoOf(alert) })}>
      <div class="evidence-body">
        <div class="evidence-back">
          <BackHead to="/desk" />
        </div>
        <Head alert={alert} />
        {says !== null && <p role="alert">{says}</p>}
        <p class="lead evidence-why">
          <Says text={alertSentence(alert, signWords, now.value)} />
        </p>
        {alert.late && (
          <p class="second soft">
            {t('desk.late_sent', {
              seen: moment(alert.opened_at, now.value, zone()),
              sent: moment(alert.recorded_at, now.value, zone()),
            })}
          </p>
        )}
        {loaded ? <Body {...loaded.page} /> : <Waiting />}
        <Caution />
      </div>
      {isCoordinator() && (
        <div class="evidence-bar">
          {clash ? (
            <Clash clash={clash} busy={busy} onMine={() => void send(clash.input)} onTheirs={() => setClash(null)} />
          ) : form ? (
            <StepForm step={form} busy={busy} onSend={(input) => void send(input)} onBack={() => setForm(null)} />
          ) : (
            <div class={`evidence-actions ${all ? 'evidence-all' : ''}`}>
              {actions.map((step, at) => (
                <button
                  key={step}
                  type="button"
                  class={at === 0 ? 'filled' : 'evidence-other'}
                  disabled={!loaded || busy || offline.value}
                  onClick={() => press(step)}
                >
                  {tOf('act', step)}
                  <Letter step={step} />
                </button>
              ))}
              <button type="button" class="evidence-more" aria-expanded={all} onClick={() => setAll(!all)}>
                {t(all ? 'desk.fewer_steps' : 'desk.more_steps')}
              </button>
              {offline.value && <p class="second">{t('desk.when_back')}</p>}
            </div>
          )}
        </div>
      )}
    </section>
  );
}

/** The one that is most likely next comes first and is the filled button. */
function actionsFor(state: Alert['state'], booked: boolean): Step[] {
  if (state === 'settled') return ['reopened', 'note'];
  const next: Step[] = state === 'waiting' ? ['taken', 'vet_booked'] : [booked ? 'vet_seen' : 'vet_booked'];
  return [...next, 'reweigh_asked', 'watching', 'note', 'settled'];
}

function Letter({ step }: { step: Step }) {
  const letter = Object.keys(LETTERS).find((each) => LETTERS[each] === step);
  return letter ? <kbd aria-hidden="true">{letter.toUpperCase()}</kbd> : null;
}

function Head({ alert }: { alert: Alert }) {
  const { animal } = alert;
  const link = animal
    ? `/animals/${animal.id}`
    : alert.kind === 'scale' && alert.scale
      ? `/scales/${alert.scale.id}`
      : alert.home
        ? `/homes/${alert.home.id}`
        : null;
  const Heading = wide() ? 'h2' : 'h1';
  return (
    <div class="evidence-head">
      {animal && (
        <Portrait species={animal.species} coat={animal.coat ?? null} markings={animal.markings ?? null} size="page" />
      )}
      <div>
        <Heading class="evidence-name" data-heading>
          {link ? <a href={link}>{whoOf(alert)}</a> : whoOf(alert)}
        </Heading>
        <p class="second soft">
          {animal && (
            <>
              {kindAndAge({ ...animal, birth: animal.birth ?? null, stage: animal.stage ?? null }, now.value)} ·{' '}
              <Tag tag={animal.tag} /> ·{' '}
            </>
          )}
          {alert.home && (
            <a class="quiet" href={`/homes/${alert.home.id}`}>
              {alert.home.name}
            </a>
          )}
          {animal?.pen_name && `, ${animal.pen_name}`}
        </p>
      </div>
      <div class="evidence-level">
        <LevelWord level={alert.level} size={24} mark />
        <span class="second">
          <KindMark kind={alert.kind} /> {tOf('kind', alert.kind)}
          {alert.was_level && <span class="soft"> · {t('desk.was', { level: tOf('level', alert.was_level) })}</span>}
        </span>
      </div>
    </div>
  );
}

/** Beside the list the name is the second heading and its parts the third; alone on a phone they are first and second. */
function wide(): boolean {
  return matchMedia('(min-width: 900px)').matches;
}

function Sub({ children }: { children: ComponentChildren }) {
  const Heading = wide() ? 'h3' : 'h2';
  return <Heading class="evidence-sub">{children}</Heading>;
}

function Body(page: AlertPage) {
  const { alert, series, checks = [], mates = [], earlier = [] } = page;
  const signs = catalogue.value;
  const name = whoOf(alert);
  const group = signs?.groups?.find((each) => each.code === alert.sign_group);
  return (
    <>
      {group?.caution && (
        <p>
          <strong>{t('desk.usual_caution')}</strong> {group.caution}
        </p>
      )}
      {alert.animal && series.length > 0 && (
        <WeightChart
          name={name}
          weighings={series}
          now={now.value}
          level={series.at(-1)?.level ?? alert.level}
          young={alert.animal.stage === 'young'}
        />
      )}
      <div class="evidence-columns">
        <div>
          {alert.animal && signs && checks.length > 0 && (
            <>
              <Sub>{t('desk.findings', { n: 12 })}</Sub>
              <Matrix
                name={name}
                checks={checks}
                catalogue={signs}
                species={alert.animal.species}
                weeks={12}
                now={now.value}
              />
            </>
          )}
          {!alert.animal && page.evidence.length > 0 && (
            <>
              <Sub>{t('desk.seen_in')}</Sub>
              <ul class="lines">
                {page.evidence.slice(0, 12).map((each) => (
                  <li key={`${each.check}${each.at}`}>
                    {each.animal && <a href={`/animals/${each.animal.id}`}>{each.animal.name}</a>}{' '}
                    {(each.signs ?? []).map(signWords).join(', ')}{' '}
                    <span class="soft second">{day(each.at, now.value, zone())}</span>
                  </li>
                ))}
              </ul>
            </>
          )}
        </div>
        <div>
          {mates.length > 0 && (
            <>
              <Sub>{t('desk.mates')}</Sub>
              <ul class="mates">
                {mates.map((mate) => (
                  <li key={mate.id}>
                    <a class="serif quiet" href={`/animals/${mate.id}`}>
                      {mate.name}
                    </a>{' '}
                    {mate.grams !== null && grams(mate.grams)}
                    {mate.spark && mate.spark.length > 2 && (
                      <SparkNumbers numbers={mate.spark} level={mate.level ?? 'steady'} width={120} />
                    )}
                  </li>
                ))}
              </ul>
            </>
          )}
          <ScaleState test={page.last_test ?? null} />
          <Sub>{t('desk.course')}</Sub>
          <Course page={page} />
          {earlier.length > 0 && (
            <>
              <Sub>{t('desk.earlier')}</Sub>
              <ul class="lines">
                {earlier.map((each) => (
                  <li key={each.id}>
                    <strong>
                      {day(each.opened_at, now.value, zone())}, {tOf('kind', each.kind)}
                    </strong>{' '}
                    {each.outcome && tOf('outcome', each.outcome)}
                  </li>
                ))}
              </ul>
            </>
          )}
        </div>
      </div>
    </>
  );
}

function ScaleState({ test }: { test: AlertPage['last_test'] | null }) {
  if (!test) return null;
  return (
    <p class="second evidence-scale">
      <KindMark kind="scale" />{' '}
      {test.at === null
        ? t('desk.scale_never', { scale: test.name })
        : t(test.passed ? 'desk.scale_passed' : 'desk.scale_failed', {
            scale: test.name,
            ago: ago(test.at, now.value, zone()),
          })}
    </p>
  );
}

/** What was seen and what was done about it, newest first, on the thread. */
function Course({ page }: { page: AlertPage }) {
  const entries = [
    ...page.evidence.map((each) => ({ key: `e${each.check}${each.at}`, at: each.at, each, step: null })),
    ...page.steps.map((step) => ({ key: step.id, at: step.at, each: null, step })),
  ].sort((a, b) => b.at.localeCompare(a.at));
  return (
    <ol class="course">
      {entries.slice(0, 24).map(({ key, at, each, step }) => (
        <li key={key}>
          <span class="course-mark">{each ? <LevelMark level={each.level} title /> : <i />}</span>
          <span>
            {each && (
              <>
                <strong>
                  {each.signs && each.signs.length > 0
                    ? each.signs.map(signWords).join(', ')
                    : each.grams
                      ? t('desk.weighed', { grams: grams(each.grams), kind: tOf('kind', each.kind) })
                      : tOf('kind', each.kind)}
                </strong>{' '}
                {each.person && <span class="soft">{each.person.name.split(' ')[0]}</span>}
              </>
            )}
            {step && (
              <>
                <strong>{tOf('step', step.step)}</strong> {step.outcome && `${tOf('outcome', step.outcome)} `}
                {step.due_at && `${t('desk.due', { day: moment(step.due_at, now.value, zone()) })} `}
                {step.note && `“${step.note}” `}
                {step.person && <span class="soft">{step.person.name.split(' ')[0]}</span>}
              </>
            )}
          </span>
          <span class="soft small">{moment(at, now.value, zone())}</span>
        </li>
      ))}
    </ol>
  );
}

/** Two people decided at once: theirs and mine side by side. */
function Clash(props: {
  clash: { input: StepInput; theirs: AlertStep[] };
  busy: boolean;
  onMine: () => void;
  onTheirs: () => void;
}) {
  const last = props.clash.theirs[0];
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  return (
    <div class="slip" role="alert">
      <h3 ref={heading} tabIndex={-1}>
        {last
          ? t('desk.clash', {
              name: last.person?.name.split(' ')[0] ?? t('desk.somebody'),
              time: moment(last.at, now.value, zone()),
            })
          : t('desk.clash_any')}
      </h3>
      <dl class="clash">
        <div>
          <dt class="second soft">{t('desk.theirs')}</dt>
          {props.clash.theirs.map((step) => (
            <dd key={step.id}>
              <strong>{tOf('step', step.step)}</strong> {step.outcome && tOf('outcome', step.outcome)} {step.note}
            </dd>
          ))}
        </div>
        <div>
          <dt class="second soft">{t('desk.yours')}</dt>
          <dd>
            <strong>{tOf('step', props.clash.input.step)}</strong>{' '}
            {props.clash.input.outcome && tOf('outcome', props.clash.input.outcome)} {props.clash.input.note}
          </dd>
        </div>
      </dl>
      <div class="evidence-actions">
        <button type="button" class="filled" onClick={props.onTheirs}>
          {t('desk.leave_theirs')}
        </button>
        <button type="button" disabled={props.busy} onClick={props.onMine}>
          {t('desk.add_mine')}
        </button>
      </div>
    </div>
  );
}
