// What is usual for an animal, and what changes its weight: two small forms that open in place.
import { useState } from 'preact/hooks';
import { call, Refusal, saidOf } from '../api/client';
import type { Catalogue } from '../api/types';
import { isCoordinator, now, reaching, wordsFor } from '../app/state';
import { dayKey } from '../text/format';
import { uuid7 } from '../text/ids';
import { t, tOf } from '../text/t';

const EVENTS = ['pregnant', 'gave_birth', 'surgery', 'diet_change', 'journey', 'bonding'];

function useSaving(onSaved: () => void) {
  const [open, setOpen] = useState(false);
  const [says, setSays] = useState<string | null>(null);
  const save = async (path: string, body: unknown, pointer: string) => {
    try {
      await reaching(() => call(path, { method: 'PUT', body }));
      setOpen(false);
      setSays(null);
      onSaved();
    } catch (error) {
      setSays((error instanceof Refusal && saidOf(error, pointer)) || wordsFor(error));
    }
  };
  return { open, setOpen, says, save };
}

export function NewNormal({
  animal,
  species,
  catalogue,
  onSaved,
}: {
  animal: string;
  species: string;
  catalogue: Catalogue;
  onSaved: () => void;
}) {
  const { open, setOpen, says, save } = useSaving(onSaved);
  if (!open) {
    return (
      <button type="button" class="bare" onClick={() => setOpen(true)}>
        {t('usual.add')}
      </button>
    );
  }
  const offered = catalogue.signs.filter(
    (sign) => (sign.species === null || sign.species.includes(species)) && sign.level !== 'emergency',
  );
  const submit = (event: SubmitEvent) => {
    event.preventDefault();
    const data = new FormData(event.currentTarget as HTMLFormElement);
    const by = String(data.get('by') ?? '').trim();
    void save(
      `/animals/${animal}/known-normals/${uuid7()}`,
      {
        sign: String(data.get('sign')),
        up_to: String(data.get('up_to')),
        ...(by ? { said_by: by } : {}),
        ...(isCoordinator() ? { vet_confirmed: data.get('vet') === 'on' } : {}),
      },
      '/sign',
    );
  };
  return (
    <form class="slip fields" onSubmit={submit}>
      <div class="field">
        <label for="usual-sign">{t('usual.sign')}</label>
        <select id="usual-sign" name="sign" required>
          {catalogue.regions.map((region) => {
            const here = offered.filter((sign) => sign.region === region.code);
            return here.length > 0 ? (
              <optgroup key={region.code} label={region.name}>
                {here.map((sign) => (
                  <option key={sign.code} value={sign.code}>
                    {sign.words}
                  </option>
                ))}
              </optgroup>
            ) : null;
          })}
        </select>
      </div>
      <div class="field">
        <label for="usual-up-to">{t('usual.up_to')}</label>
        <select id="usual-up-to" name="up_to">
          <option value="slight">{tOf('grade', 'slight')}</option>
          <option value="marked">{tOf('grade', 'marked')}</option>
        </select>
      </div>
      <div class="field">
        <label for="usual-by">{t('usual.by')}</label>
        <input id="usual-by" name="by" maxLength={100} />
      </div>
      {isCoordinator() && (
        <label class="tick-line">
          <input type="checkbox" name="vet" /> {t('usual.vet')}
        </label>
      )}
      <p class="say" role="alert">
        {says}
      </p>
      <div class="bar-pair">
        <button type="button" onClick={() => setOpen(false)}>
          {t('step.back')}
        </button>
        <button type="submit" class="filled">
          {t('usual.save')}
        </button>
      </div>
    </form>
  );
}

export function NewEvent({ animal, onSaved }: { animal: string; onSaved: () => void }) {
  const { open, setOpen, says, save } = useSaving(onSaved);
  if (!open) {
    return (
      <button type="button" class="bare" onClick={() => setOpen(true)}>
        {t('event_form.add')}
      </button>
    );
  }
  const submit = (event: SubmitEvent) => {
    event.preventDefault();
    const data = new FormData(event.currentTarget as HTMLFormElement);
    const to = String(data.get('to') ?? '');
    void save(
      `/animals/${animal}/events/${uuid7()}`,
      { event: String(data.get('event')), from: String(data.get('from')), ...(to ? { to } : {}) },
      '/to',
    );
  };
  return (
    <form class="slip fields" onSubmit={submit}>
      <div class="field">
        <label for="event-kind">{t('event_form.what')}</label>
        <select id="event-kind" name="event">
          {EVENTS.map((event) => (
            <option key={event} value={event}>
              {tOf('event', event)}
            </option>
          ))}
        </select>
      </div>
      <div class="bar-pair">
        <div class="field">
          <label for="event-from">{t('event_form.from')}</label>
          <input id="event-from" name="from" type="date" required defaultValue={dayKey(now.value)} />
        </div>
        <div class="field">
          <label for="event-to">{t('event_form.to')}</label>
          <input id="event-to" name="to" type="date" />
        </div>
      </div>
      <p class="say" role="alert">
        {says}
      </p>
      <div class="bar-pair">
        <button type="button" onClick={() => setOpen(false)}>
          {t('step.back')}
        </button>
        <button type="submit" class="filled">
          {t('event_form.save')}
        </button>
      </div>
    </form>
  );
}
