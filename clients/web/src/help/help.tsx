// What to do now and whom to call. Works without a network: numbers and words are on the phone.
import { back } from '../app/router';
import { Screen } from '../app/shell';
import { catalogue, me, now, round } from '../app/state';
import { Glyph, LevelMark } from '../marks/marks';
import { t, tMaybe, tOf } from '../text/t';
import { findStop } from '../today/round';
import { inHourOrder } from './phones';

/** Steps and don'ts beyond the call are common practice, no source: a vet should read them before use. */
const DO = ['say', 'quiet', 'take_along'] as const;
const DO_NOT = ['medicine', 'wait'] as const;

export function HelpScreen({ animal, sign }: { animal?: string; sign?: string }) {
  const stop = animal ? findStop(round.value, animal) : null;
  const seen = catalogue.value?.signs.find((each) => each.code === sign) ?? null;
  const name = stop?.animal.name ?? t('help.the_animal');
  const phones = inHourOrder(me.value?.network.phones ?? [], now.value);
  const species = stop ? tOf('species', stop.animal.species) : t('help.animal');
  const fromCheck = seen !== null && stop !== null;
  const what = seen ? (tMaybe('sign_short', seen.code) ?? seen.words) : '';
  return (
    <Screen
      title={t('help.title')}
      plain
      class="help"
      at={fromCheck ? undefined : '/help'}
      actions={
        fromCheck && (
          <button type="button" onClick={back}>
            {t('help.back')}
          </button>
        )
      }
    >
      <div class="help-row help-head">
        <span class="help-margin">
          {fromCheck && (
            <button type="button" class="glyph-only help-glyph" aria-label={t('nav.back')} onClick={back}>
              <Glyph name="back" size={22} />
            </button>
          )}
        </span>
        <p class="level tone-emergency help-word">{fromCheck ? tOf('level', 'emergency') : t('help.now')}</p>
      </div>
      <div class="help-row">
        <span class="help-margin help-mark">
          <LevelMark level="emergency" size={28} />
        </span>
        <div role={fromCheck ? 'alert' : undefined}>
          <h1>
            {fromCheck
              ? t('help.heading', { what: what.charAt(0).toUpperCase() + what.slice(1), name })
              : t('help.title')}
          </h1>
          <p class="help-lead">{seen ? (tMaybe('help_lead', seen.code) ?? t('help.lead')) : t('help.lead_any')}</p>
        </div>
      </div>
      <div class="help-row">
        <span class="help-margin" />
        <div class="help-calls">
          {phones.map((phone, at) => (
            <a
              key={phone.number}
              class={`help-call ${at === 0 ? 'help-first' : ''}`}
              href={`tel:${phone.number.replace(/[^+\d]/g, '')}`}
            >
              <Glyph name="call" size={at === 0 ? 30 : 24} />
              <span>
                <strong>{t('help.call', { name: phone.name })}</strong>
                <span>
                  {phone.when && `${phone.when} · `}
                  <b class="help-number">{phone.number}</b>
                </span>
              </span>
            </a>
          ))}
          {phones.length === 0 && <p class="say">{t('help.no_number')}</p>}
        </div>
      </div>
      {DO.map((step, at) => (
        <div key={step} class="help-row help-do">
          <span class="help-margin" aria-hidden="true">
            {at + 1}
          </span>
          <p>
            <strong>{tOf('help_do', step, { name })}</strong>{' '}
            {step === 'say' && seen
              ? t('help.say_what', { species, what: seen.words })
              : tOf('help_do_more', step, { name, species })}
          </p>
        </div>
      ))}
      <div class="help-row">
        <span class="help-margin" />
        <h2>{t('help.do_not')}</h2>
      </div>
      {DO_NOT.map((what) => (
        <div key={what} class="help-row">
          <span class="help-margin" aria-hidden="true">
            —
          </span>
          <p>{tOf('help_not', what)}</p>
        </div>
      ))}
      <div class="help-row">
        <span class="help-margin" />
        <p class="caution">
          {fromCheck && `${t('help.kept')} `}
          {t('help.offline')} {t('say.caution')}
        </p>
      </div>
    </Screen>
  );
}
