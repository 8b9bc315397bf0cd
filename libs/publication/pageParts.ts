/** The parts of a bundle's page that show the unit: points, numbers, figures. */
import {
  archiveNumberNames,
  archiveNumbers,
  unitKindWords,
  type ArchiveNumber,
  type PublicUnitContent,
  type ReviewPoint,
} from '../contracts/index.js';
import { formatFrequency, formatQuantity, type FigureDescription } from '../figures/index.js';
import { html, type Html } from './html.js';
import type { ShownFigure } from './unitFiles.js';

export function pointList(title: string, points: readonly ReviewPoint[]): Html {
  if (points.length === 0) return html``;
  return html`<div>
    <h3>${title}</h3>
    <ul>
      ${points.map(
        ({ text, evidence }) =>
          html`<li>${text}${evidence !== '' && html`<br /><span class="small soft">${evidence}</span>`}</li>`,
      )}
    </ul>
  </div>`;
}

export function numberText(name: ArchiveNumber, value: number | null): string {
  if (value === null) return '–';
  const { words, unit } = archiveNumbers[name];
  const sign = words.endsWith('±') ? '±' : '';
  return sign + (unit === 'Hz' ? formatFrequency(value) : formatQuantity(value, unit));
}

/** Only what at least one unit has. */
export function numbersTable(units: readonly PublicUnitContent[]): Html {
  const names = archiveNumberNames.filter((name) => units.some(({ numbers }) => numbers[name] !== null));
  if (names.length === 0) return html``;
  return html`<section class="bundle-section" id="numbers">
    <h2>Numbers at a glance</h2>
    <div class="scroll-x" tabindex="0" role="region" aria-label="Numbers at a glance">
      <table class="bundle-table">
        <thead>
          <tr>
            <th scope="col">At 2.83 V and 1 m</th>
            ${units.map((unit) => html`<th scope="col">${unit.name}</th>`)}
          </tr>
        </thead>
        <tbody>
          ${names.map(
            (name) =>
              html`<tr>
                <th scope="row">${archiveNumbers[name].words.replace(/ ±$/, '')}</th>
                ${units.map(
                  ({ numbers }) =>
                    html`<td title="${numbers[name] === null ? 'not measured' : String(numbers[name])}">
                      ${numberText(name, numbers[name])}
                    </td>`,
                )}
              </tr>`,
          )}
        </tbody>
      </table>
    </div>
    <p class="small soft">
      Measurements of one unit on one day; room, method and the spread between units limit
      them.${
        names.includes('predictedPreference') &&
        ' Predicted preference (Olive 2004, r = 0.86 for the general model) is an estimate with its spread, not a verdict.'
      }
    </p>
  </section>`;
}

export function unitFacts(unit: PublicUnitContent): Html {
  const price =
    unit.priceMinor === null
      ? null
      : new Intl.NumberFormat('en-GB', { style: 'currency', currency: unit.currency }).format(
          unit.priceMinor / 100,
        );
  const facts: (readonly [string, string | null])[] = [
    ['Maker', unit.makerName],
    ['Kind', unitKindWords[unit.kind]],
    ['Drivers', unit.drivers],
    ['Finish', unit.finish],
    ['Mass', unit.massKg === null ? null : `${unit.massKg} kg`],
    ['Price when reviewed', price],
  ];
  return html`<dl class="bundle-facts">
    ${facts.map(
      ([term, value]) =>
        value !== null &&
        value !== '' &&
        html`<div>
          <dt>${term}</dt>
          <dd>${value}</dd>
        </div>`,
    )}
  </dl>`;
}

export function figureParts({ id, folder, name, description }: ShownFigure, still: Html): Html {
  return html`<figure class="bundle-figure" id="figure-${id}">
    <figcaption>
      <h3>${description.title}</h3>
      ${description.invented && html` <span class="tag">invented data</span>`}
    </figcaption>
    <div class="${stillClass(still)}">${still}</div>
    <div class="live" data-figure="${id}"></div>
    <p class="small bundle-links">
      <a href="data/${folder}/${name}.csv" download>Numbers (CSV)</a>
      <a href="figures/${folder}/${name}.svg" download>Drawing (SVG)</a>
      <a href="figures/${folder}/${name}.png" download>Picture (PNG)</a>
    </p>
  </figure>`;
}

export function compareSection(comparison: FigureDescription | undefined, still: Html | undefined): Html {
  if (!comparison || !still) return html``;
  return html`<section class="bundle-section" id="compare">
    <h2>Beside other units</h2>
    <p class="soft">
      The published units most like this one, as they were published when this bundle was made.
    </p>
    <figure class="bundle-figure" id="figure-comparison">
      <figcaption><h3>${comparison.title}</h3></figcaption>
      <div class="${stillClass(still)}">${still}</div>
      <div class="live" id="comparison"></div>
      <p class="small bundle-links">
        <a href="data/comparison.csv" download>Numbers (CSV)</a>
        <a href="figures/comparison.svg" download>Drawing (SVG)</a>
        <a href="figures/comparison.png" download>Picture (PNG)</a>
      </p>
    </figure>
  </section>`;
}

/** A drawing with a long list of findings beneath it has a page of its own on paper. */
function stillClass({ text }: Html): string {
  const [, width = '1', height = '1'] = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(text) ?? [];
  return Number(height) > 0.95 * Number(width) ? 'still still-tall' : 'still';
}
