/** The one door to what the server and the pages agree on. */
export * from '../../../libs/contracts/index.js';
