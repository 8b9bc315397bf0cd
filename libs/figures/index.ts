/** What the browser may use: everything but PNG. */
export * from './description.js';
export * from './drawAnalysisFigures.js';
export * from './figureCsv.js';
export * from './figureTable.js';
export * from './formatQuantity.js';
export * from './readAt.js';
export * from './valueAtFrequency.js';
export * from './describe/comparisonFigure.js';
export { describeEvidence } from './describe/evidenceFigure.js';
export type { FigureContext } from './describe/frame.js';
export * from './draw/curveStroke.js';
export * from './draw/drawSvg.js';
export * from './draw/themes.js';
export * from './layout/figureLayout.js';
export * from './layout/layoutFigure.js';
export * from './layout/sizes.js';
