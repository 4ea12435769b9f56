// The queue, for everybody to see: what waits, what needs a look, what was sent.
import { useState } from 'preact/hooks';
import { DateHead, Screen } from '../app/shell';
import {
  catalogue,
  lastReached,
  mine,
  now,
  offline,
  readQueue,
  round,
  sendKept,
  sent,
  signedOut,
  skew,
  zone,
} from '../app/state';
import { Glyph } from '../marks/marks';
import { SignOutLine } from '../signin/out';
import { database, type Kept, type Sent } from '../store/db';
import { sendAgain } from '../store/outbox';
import { clock, grams, moment, weekday } from '../text/format';
import { acceptedGrams } from '../text/reading';
import { t } from '../text/t';
import { stopsOf } from '../today/round';

function what(one: Kept | Sent): string {
  const { weighing, kind } = one.body;
  const weight = weighing ? grams(acceptedGrams(weighing.readings)) : '';
  const word = t(kind === 'weigh_only' ? 'kept.weight_only' : 'kept.whole');
  return [word, weight].filter(Boolean).join(', ');
}

function Refused({ one }: { one: Kept }) {
  const [open, setOpen] = useState(false);
  const homes = round.value?.homes ?? [];
  const again = async (home?: string) => {
    const db = await database();
    await sendAgain(db, one, home ? { ...one.body, home } : one.body);
    await readQueue();
    void sendKept();
  };
  const drop = async () => {
    if (one.seq !== undefined) await (await database()).delete('outbox', one.seq);
    await readQueue();
  };
  const moved = one.refused_status === 404 || one.refused_status === 422 || one.refused_status === 403;
  return (
    <li class="ruled">
      <span class="on-thread">
        <Glyph name="note" size={20} />
      </span>
      <p>
        <span class="serif kept-name">{one.animal.name}</span> {t('kept.refused', { words: one.refused ?? '' })}
      </p>
      <div class="kept-answers">
        {moved &&
          homes.map((home) => (
            <button key={home.id} type="button" onClick={() => void again(home.id)}>
              {t('kept.made_in', { home: home.name })}
            </button>
          ))}
        <button type="button" onClick={() => void again()}>
          {t('kept.again')}
        </button>
        {open ? (
          <button type="button" onClick={() => void drop()}>
            {t('kept.drop_sure')}
          </button>
        ) : (
          <button type="button" class="bare" onClick={() => setOpen(true)}>
            {t('kept.drop')}
          </button>
        )}
      </div>
    </li>
  );
}

export function KeptScreen() {
  const waits = mine.value.filter((one) => one.refused === null);
  const refused = mine.value.filter((one) => one.refused !== null);
  const oldest = waits[0];
  const old = oldest && now.value.getTime() - Date.parse(oldest.kept_at) > 86_400_000;
  const animals = round.value ? stopsOf(round.value).length : 0;
  const lately = sent.value;
  return (
    <Screen
      title={t('kept.title')}
      at="/kept"
      actions={
        waits.length > 0 && (
          <button type="button" onClick={() => void sendKept()}>
            {t('kept.try')}
          </button>
        )
      }
    >
      <DateHead />
      <h1>{t('kept.title')}</h1>
      <p class="kept-lead">
        {waits.length === 0
          ? lately[0]
            ? t('kept.nothing_last', { time: moment(lately[0].sent_at, now.value, zone()) })
            : t('kept.nothing')
          : signedOut.value
            ? t('say.sign_in_to_send', { n: waits.length })
            : old
              ? t('kept.since', { day: weekday(oldest.kept_at, zone()) })
              : t('kept.wait', { n: waits.length })}
      </p>
      {waits.length > 0 && (
        <section aria-labelledby="kept-waiting">
          <h2 id="kept-waiting">{t('kept.waiting')}</h2>
          <ul>
            {waits.map((one) => (
              <li key={one.check} class="ruled done-row">
                <span class="on-thread">
                  <Glyph name="kept" size={20} />
                </span>
                <span>
                  <span class="serif kept-name">{one.animal.name}</span> {what(one)}
                </span>
                <strong>{t('kept.at', { time: moment(one.kept_at, now.value, zone()) })}</strong>
              </li>
            ))}
          </ul>
        </section>
      )}
      {refused.length > 0 && (
        <section aria-labelledby="kept-look">
          <h2 id="kept-look">{t('kept.look')}</h2>
          <ul>
            {refused.map((one) => (
              <Refused key={one.check} one={one} />
            ))}
          </ul>
        </section>
      )}
      {lately.length > 0 && (
        <section aria-labelledby="kept-sent">
          <h2 id="kept-sent">{t('kept.sent')}</h2>
          <ul>
            {lately.map((one) => (
              <li key={one.check} class="ruled done-row">
                <span class="on-thread soft">
                  <Glyph name="sent" size={20} />
                </span>
                <span>
                  <span class="serif kept-name">{one.animal.name}</span> {what(one)}
                </span>
                <span class="soft">{t('kept.sent_at', { time: moment(one.sent_at, now.value, zone()) })}</span>
              </li>
            ))}
          </ul>
        </section>
      )}
      <p class="second soft kept-foot">
        {lastReached.value && t('kept.last_signal', { time: moment(lastReached.value, now.value, zone()) })}{' '}
        {offline.value && t('kept.no_signal')} {t('kept.known', { n: animals })}{' '}
        {catalogue.value ? t('kept.known_signs') : ''}
      </p>
      {Math.abs(skew.value) > 5 * 60_000 && (
        <p class="second">
          {t('kept.clock', { phone: clock(new Date()), network: clock(new Date(Date.now() - skew.value)) })}
        </p>
      )}
      <SignOutLine />
    </Screen>
  );
}
