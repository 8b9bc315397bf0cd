/** Our small set of parts. */
export * from './Answer.js';
export * from './Button.js';
export * from './CopyText.js';
export * from './Dialog.js';
export * from './fields.js';
export * from './Icon.js';
export * from './More.js';
export * from './Notice.js';
export * from './Overtaken.js';
export * from './Page.js';
export * from './Progress.js';
export * from './Quantity.js';
export * from './When.js';
