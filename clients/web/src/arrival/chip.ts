// A transponder's number. ISO 11784: 15 digits, three of country or maker and twelve whose value fits 38 bits.
// Older chips have 9 or 10 characters of digits and A to F; they are kept and marked as not ISO.

export type Chip =
  | { is: 'none' }
  | { is: 'iso' | 'older'; chip: string }
  | { is: 'wrong'; why: 'length' | 'letters' | 'identity' };

const IDENTITY_MOST = 274_877_906_943; // 2^38 - 1

export function readChip(typed: string): Chip {
  const chip = typed.replace(/[\s.-]/g, '').toUpperCase();
  if (chip === '') return { is: 'none' };
  if (/^\d{15}$/.test(chip))
    return Number(chip.slice(3)) <= IDENTITY_MOST ? { is: 'iso', chip } : { is: 'wrong', why: 'identity' };
  if (/^[\dA-F]{9,10}$/.test(chip)) return { is: 'older', chip };
  return { is: 'wrong', why: /^[\dA-F]*$/.test(chip) ? 'length' : 'letters' };
}
