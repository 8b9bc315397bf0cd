/** A figure made while it is asked for, in the form asked for. */
import { drawSvg, figureCsv, type FigureDescription } from '../../../libs/figures/index.js';
import { drawPngAside } from '../../../libs/figures/png/drawPng.js';

export type DrawnForm = 'svg' | 'png' | 'csv';
const PNG_WIDTH_PX = 1600;

export async function drawAs(
  form: DrawnForm,
  description: FigureDescription,
  look: Parameters<typeof drawSvg>[1],
) {
  if (form === 'csv') return { mediaType: 'text/csv; charset=utf-8', content: figureCsv(description) };
  const svg = drawSvg(description, { size: look.size, theme: look.theme });
  if (form === 'svg') return { mediaType: 'image/svg+xml', content: svg };
  return { mediaType: 'image/png', content: Buffer.from(await drawPngAside(svg, PNG_WIDTH_PX)) };
}
