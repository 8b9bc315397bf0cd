/** Makes the page of a published bundle readable by cursor. It asks for nothing: all it shows came with the page. */
import '../styles/tokens.css';
import '../styles/figures.css';
import './bundle.css';
import { createRoot } from 'react-dom/client';
import type { FigureDescription } from '../../../../libs/figures/index.js';
import type { BundlePageData } from '../contracts.js';
import { BundleComparison } from './BundleComparison.js';
import { BundleFigure } from './BundleFigure.js';
import { MoodSwitch } from './MoodSwitch.js';

const carried = document.getElementById('review-data')?.textContent;
if (carried) show(JSON.parse(carried) as BundlePageData);

function show(data: BundlePageData): void {
  const descriptions = new Map(
    data.figures.map(({ id, description }) => [id, description as FigureDescription]),
  );
  for (const place of document.querySelectorAll<HTMLElement>('[data-figure]')) {
    const description = descriptions.get(place.dataset['figure'] ?? '');
    if (description) createRoot(place).render(<BundleFigure description={description} />);
  }
  const comparison = document.getElementById('comparison');
  if (comparison) createRoot(comparison).render(<BundleComparison data={data} />);
  const head = document.querySelector('.bundle-head');
  if (head) {
    const place = document.createElement('div');
    head.prepend(place);
    createRoot(place).render(<MoodSwitch />);
  }
  // Only now are the drawings for paper hidden from the screen.
  document.documentElement.classList.add('runs');
}
