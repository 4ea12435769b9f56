import { age } from './format';
import { t, tMaybe, tOf } from './t';

/** "guinea pig sow", "rabbit", "young rat buck" */
export function kindWords(animal: { species: string; sex: string; stage?: string | null }): string {
  const species = tOf('species', animal.species);
  const sex = tMaybe(`sex.${animal.species}`, animal.sex) ?? tMaybe('sex', animal.sex) ?? '';
  return [animal.stage === 'young' ? t('animal.young') : '', species, sex].filter(Boolean).join(' ');
}

/** "guinea pig sow, 2 years" */
export function kindAndAge(
  animal: { species: string; sex: string; stage?: string | null; birth: string | null },
  now: Date,
): string {
  const old = animal.birth
    ? age(animal.birth, now)
    : animal.stage && animal.stage !== 'young' && animal.stage !== 'unknown'
      ? tOf('stage', animal.stage)
      : '';
  return old ? `${kindWords(animal)}, ${old}` : kindWords(animal);
}
