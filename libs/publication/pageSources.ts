/** The parts of a bundle's page that say where it comes from and what may be done with it. */
import type { ListeningRecord, MeasuredUnder, PublicUnitContent, ReviewContent } from '../contracts/index.js';
import { formatFrequency } from '../figures/index.js';
import { html, type Html } from './html.js';
import type { BundleFile } from './zipFiles.js';

export function listeningSection(sessions: readonly ListeningRecord[]): Html {
  if (sessions.length === 0) return html``;
  return html`<section class="bundle-section" id="listening">
    <h2>The record of listening</h2>
    <p class="soft">
      Each session was sealed when it was done: its hash and time stand beneath. A blind session was sealed
      before its listener had seen any data of the unit.
    </p>
    ${sessions.map(
      (session) =>
        html`<article class="bundle-session">
          <h3>${session.unitName}, ${session.by}</h3>
          <p class="small soft">
            Heard on ${session.heardOn}${session.levelDb !== null && html`, about ${session.levelDb} dB`}.
            ${session.placement}
          </p>
          <ul>
            ${session.remarks.map((remark) => html`<li>${remark.text} <span class="small soft">${rangeOf(remark)}</span></li>`)}
          </ul>
          ${
            session.additions.length > 0 &&
            html`<p class="small">Added after the seal:</p>
              <ul>
                ${session.additions.map(({ at, text }) => html`<li>${text} <span class="small soft">${at.slice(0, 10)}</span></li>`)}
              </ul>`
          }
          <p class="small soft">
            ${session.blind ? 'Blind.' : 'Not blind: the listener had seen data of the unit.'} Sealed
            ${session.sealedAt.slice(0, 16).replace('T', ' ')} UTC, SHA-256
            <span class="hash">${session.sealHash}</span>
          </p>
        </article>`,
    )}
  </section>`;
}

const signWords: Readonly<Record<string, string>> = { excess: 'too much', lack: 'too little', neutral: '' };

function rangeOf({ sign, fromHz, toHz, position }: ListeningRecord['remarks'][number]): string {
  const range = fromHz && toHz ? `${formatFrequency(fromHz)} to ${formatFrequency(toHz)}` : '';
  return [signWords[sign] ?? '', range, position ?? ''].filter((part) => part !== '').join(', ');
}

export function measuredSection(units: readonly PublicUnitContent[]): Html {
  return html`<section class="bundle-section" id="measured">
    <h2>How it was measured</h2>
    ${units.map((unit) => unit.measured.map((set) => setPart(unit.name, set)))}
    <p class="small soft">
      Listening window, early reflections, sound power and directivity indices follow ANSI/CTA-2034-A; rated
      impedance IEC 60268-5; EPDR is derived for an ideal class-B output stage.
    </p>
  </section>`;
}

function setPart(unit: string, set: MeasuredUnder): Html {
  return html`<h3>${unit}: ${set.setName}</h3>
    <ul>
      <li>
        Measured on
        ${set.measuredOn}${set.invented && html` <strong>(invented data, computed from physics)</strong>`}
      </li>
      ${set.conditions.map((condition) => html`<li>${condition}</li>`)}
      <li>
        ${set.files} file${set.files === 1 ? '' : 's'}; algorithm ${set.algorithmVersion}; inputs
        <span class="hash">${set.inputs}</span>
      </li>
    </ul>
    ${
      set.checks.length > 0 &&
      html`<p>What the checks on the data found:</p>
        <ul>
          ${set.checks.map((check) => html`<li>${check}</li>`)}
        </ul>`
    }`;
}

export function cautionSection(cautions: readonly string[]): Html {
  return html`<section class="bundle-section" id="cautions">
    <h2>Cautions</h2>
    <ul>
      ${cautions.map((caution) => html`<li>${caution}</li>`)}
    </ul>
  </section>`;
}

const links = (files: readonly BundleFile[]): Html =>
  html`<ul class="bundle-files small">
    ${files.map(
      ({ path, about }) =>
        html`<li><a href="${path}" download>${path}</a> <span class="soft">${about}</span></li>`,
    )}
  </ul>`;

export function dataSection(files: readonly BundleFile[]): Html {
  const data = files.filter(({ path }) => path.startsWith('data/') || path.startsWith('listening/'));
  return html`<section class="bundle-section" id="data">
    <h2>Data</h2>
    <p>
      Every file that came with this page, with its SHA-256, stands in
      <a href="manifest.json" download>manifest.json</a>. Figures are there as SVG and PNG too.
    </p>
    ${links(data)}
  </section>`;
}

export function licenceSection({ licence, teamName, invented }: ReviewContent): Html {
  return html`<section class="bundle-section" id="licence">
    <h2>Licence</h2>
    <p>
      Data and figures:
      ${licence.url === '' ? licence.name : html`<a href="${licence.url}" rel="license noreferrer">${licence.name}</a>`},
      ${teamName}. ${licence.words}
    </p>
    ${invented && html`<p class="soft">Everything in this bundle is invented and says nothing of any real product.</p>`}
  </section>`;
}
