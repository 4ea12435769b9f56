import { useEffect, useRef, useState } from 'preact/hooks';
import type { Outcome, Step } from '../api/types';
import { t, tOf } from '../text/t';

export interface StepInput {
  step: Step;
  outcome?: Outcome;
  note?: string;
  due?: string;
}

const OUTCOMES: Outcome[] = [
  'ill',
  'injured',
  'benign',
  'known_normal',
  'measuring_error',
  'pregnant',
  'died',
  'other',
];
const DUE: Partial<Record<Step, number>> = { vet_booked: 1, reweigh_asked: 1, watching: 7 };

/** A day and hour some days from now, as the field of this device wants it. */
function localIn(days: number): string {
  const at = new Date(Date.now() + days * 86_400_000);
  at.setHours(10, 0, 0, 0);
  return new Date(at.getTime() - at.getTimezoneOffset() * 60_000).toISOString().slice(0, 16);
}

export function StepForm({
  step,
  busy,
  onSend,
  onBack,
}: {
  step: Step;
  busy: boolean;
  onSend: (input: StepInput) => void;
  onBack: () => void;
}) {
  const form = useRef<HTMLFormElement>(null);
  const [says, setSays] = useState<string | null>(null);
  useEffect(() => {
    form.current?.querySelector<HTMLElement>('input, textarea, select')?.focus();
  }, []);
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.key === 'Escape') onBack();
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  });
  const submit = (event: SubmitEvent) => {
    event.preventDefault();
    const data = new FormData(form.current as HTMLFormElement);
    const input: StepInput = { step };
    const outcome = data.get('outcome');
    const note = String(data.get('note') ?? '').trim();
    const due = String(data.get('due') ?? '');
    if (step === 'settled') {
      if (!outcome) {
        setSays(t('step.say_outcome'));
        return;
      }
      input.outcome = outcome as Outcome;
    }
    if (step === 'note' && note === '') {
      setSays(t('step.say_note'));
      return;
    }
    if (note) input.note = note;
    if (due) input.due = new Date(due).toISOString();
    onSend(input);
  };
  const days = DUE[step];
  return (
    <form ref={form} class="slip step-form" aria-labelledby="step-ask" onSubmit={submit}>
      <p class="evidence-sub" id="step-ask">
        {tOf('step_ask', step)}
      </p>
      {step === 'settled' && (
        <fieldset class="outcomes">
          <legend class="hidden">{t('step.outcome')}</legend>
          {OUTCOMES.map((outcome) => (
            <label key={outcome}>
              <input type="radio" name="outcome" value={outcome} /> {tOf('outcome', outcome)}
            </label>
          ))}
        </fieldset>
      )}
      {days !== undefined && (
        <div class="field">
          <label for="step-due">{tOf('step_due', step)}</label>
          <input id="step-due" name="due" type="datetime-local" defaultValue={localIn(days)} />
        </div>
      )}
      <div class="field">
        <label for="step-note">{t(step === 'note' ? 'step.note' : 'step.note_optional')}</label>
        <textarea id="step-note" name="note" rows={2} maxLength={2000} />
      </div>
      <p class="say" role="alert">
        {says}
      </p>
      <div class="evidence-actions">
        <button type="submit" class="filled" disabled={busy}>
          {tOf('act_do', step)}
        </button>
        <button type="button" onClick={onBack}>
          {t('step.back')}
        </button>
      </div>
    </form>
  );
}
