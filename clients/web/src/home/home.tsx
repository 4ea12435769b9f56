// A home: who lives here, what was found where and when beside the network, weights on one measure, the scale.
import { useEffect, useState } from 'preact/hooks';
import { get } from '../api/client';
import type { Alert, Check, HomeFindings, HomePage, ScalePage, Weighed } from '../api/types';
import { levelRank, worstLevel } from '../api/types';
import { useFetched } from '../app/fetched';
import { BackHead, Caution, Screen, Waiting } from '../app/shell';
import { catalogue, isCoordinator, now, reaching, round, wordsFor, zone } from '../app/state';
import { Multiple } from '../chart/sparkline';
import { weighedOf } from '../check/outside';
import { signWords } from '../desk/desk';
import { alertSentence } from '../desk/why';
import { LevelMark, LevelWord } from '../marks/marks';
import { ScaleChart } from '../scale/chart';
import { day, grams, tenths } from '../text/format';
import { Says } from '../text/says';
import { t, tOf } from '../text/t';
import { stopsOf } from '../today/round';
import { AddPen, AddPerson } from './forms';
import { comparable, lookedIn, type TallyRow, tallyOf } from './tally';

export function HomeScreen({ id }: { id: string }) {
  const page = useFetched<HomePage>(`/homes/${id}`, true);
  const findings = useFetched<HomeFindings>(`/homes/${id}/findings?weeks=12`, true);
  const alerts = useFetched<{ alerts: Alert[] }>(`/alerts?state=open&home=${id}`);
  const weights = useWeights(page.value);
  const here = page.value;
  if (!here) {
    return (
      <Screen title={t('nav.homes')} at="/homes">
        <BackHead to="/homes" />
        <h1>{t('nav.homes')}</h1>
        {page.says !== null ? <p role="alert">{page.says}</p> : <Waiting />}
      </Screen>
    );
  }
  const { home, people, pens, scales } = here;
  const animals = pens.flatMap((pen) => pen.animals);
  const open = [...(alerts.value?.alerts ?? [])].sort((a, b) => levelRank(b.level) - levelRank(a.level));
  const told = open.find((alert) => alert.kind === 'spread') ?? open[0] ?? null;
  // Framed is what the server's exact test found, never a guess of the page's own.
  const framed = new Set(
    open
      .filter((alert) => alert.kind === 'spread')
      .flatMap((alert) =>
        alert.signs.map((code) => catalogue.value?.signs.find((sign) => sign.code === code)?.region ?? ''),
      ),
  );
  const worst = worstLevel([...animals.map((animal) => animal.level), ...open.map((alert) => alert.level)]);
  const who = people
    .map((person) =>
      person.to ? t('home.person_until', { name: person.name, day: day(person.to, now.value, zone()) }) : person.name,
    )
    .join(', ');
  return (
    <Screen title={home.name} at="/homes" wide class="home-page">
      <BackHead to="/homes" />
      <div class="home-head">
        <div>
          <h1>{home.name}</h1>
          <p class="soft">
            {tOf('home_kind', home.kind)} · {t('homes.animals', { n: animals.length })} ·{' '}
            {t('home.pens', { n: pens.filter((pen) => pen.id !== null).length })}
            <br />
            {who || t('home.nobody')}
          </p>
        </div>
        <div>
          {told ? (
            <>
              <LevelWord level={told.level} size={22} mark />
              <p class="home-told">
                {told.animal && `${told.animal.name}: `}
                <Says text={alertSentence(told, signWords, now.value)} />
              </p>
              {isCoordinator() && (
                <a class="button" href={`/desk/${told.id}`}>
                  {t('home.open_alert')}
                </a>
              )}
            </>
          ) : (
            <LevelWord level={worst} size={22} mark />
          )}
        </div>
      </div>
      {page.says !== null && <p role="status">{page.says}</p>}
      <section aria-labelledby="tally">
        <h2 id="tally">{t('home.findings')}</h2>
        {findings.value ? (
          <Tally findings={findings.value} framed={framed} />
        ) : findings.says !== null ? (
          <p role="status">{findings.says}</p>
        ) : (
          <Waiting />
        )}
      </section>
      <section aria-labelledby="weights">
        <h2 id="weights">{t('home.weights')}</h2>
        <div class="home-pens">
          {pens.map((pen) => (
            <div key={pen.id ?? 'none'}>
              <h3>{pen.name ?? t('today.no_pen')}</h3>
              {pen.animals.length === 0 && <p class="soft second">{t('home.pen_empty')}</p>}
              <ul>
                {pen.animals.map((animal) => (
                  <li key={animal.id}>
                    <a class="home-animal" href={`/animals/${animal.id}`}>
                      <LevelMark level={animal.level ?? 'steady'} />
                      <span>
                        <span class="serif">{animal.name}</span> <LevelWord level={animal.level ?? 'steady'} />
                      </span>
                      <span>{animal.last ? grams(animal.last.grams) : ''}</span>
                    </a>
                    <Multiple weighings={weights.get(animal.id) ?? []} level={animal.level ?? 'steady'} />
                  </li>
                ))}
              </ul>
            </div>
          ))}
        </div>
        {isCoordinator() && <AddPen home={id} onSaved={() => void page.again()} />}
      </section>
      <div class="columns home-foot">
        <section aria-labelledby="scales">
          <h2 id="scales">{t('nav.scales')}</h2>
          {scales.length === 0 && <p>{t('today.no_scale')}</p>}
          {scales.map((scale) => (
            <ScaleBlock key={scale.id} id={scale.id} name={scale.name} />
          ))}
        </section>
        <section aria-labelledby="rounds">
          <h2 id="rounds">{t('nav.rounds')}</h2>
          <ul class="lines">
            <Rounds animals={animals} />
          </ul>
        </section>
        <section aria-labelledby="people">
          <h2 id="people">{t('nav.people')}</h2>
          <ul class="lines">
            {people.map((person) => (
              <li key={person.id}>
                <strong>{person.name}</strong>{' '}
                <span class="soft second">
                  {person.from && t('home.since', { day: day(person.from, now.value, zone()) })}
                  {person.cover && ` · ${t('home.cover')}`}
                </span>
              </li>
            ))}
            {people.length === 0 && <li>{t('home.nobody')}</li>}
          </ul>
          {isCoordinator() && <AddPerson home={id} onSaved={() => void page.again()} />}
        </section>
      </div>
      <Caution />
    </Screen>
  );
}

