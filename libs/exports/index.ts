export * from './clearExports.js';
export * from './csvTable.js';
export * from './exportEntry.js';
export * from './makeExport.js';
