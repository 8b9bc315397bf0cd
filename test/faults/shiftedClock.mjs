/**
 * Loaded before anything else into processes under a campaign: their clock is off by as many milliseconds as the file
 * named by FAULTS_CLOCK_FILE says at the moment. Timers, which count by another clock, and the database's clock stay.
 */
import { readFileSync } from 'node:fs';

const file = process.env.FAULTS_CLOCK_FILE;
const LOOK_EVERY_MS = 100;
const Real = globalThis.Date;
let shift = 0;

const look = () => {
  try {
    shift = Number(readFileSync(file, 'utf8')) || 0;
  } catch (error) {
    if (error.code !== 'ENOENT') throw error;
  }
};
const now = () => Real.now() + shift;

if (file) {
  look();
  setInterval(look, LOOK_EVERY_MS).unref();
  globalThis.Date = new Proxy(Real, {
    construct: (real, given, made) => Reflect.construct(real, given.length > 0 ? given : [now()], made),
    apply: () => new Real(now()).toString(),
    get: (real, key) => (key === 'now' ? now : Reflect.get(real, key)),
  });
}
