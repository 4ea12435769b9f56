// One check, in the order of the hands, the weight last. Every press is kept before the next one is possible.
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { Catalogue, CheckKind } from '../api/types';
import { go, moves } from '../app/router';
import { BackHead, focusHeading, Screen, Tag, Waiting } from '../app/shell';
import { catalogue, me, now, round, wordsFor } from '../app/state';
import { database } from '../store/db';
import { uuid7 } from '../text/ids';
import { t } from '../text/t';
import { findStop, type Stop } from '../today/round';
import { begin, type Draft, findingsIn, minutesOf, openRegions, regionsOf } from './draft';
import { stopFromServer } from './outside';
import { RegionStep } from './region';
import { WeightStep } from './weight';
import { WordStep } from './word';

export interface StepProps {
  stop: Stop;
  draft: Draft;
  signs: Catalogue;
  /** Changes the newest state of the draft; done when it is on this device. */
  save: (change: (draft: Draft) => Draft) => Promise<Draft>;
  to: (step: string, how?: 'push' | 'replace') => void;
}

function kindAsked(stop: Stop): CheckKind {
  const asked = new URLSearchParams(location.search).get('kind');
  if (asked === 'weigh_only' || asked === 'extra') return asked;
  return stop.animal.done_today ? 'extra' : 'weekly';
}

export function CheckScreen({ animal = '', step }: { animal?: string; step?: string }) {
  const [outside, setOutside] = useState<Stop | null>(null);
  const [says, setSays] = useState<string | null>(null);
  const [draft, setDraft] = useState<Draft | null>(null);
  const inRound = findStop(round.value, animal);
  const stop = inRound ?? outside;
  const signs = catalogue.value;
  const person = me.value?.person.id ?? '';
  const begun = useRef(false);

  useEffect(() => {
    if (inRound || outside) return;
    stopFromServer(animal).then(
      (found) => (found ? setOutside(found) : setSays(t('check.not_placed'))),
      (error) => setSays(wordsFor(error)),
    );
  }, [animal, inRound === null]);

  // Presses come faster than renders: a change always starts from the newest draft, not from the one on the screen.
  const newest = useRef<Draft | null>(null);
  const put = async (next: Draft): Promise<Draft> => {
    newest.current = next;
    setDraft(next);
    const tx = (await database()).transaction('drafts', 'readwrite', { durability: 'strict' });
    await tx.store.put(next);
    await tx.done;
    return next;
  };
  const save = (change: (draft: Draft) => Draft) => put(change(newest.current as Draft));
  const to = (next: string, how: 'push' | 'replace' = 'push') => go(`/check/${animal}/${next}`, how);

  // biome-ignore lint/correctness/useExhaustiveDependencies: begins once, when animal and catalogue are both there
  useEffect(() => {
    if (!stop || !signs || begun.current) return;
    begun.current = true;
    void database()
      .then((db) => db.get('drafts', animal))
      .then((found) => {
        if (found && found.person === person) {
          newest.current = found;
          setDraft(found);
          if (!step) to(found.step, 'replace');
        } else if (step) {
          go('/', 'replace'); // back into a check that was kept already
        } else {
          const first = regionsOf(signs, stop.animal.species)[0]?.code ?? 'weight';
          const fresh = begin({
            id: uuid7(),
            animal,
            person,
            home: stop.home.id,
            kind: kindAsked(stop),
            at: new Date(),
            first,
          });
          void put(fresh).then(() => to(fresh.step, 'replace'));
        }
      });
  }, [stop !== null, signs !== null]);

  // The step of the address is the step of the draft, so that a killed page opens where it was.
  // biome-ignore lint/correctness/useExhaustiveDependencies: follows the address
  useEffect(() => {
    if (draft && step && step !== 'all' && draft.step !== step) void save((so) => ({ ...so, step }));
  }, [step, draft === null]);

  const name = stop?.animal.name ?? t('check.title');
  if (says !== null) {
    return (
      <Screen title={name}>
        <BackHead to="/" />
        <h1>{t('check.title')}</h1>
        <p role="alert">{says}</p>
      </Screen>
    );
  }
  if (!stop || !signs || !draft || !step) {
    return (
      <Screen title={name}>
        <BackHead to="/" />
        <Waiting />
      </Screen>
    );
  }
  const props: StepProps = { stop, draft, signs, save, to };
  if (step === 'all') return <AllRegions {...props} />;
  if (step === 'weight') return <WeightStep {...props} />;
  if (step === 'word') return <WordStep {...props} />;
  return <RegionStep key={step} {...props} region={step} />;
}

