// One arrival: who came, how, in what state, at what weight. Kept after every field; a fault speaks at its own field.
import { useEffect, useState } from 'preact/hooks';
import { call, Refusal } from '../api/client';
import type { AnimalSummary, Catalogue, HomePage, HomeSummary, Sign, Verdict } from '../api/types';
import { useFetched } from '../app/fetched';
import { BackHead, Caution, Screen, Tag, Waiting } from '../app/shell';
import { catalogue, offline, reaching, wordsFor } from '../app/state';
import { answer, changeFinding, findingsIn, regionsOf, signsOf, toggleSign } from '../check/draft';
import { Choices } from '../check/region';
import { LevelWord } from '../marks/marks';
import { Portrait } from '../portrait/portrait';
import { recall, remember } from '../store/db';
import { grams } from '../text/format';
import { uuid7 } from '../text/ids';
import { acceptedGrams, readGrams, readingsAgree } from '../text/reading';
import { type Key, t, tOf } from '../text/t';
import { readChip } from './chip';
import { type ArrivalDraft, bodyOf, emptyArrival, type Faults, faultsOf, nextOf } from './form';

const KINDS = ['surrender', 'stray', 'seizure', 'transfer', 'born_here', 'boarding'];
const SEXES = ['female', 'male', 'unknown'];
const STAGES = ['young', 'adult', 'senior', 'unknown'];
const PRECISIONS = ['day', 'month', 'year', 'guess'];

interface Done {
  animal: AnimalSummary;
  verdict: Verdict | null;
  alerts: { id: string; kind: string; level: AnimalSummary['level'] }[];
}

/** Now, as a field for date and time wants it. */
function localNow(): string {
  const at = new Date();
  return new Date(at.getTime() - at.getTimezoneOffset() * 60_000).toISOString().slice(0, 16);
}

