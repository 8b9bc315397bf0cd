export * from './contentLines.js';
export * from './readBusyTimes.js';
export * from './writeCalendar.js';
