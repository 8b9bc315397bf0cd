export interface AmplifierAdviceInputs {
  readonly minimumOhm: number;
  readonly minimumHz: number;
  readonly epdrMinimumOhm?: number;
  readonly epdrMinimumHz?: number;
  /** What the maker states, if known. */
  readonly statedOhm?: number;
}

/** Under this the output devices work as hard as into a 2 ohm resistor's half (common practice, no source). */
const HARD_EPDR_OHM = 2;

/**
 * What the impedance asks of an amplifier, in plain words with the figures it rests on. A minimum near
 * 3 ohm wants an amplifier rated into 4 ohm (common practice, no source).
 */
export function amplifierAdvice(inputs: AmplifierAdviceInputs): string {
  const sentences = [minimumSentence(inputs), dissipationSentence(inputs), statedSentence(inputs)];
  return sentences.filter((sentence) => sentence !== '').join(' ');
}

function minimumSentence({ minimumOhm, minimumHz }: AmplifierAdviceInputs): string {
  const fact = `The impedance falls to ${ohms(minimumOhm)} at ${hertz(minimumHz)}`;
  if (minimumOhm >= 6.4) return `${fact}: any amplifier rated into 8 ohm will do.`;
  if (minimumOhm >= 2.6) return `${fact}: use an amplifier rated into 4 ohm.`;
  if (minimumOhm >= 1.6) return `${fact}: use an amplifier rated into 2 ohm.`;
  return `${fact}: few amplifiers are made for such a load; ask the maker before connecting one.`;
}

function dissipationSentence({ epdrMinimumOhm, epdrMinimumHz }: AmplifierAdviceInputs): string {
  if (epdrMinimumOhm === undefined || epdrMinimumHz === undefined) return '';
  const fact = `At ${hertz(epdrMinimumHz)} the phase makes it as hard on the output stage as a ${ohms(epdrMinimumOhm)} resistor`;
  if (epdrMinimumOhm >= HARD_EPDR_OHM) return `${fact}.`;
  return `${fact}: choose one with current in reserve and good cooling.`;
}

function statedSentence({ minimumOhm, statedOhm }: AmplifierAdviceInputs): string {
  if (statedOhm === undefined || minimumOhm >= 0.8 * statedOhm) return '';
  return `The maker states ${ohms(statedOhm)}, for which IEC 60268-5 allows no less than ${ohms(0.8 * statedOhm)}.`;
}

function ohms(value: number): string {
  return `${value.toFixed(1)} ohm`;
}

function hertz(value: number): string {
  return value < 1000 ? `${Math.round(value)} Hz` : `${(value / 1000).toFixed(1)} kHz`;
}