export function ArrivalScreen() {
  const homes = useFetched<{ homes: HomeSummary[] }>('/homes', true);
  const [draft, setDraft] = useState<ArrivalDraft | null>(null);
  const [faults, setFaults] = useState<Faults>({});
  const [says, setSays] = useState<string | null>(null);
  const [done, setDone] = useState<{ saved: Done; draft: ArrivalDraft } | null>(null);
  const [busy, setBusy] = useState(false);
  const home = useFetched<HomePage>(draft?.home ? `/homes/${draft.home}` : null, true);
  const signs = catalogue.value;

  useEffect(() => {
    void recall<ArrivalDraft>('arrival').then((found) => setDraft(found?.value ?? emptyArrival(uuid7, localNow())));
  }, []);
  if (!draft || !signs) {
    return (
      <Screen title={t('arrival.title')} at="/arrivals">
        <Waiting />
      </Screen>
    );
  }
  const save = (change: Partial<ArrivalDraft>) => {
    const next = { ...draft, ...change };
    setDraft(next);
    void remember('arrival', next);
    const cleared = Object.keys(change).flatMap((key) => [`/${key}`, `/animal/${key}`]);
    setFaults((before) => Object.fromEntries(Object.entries(before).filter(([pointer]) => !cleared.includes(pointer))));
  };
  const regions = regionsOf(signs, draft.species);
  const scales = home.value?.scales ?? [];
  const scale = scales.find((each) => each.id === draft.scale);
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    const found = faultsOf(draft, signs, (key) => t(`arrival.fault_${key}` as Key));
    if (found['/baseline/answers'])
      found['/baseline/answers'] = t('say.still_open', {
        regions: found['/baseline/answers'],
        n: found['/baseline/answers'].split(', ').length,
      });
    setFaults(found);
    setSays(Object.keys(found).length > 0 ? t('arrival.faults', { n: Object.keys(found).length }) : null);
    if (Object.keys(found).length > 0) {
      requestAnimationFrame(() => document.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus());
      return;
    }
    setBusy(true);
    try {
      const reply = await reaching(() =>
        call<Done>(`/arrivals/${draft.id}`, { method: 'PUT', body: bodyOf(draft, new Date(draft.at)) }),
      );
      setDone({ saved: reply.body, draft });
      const fresh = nextOf(draft, uuid7);
      setDraft(fresh);
      void remember('arrival', fresh);
      scrollTo(0, 0);
    } catch (error) {
      if (error instanceof Refusal && error.problem.errors) {
        setFaults(
          Object.fromEntries(
            error.problem.errors.map((each) => [each.pointer, [each.detail, each.hint].filter(Boolean).join('. ')]),
          ),
        );
        setSays(t('arrival.faults', { n: error.problem.errors.length }));
      } else setSays(wordsFor(error));
    } finally {
      setBusy(false);
    }
  };
  const startOver = () => {
    const fresh = emptyArrival(uuid7, localNow());
    setDraft(fresh);
    setFaults({});
    setSays(null);
    void remember('arrival', fresh);
  };

  const fault = (pointer: string) => faults[pointer] ?? null;
  return (
    <Screen title={t('arrival.title')} at="/arrivals" wide class="arrival">
      <BackHead to="/more" />
      <h1>{t('arrival.title')}</h1>
      <p class="soft">{t('arrival.says')}</p>
      {done && <Saved done={done.saved} />}
      <form onSubmit={submit} noValidate>
        <section aria-labelledby="arrival-how">
          <h2 id="arrival-how">{t('arrival.how')}</h2>
          <div class="arrival-grid">
            <Select
              id="kind"
              label={t('arrival.kind')}
              value={draft.kind}
              values={KINDS}
              word={(kind) => tOf('arrival_kind', kind)}
              onPick={(kind) => save({ kind })}
            />
            <Text
              id="at"
              type="datetime-local"
              label={t('arrival.at')}
              value={draft.at}
              fault={fault('/at')}
              onType={(at) => save({ at })}
            />
            <Text
              id="from"
              label={t('arrival.from')}
              hint={t('arrival.from_hint')}
              value={draft.from}
              fault={fault('/from')}
              onType={(from) => save({ from })}
            />
            <Text
              id="note"
              label={t('arrival.note')}
              value={draft.note}
              fault={fault('/note')}
              onType={(note) => save({ note })}
            />
          </div>
        </section>
        <section aria-labelledby="arrival-who">
          <h2 id="arrival-who">{t('arrival.who')}</h2>
          <div class="arrival-who">
            <Portrait species={draft.species} coat={draft.coat || null} markings={draft.markings || null} size="page" />
            <div class="arrival-grid">
              <Text
                id="name"
                label={t('arrival.name')}
                value={draft.name}
                fault={fault('/animal/name')}
                onType={(name) => save({ name })}
              />
              <Select
                id="species"
                label={t('arrival.species')}
                value={draft.species}
                values={signs.species.map((each) => each.code)}
                word={(code) => tOf('species', code)}
                onPick={(species) => save({ species, answers: {}, findings: [] })}
              />
              <Select
                id="sex"
                label={t('arrival.sex')}
                value={draft.sex}
                values={SEXES}
                word={(sex) => tOf('sex_long', sex)}
                onPick={(sex) => save({ sex })}
              />
              <Select
                id="neutered"
                label={t('arrival.neutered')}
                value={draft.neutered}
                values={['', 'yes', 'no'] as const}
                word={(value) => tOf('yes_no', value || 'unknown')}
                onPick={(neutered) => save({ neutered: neutered as ArrivalDraft['neutered'] })}
              />
              <Text
                id="birth"
                type="date"
                label={t('arrival.birth')}
                value={draft.birth}
                fault={fault('/animal/birth')}
                onType={(birth) => save({ birth })}
              />
              {draft.birth ? (
                <Select
                  id="precision"
                  label={t('arrival.precision')}
                  value={draft.birth_precision}
                  values={PRECISIONS}
                  word={(each) => tOf('precision', each)}
                  onPick={(birth_precision) => save({ birth_precision })}
                />
              ) : (
                <Select
                  id="stage"
                  label={t('arrival.stage')}
                  value={draft.stage}
                  values={STAGES}
                  word={(stage) => tOf('stage', stage)}
                  onPick={(stage) => save({ stage })}
                />
              )}
              <Text
                id="coat"
                label={t('arrival.coat')}
                value={draft.coat}
                fault={fault('/animal/coat')}
                onType={(coat) => save({ coat })}
              />
              <Text
                id="markings"
                label={t('arrival.markings')}
                value={draft.markings}
                fault={fault('/animal/markings')}
                onType={(markings) => save({ markings })}
              />
              <Text
                id="chip"
                label={t('arrival.chip')}
                hint={readChip(draft.chip).is === 'older' ? t('arrival.chip_older') : t('arrival.chip_hint')}
                value={draft.chip}
                fault={fault('/animal/chip')}
                onType={(chip) => save({ chip })}
                onLeave={() => {
                  const chip = readChip(draft.chip);
                  if (chip.is === 'wrong')
                    setFaults((before) => ({ ...before, '/animal/chip': t(`arrival.fault_chip_${chip.why}` as Key) }));
                }}
              />
              <Text
                id="animal-note"
                label={t('arrival.animal_note')}
                value={draft.animal_note}
                fault={fault('/animal/note')}
                onType={(animal_note) => save({ animal_note })}
              />
            </div>
          </div>
        </section>
        <section aria-labelledby="arrival-where">
          <h2 id="arrival-where">{t('arrival.where')}</h2>
          <div class="arrival-grid">
            <Select
              id="home"
              label={t('arrival.home')}
              value={draft.home}
              fault={fault('/home')}
              values={['', ...(homes.value?.homes ?? []).map((each) => each.id)]}
              word={(id) => homes.value?.homes.find((each) => each.id === id)?.name ?? t('arrival.choose')}
              onPick={(id) => save({ home: id, pen: '', scale: '' })}
            />
            <Select
              id="pen"
              label={t('arrival.pen')}
              value={draft.pen}
              fault={fault('/pen')}
              values={['', ...(home.value?.pens ?? []).flatMap((pen) => (pen.id ? [pen.id] : []))]}
              word={(id) => home.value?.pens.find((pen) => pen.id === id)?.name ?? t('today.no_pen')}
              onPick={(pen) => save({ pen })}
            />
          </div>
        </section>
        <section aria-labelledby="arrival-check">
          <h2 id="arrival-check">{t('arrival.baseline')}</h2>
          <p class="second soft">{t('arrival.baseline_says')}</p>
          <ul class="arrival-regions">
            {regions.map((region) => (
              <Region key={region.code} code={region.code} name={region.name} draft={draft} signs={signs} save={save} />
            ))}
          </ul>
          {fault('/baseline/answers') && (
            <p class="say" role="alert">
              {fault('/baseline/answers')}
            </p>
          )}
          <button
            type="button"
            onClick={() =>
              save({
                answers: {
                  ...Object.fromEntries(regions.map(({ code }) => [code, 'as_usual' as const])),
                  ...draft.answers,
                },
              })
            }
          >
            {t('check.rest')}
          </button>
        </section>
        <section aria-labelledby="arrival-weight">
          <h2 id="arrival-weight">{t('arrival.weight')}</h2>
          <div class="arrival-grid">
            <Select
              id="scale"
              label={t('arrival.scale')}
              value={draft.scale}
              fault={fault('/baseline/weighing/scale')}
              values={['', ...scales.map((each) => each.id)]}
              word={(id) => scales.find((each) => each.id === id)?.name ?? t('arrival.choose')}
              onPick={(id) => save({ scale: id })}
            />
            {draft.readings.map((reading, at) => (
              <Text
                // biome-ignore lint/suspicious/noArrayIndexKey: first, second, third
                key={at}
                id={`reading-${at}`}
                label={t('arrival.reading', { n: at + 1 })}
                inputMode="decimal"
                value={reading}
                fault={fault(`/baseline/weighing/readings/${at}`)}
                onType={(typed) => {
                  const readings: ArrivalDraft['readings'] = [...draft.readings];
                  readings[at] = typed;
                  save({ readings });
                  setFaults((before) => ({ ...before, [`/baseline/weighing/readings/${at}`]: undefined }));
                }}
              />
            ))}
          </div>
          <Readings draft={draft} step={scale?.step ?? 1} />
          <label class="tick-line">
            <input
              type="checkbox"
              checked={draft.zeroed}
              onChange={(event) => save({ zeroed: event.currentTarget.checked })}
            />{' '}
            {t('arrival.zeroed')}
          </label>
        </section>
        <p class="say" role="alert">
          {says}
        </p>
        {offline.value && <p class="second">{t('arrival.offline')}</p>}
        <div class="arrival-end">
          <button type="submit" class="filled" disabled={busy}>
            {t('arrival.save', { name: draft.name.trim() || t('arrival.the_animal') })}
          </button>
          <button type="button" onClick={startOver}>
            {t('arrival.clear')}
          </button>
        </div>
        <Caution />
      </form>
    </Screen>
  );
}