function Rounds({ animals }: { animals: HomePage['pens'][number]['animals'] }) {
  const today = now.value.toISOString().slice(0, 10);
  const due = animals.filter((animal) => animal.due_on === today);
  const late = animals.filter((animal) => animal.due_on && animal.due_on < today);
  return (
    <>
      <li>
        <strong>{t('time.today')}</strong>{' '}
        {due.length > 0 ? due.map((animal) => animal.name).join(', ') : t('home.nobody_due')}
      </li>
      {late.length > 0 && (
        <li>
          <strong>{t('home.late')}</strong> {late.map((animal) => animal.name).join(', ')}
        </li>
      )}
    </>
  );
}

/** Series of every animal: from the round when it is known there, else from its history, four at a time. */
function useWeights(page: HomePage | null): Map<string, Weighed[]> {
  const [weights, setWeights] = useState(new Map<string, Weighed[]>());
  const ids = page?.pens.flatMap((pen) => pen.animals.map((animal) => animal.id)) ?? [];
  // biome-ignore lint/correctness/useExhaustiveDependencies: ids names the same animals
  useEffect(() => {
    let current = true;
    const known = new Map(
      round.peek()
        ? stopsOf(round.peek() as NonNullable<typeof round.value>).map((stop) => [
            stop.animal.id,
            stop.animal.weighings,
          ])
        : [],
    );
    const found = new Map<string, Weighed[]>();
    for (const each of ids) {
      const series = known.get(each);
      if (series) found.set(each, series);
    }
    setWeights(new Map(found));
    const rest = ids.filter((each) => !found.has(each));
    const work = async () => {
      for (let next = rest.shift(); next && current; next = rest.shift()) {
        try {
          const { checks } = await reaching(() => get<{ checks: Check[] }>(`/animals/${next}/history?limit=30`));
          const series = checks.map((check) => weighedOf(check)).filter((each): each is Weighed => each !== null);
          found.set(next, series.reverse());
          if (current) setWeights(new Map(found));
        } catch {
          return;
        }
      }
    };
    for (let at = 0; at < 4; at += 1) void work();
    return () => {
      current = false;
    };
  }, [ids.join()]);
  return weights;
}

function ScaleBlock({ id, name }: { id: string; name: string }) {
  const [scale, setScale] = useState<ScalePage | null>(null);
  const [says, setSays] = useState<string | null>(null);
  useEffect(() => {
    reaching(() => get<ScalePage>(`/scales/${id}`)).then(setScale, (error) => setSays(wordsFor(error)));
  }, [id]);
  return (
    <div class="home-scale">
      <h3>
        <a href={`/scales/${id}`}>{name}</a>
      </h3>
      {scale && <ScaleChart scale={scale} />}
      {says !== null && <p class="second">{says}</p>}
    </div>
  );
}

