/** The map's colour scale. */

/**
 * Nine equally spaced stops of "batlow" (Fabio Crameri, Scientific colour maps, doi 10.5281/zenodo.1243862), from
 * dark to light: perceptually ordered, readable without colour and with colour-vision deficiency.
 */
const STOPS: readonly (readonly [number, number, number])[] = [
  [0.005193, 0.098238, 0.349842],
  [0.066899, 0.263188, 0.377594],
  [0.133298, 0.375282, 0.379395],
  [0.302379, 0.450282, 0.300122],
  [0.511253, 0.510898, 0.193296],
  [0.754268, 0.565033, 0.211761],
  [0.946612, 0.614218, 0.419767],
  [0.9929, 0.704852, 0.704114],
  [0.981354, 0.800406, 0.981267],
];

/** Red, green and blue, 0 to 255, at `share` (0 dark to 1 light) of the scale. */
export function mapColour(share: number): readonly [number, number, number] {
  const place = Math.min(Math.max(share, 0), 1) * (STOPS.length - 1);
  const index = Math.min(Math.floor(place), STOPS.length - 2);
  const from = STOPS[index] ?? [0, 0, 0];
  const to = STOPS[index + 1] ?? from;
  const mix = (channel: 0 | 1 | 2) =>
    Math.round(255 * (from[channel] + (place - index) * (to[channel] - from[channel])));
  return [mix(0), mix(1), mix(2)];
}

export function mapColourHex(share: number): string {
  return `#${mapColour(share)
    .map((channel) => channel.toString(16).padStart(2, '0'))
    .join('')}`;
}