function Saved({ done }: { done: Done }) {
  const worst = done.verdict?.level ?? null;
  return (
    <div class="slip" role="status">
      <p>
        <strong class="serif">{done.animal.name}</strong> <Tag tag={done.animal.tag} /> {t('arrival.saved')}{' '}
        {worst && worst !== 'steady' && <LevelWord level={worst} mark />}
      </p>
      {done.alerts.map((alert) => (
        <p key={alert.id}>
          <LevelWord level={alert.level ?? 'watch'} mark /> {tOf('kind', alert.kind)}
        </p>
      ))}
      <a class="button" href={`/animals/${done.animal.id}`}>
        {t('arrival.open', { name: done.animal.name })}
      </a>
    </div>
  );
}

/** What the readings say together: the middle one counts; two that differ ask for a third. */
function Readings({ draft, step }: { draft: ArrivalDraft; step: number }) {
  const read = draft.readings.flatMap((typed) => {
    const reading = readGrams(typed, 0.1);
    return reading.ok ? [reading.grams] : [];
  });
  const [first, second] = read;
  let words = '';
  if (first !== undefined && second === undefined) words = t('arrival.second');
  if (first !== undefined && second !== undefined) {
    words =
      read.length === 2 && !readingsAgree(first, second, step)
        ? t('arrival.third', { grams: grams(Math.abs(first - second), step) })
        : t('arrival.counts', { grams: grams(acceptedGrams(read), step) });
  }
  return (
    <p class="second" aria-live="polite">
      {words}
    </p>
  );
}