function weeksFor(width: number): number {
  if (width >= 900) return 10;
  return width >= 600 ? 8 : 5;
}

/** Strokes by region and week; an excess over what the network would give is framed. */
function Tally({ findings, framed }: { findings: HomeFindings; framed: ReadonlySet<string> }) {
  const rows = tallyOf(findings, weeksFor(innerWidth));
  const enough = comparable(rows);
  const looked = lookedIn(rows);
  const names = new Map(catalogue.value?.regions.map((region) => [region.code, region.name.toLowerCase()]));
  const weeks = rows[0]?.cells.map((cell) => cell.week) ?? [];
  if (!enough) return <p>{t('home.too_few')}</p>;
  return (
    <div class="scroll-x tally-box" tabIndex={0} role="group" aria-label={t('home.tally_caption')}>
      <table class="tally">
        <caption class="hidden">{t('home.tally_caption')}</caption>
        <thead>
          <tr class="hidden">
            <th scope="col">{t('matrix.region')}</th>
            {weeks.map((week) => (
              <th key={week} scope="col">
                {day(week, now.value)}
              </th>
            ))}
            <th scope="col">{t('home.lately')}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => {
            const excess = framed.has(row.region);
            return (
              <tr key={row.region} class={excess ? 'tally-excess' : ''}>
                <th scope="row">{names.get(row.region) ?? row.region}</th>
                {row.cells.map((cell, at) => (
                  <td key={cell.week} class={excess && at >= row.cells.length - 3 ? 'tally-frame' : ''}>
                    {cell.strokes.length > 9 ? (
                      <strong>{cell.strokes.length}</strong>
                    ) : cell.strokes.length > 0 ? (
                      <Strokes cell={cell} />
                    ) : (
                      <span class="soft" aria-hidden="true">
                        ·
                      </span>
                    )}
                    {cell.expected > 0 && <ExpectedLine length={cell.expected} />}
                    <span class="hidden">
                      {t('home.cell', { n: cell.strokes.length, looked: cell.looked, expected: tenths(cell.expected) })}{' '}
                      {cell.strokes
                        .map((stroke) => `${stroke.name}: ${stroke.signs.map(signWords).join(', ')}`)
                        .join('; ')}
                    </span>
                  </td>
                ))}
                <td class={`small ${row.lately > 0 ? '' : 'soft'}`}>
                  {row.lately > 0 || row.latelyExpected >= 0.05
                    ? t('home.lately_n', { n: row.lately, expected: tenths(row.latelyExpected) })
                    : t('home.nothing_seen')}
                </td>
              </tr>
            );
          })}
        </tbody>
        <tfoot>
          <tr aria-hidden="true">
            <td />
            {weeks.map((week) => (
              <td key={week} class="small soft">
                {day(week, now.value)}
              </td>
            ))}
            <td />
          </tr>
          <tr>
            <th scope="row">{t('home.looked')}</th>
            {looked.map((n, at) => (
              <td key={weeks[at]} class="small soft">
                {n}
              </td>
            ))}
            <td />
          </tr>
        </tfoot>
      </table>
      <p class="small soft tally-key">
        <svg width="22" height="16" aria-hidden="true">
          <path d="M4 15 7 2M10 15l3-13" class="tally-stroke" />
          <path d="M17 15l3-13" class="tally-stroke tally-marked" />
        </svg>{' '}
        {t('home.key_stroke')}{' '}
        <svg width="22" height="8" aria-hidden="true">
          <path d="M2 5h18" class="tally-expected" />
        </svg>{' '}
        {t('home.key_expected')} · {t('home.key_none')}
      </p>
    </div>
  );
}

function Strokes({ cell }: { cell: TallyRow['cells'][number] }) {
  return (
    <svg class="tally-strokes" width={cell.strokes.length * 7 + 6} height="20" aria-hidden="true">
      {cell.strokes.map((stroke, at) => (
        <path
          key={stroke.animal}
          d={`M${3 + at * 7} 18 ${6 + at * 7} 3`}
          class={`tally-stroke ${stroke.marked ? 'tally-marked' : ''}`}
        >
          <title>{stroke.name}</title>
        </path>
      ))}
    </svg>
  );
}

function ExpectedLine({ length }: { length: number }) {
  return (
    <svg class="tally-line" width="60" height="4" aria-hidden="true">
      <path d={`M1 2h${Math.min(58, Math.max(1.5, length * 7))}`} class="tally-expected" />
    </svg>
  );
}
