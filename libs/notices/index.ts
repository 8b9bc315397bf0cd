export * from './addDeliveries.js';
export * from './choices.js';
export * from './deliver.js';
export * from './mail.js';
export * from './publicAddress.js';
export * from './settings.js';
export * from './webhook.js';