function Region(props: {
  code: string;
  name: string;
  draft: ArrivalDraft;
  signs: Catalogue;
  save: (change: Partial<ArrivalDraft>) => void;
}) {
  const { code, draft, signs, save } = props;
  const said = draft.answers[code] ?? null;
  const offered = signsOf(signs, draft.species, code);
  const found = findingsIn(draft as never, signs, code);
  const pick = (value: 'as_usual' | 'not_looked_at' | 'findings') => {
    if (value === 'findings') save({ answers: { ...draft.answers, [code]: 'findings' } });
    else {
      const next = answer(draft as never, signs, code, value);
      save({ answers: next.answers, findings: next.findings });
    }
  };
  const tick = (sign: Sign) => {
    const next = toggleSign(draft as never, signs, sign);
    save({ answers: { ...next.answers, [code]: next.answers[code] ?? 'findings' }, findings: next.findings });
  };
  return (
    <li class="arrival-region">
      <strong>{props.name}</strong>
      <Choices
        legend={props.name}
        name={`region-${code}`}
        values={['as_usual', 'findings', 'not_looked_at'] as const}
        word={(value) => tOf('answer', value)}
        value={said}
        onPick={pick}
      />
      {said === 'findings' && (
        <ul class="arrival-signs">
          {offered.map((sign) => {
            const finding = found.find((each) => each.sign === sign.code);
            return (
              <li key={sign.code}>
                <label class="tick-line">
                  <input type="checkbox" checked={finding !== undefined} onChange={() => tick(sign)} /> {sign.words}
                  {finding && <LevelWord level={sign.level} mark />}
                </label>
                {finding && (
                  <Choices
                    legend={t('check.grade')}
                    name={`arrival-grade-${sign.code}`}
                    values={['slight', 'marked'] as const}
                    word={(grade) => tOf('grade', grade)}
                    value={finding.grade}
                    onPick={(grade) => save({ findings: changeFinding(draft as never, sign.code, { grade }).findings })}
                  />
                )}
              </li>
            );
          })}
        </ul>
      )}
    </li>
  );
}

interface FieldProps {
  id: string;
  label: string;
  value: string;
  fault?: string | null;
  hint?: string;
}

function Text(
  props: FieldProps & {
    type?: 'text' | 'date' | 'datetime-local';
    inputMode?: 'decimal';
    onType: (value: string) => void;
    onLeave?: () => void;
  },
) {
  const described = [props.hint ? `${props.id}-hint` : '', props.fault ? `${props.id}-say` : '']
    .filter(Boolean)
    .join(' ');
  return (
    <div class="field">
      <label for={props.id}>{props.label}</label>
      <input
        id={props.id}
        type={(props.type ?? 'text') as 'text'}
        inputMode={props.inputMode}
        autocomplete="off"
        value={props.value}
        aria-invalid={Boolean(props.fault)}
        aria-describedby={described || undefined}
        onInput={(event) => props.onType(event.currentTarget.value)}
        onBlur={props.onLeave}
      />
      {props.hint && (
        <p class="hint" id={`${props.id}-hint`}>
          {props.hint}
        </p>
      )}
      {props.fault && (
        <p class="say" id={`${props.id}-say`} role="alert">
          {props.fault}
        </p>
      )}
    </div>
  );
}

function Select(
  props: FieldProps & { values: readonly string[]; word: (value: string) => string; onPick: (value: string) => void },
) {
  return (
    <div class="field">
      <label for={props.id}>{props.label}</label>
      <select
        id={props.id}
        value={props.value}
        aria-invalid={Boolean(props.fault)}
        aria-describedby={props.fault ? `${props.id}-say` : undefined}
        onChange={(event) => props.onPick(event.currentTarget.value)}
      >
        {props.values.map((value) => (
          <option key={value} value={value} selected={value === props.value}>
            {props.word(value)}
          </option>
        ))}
      </select>
      {props.fault && (
        <p class="say" id={`${props.id}-say`} role="alert">
          {props.fault}
        </p>
      )}
    </div>
  );
}
