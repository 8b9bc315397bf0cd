/** Figures as PNG. Server side only: the renderer is a native module. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { renderAsync, Resvg, type ResvgRenderOptions } from '@resvg/resvg-js';
import { FIGURE_FONT_FAMILY } from '../draw/themes.js';
import { figureFonts } from './figureFonts.js';

const WIDEST_PX = 8000;

/**
 * The figure as PNG bytes, `widthPx` pixels wide (1 to 8000), height in proportion; set in the bundled typeface
 * whatever fonts the machine has. Throws a RangeError on a width out of range, an Error on text that is no SVG.
 */
export function drawPng(svg: string, widthPx: number): Uint8Array {
  return new Resvg(svg, rendererOptions(widthPx)).render().asPng();
}

/** The same drawn off the event loop, for a server that answers others meanwhile. */
export async function drawPngAside(svg: string, widthPx: number): Promise<Uint8Array> {
  return (await renderAsync(svg, rendererOptions(widthPx))).asPng();
}

function rendererOptions(widthPx: number): ResvgRenderOptions {
  if (!Number.isInteger(widthPx) || widthPx < 1 || widthPx > WIDEST_PX) {
    throw new RangeError(`The width of a PNG must be a whole number from 1 to ${WIDEST_PX}, not ${widthPx}.`);
  }
  return {
    fitTo: { mode: 'width', value: widthPx },
    font: {
      loadSystemFonts: false,
      fontFiles: [...fontFiles()],
      defaultFontFamily: FIGURE_FONT_FAMILY,
      sansSerifFamily: FIGURE_FONT_FAMILY,
    },
  };
}

let files: readonly string[] | undefined;

/** The renderer takes fonts as paths only, so they are unpacked once into a private folder that goes at exit. */
function fontFiles(): readonly string[] {
  if (files) return files;
  const folder = mkdtempSync(join(tmpdir(), 'figure-fonts-'));
  process.once('exit', () => rmSync(folder, { recursive: true, force: true }));
  files = figureFonts().map((bytes, index) => {
    const path = join(folder, `${index}.ttf`);
    writeFileSync(path, bytes);
    return path;
  });
  return files;
}