/** Name and minutes, the way back, and the ruler of twelve. */
export function CheckHead({ stop, draft, signs, at }: { stop: Stop; draft: Draft; signs: Catalogue; at: string }) {
  const regions = draft.kind === 'weigh_only' ? [] : regionsOf(signs, stop.animal.species);
  const steps = [...regions.map(({ code }) => code), 'weight'];
  const here = steps.indexOf(at === 'word' ? 'weight' : at);
  return (
    <>
      <BackHead to="/">
        <span class="check-who">
          <span class="serif check-name">{stop.animal.name}</span> <Tag tag={stop.animal.tag} />
        </span>
        <span class="soft second">{t('time.minutes', { n: minutesOf(draft, now.value) })}</span>
      </BackHead>
      {regions.length > 0 && (
        <a
          class="check-ruler"
          href={`/check/${draft.animal}/all`}
          aria-label={t('check.ruler', { at: here + 1, n: steps.length })}
        >
          <span class="bars">
            {steps.map((code) => {
              const done = code === 'weight' ? draft.readings.length > 0 : draft.answers[code] !== undefined;
              const tall = code !== 'weight' && findingsIn(draft, signs, code).length > 0;
              return (
                <i
                  key={code}
                  class={`${done ? 'done' : ''} ${tall ? 'tall' : ''} ${steps[here] === code ? 'here' : ''}`}
                />
              );
            })}
          </span>
        </a>
      )}
    </>
  );
}

/** A step of a check: new step, focus on its heading. */
export function useStepFocus(step: string): preact.RefObject<HTMLDivElement | null> {
  const element = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    scrollTo(0, 0);
    if (moves.peek() > 0) focusHeading(element.current);
  }, [step]);
  return element;
}

/** The list behind the ruler: every region with what was said of it. */
function AllRegions({ stop, draft, signs, to }: StepProps) {
  const regions = regionsOf(signs, stop.animal.species);
  const open = openRegions(draft, regions);
  const focus = useStepFocus('all');
  const drop = async () => {
    await (await database()).delete('drafts', draft.animal);
    go('/', 'replace');
  };
  return (
    <Screen
      title={t('check.all_title', { name: stop.animal.name })}
      class="check"
      actions={
        <button type="button" class="filled" onClick={() => to(open[0]?.code ?? 'weight')}>
          {open[0] ? t('check.go_to', { region: open[0].name.toLowerCase() }) : t('check.to_weight')}
        </button>
      }
    >
      <div ref={focus}>
        <CheckHead stop={stop} draft={draft} signs={signs} at="" />
        <h1>{t('check.all')}</h1>
        <p class="soft">{open.length > 0 ? t('check.open_n', { n: open.length }) : t('check.open_none')}</p>
        <ul>
          {regions.map((region) => {
            const found = findingsIn(draft, signs, region.code);
            const answer = draft.answers[region.code];
            return (
              <li key={region.code}>
                <a class="ruled done-row" href={`/check/${draft.animal}/${region.code}`}>
                  <strong>{region.name}</strong>
                  <span class={answer ? '' : 'soft'}>
                    {found.length > 0
                      ? found
                          .map((each) => signs.signs.find((sign) => sign.code === each.sign)?.words ?? each.sign)
                          .join(', ')
                      : answer
                        ? t(answer === 'as_usual' ? 'answer.as_usual' : 'answer.not_looked_at')
                        : t('answer.open')}
                  </span>
                </a>
              </li>
            );
          })}
        </ul>
        <button type="button" class="bare" onClick={() => void drop()}>
          {t('check.drop')}
        </button>
      </div>
    </Screen>
  );
}
