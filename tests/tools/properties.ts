// Properties are tried on the same draws in every run, so that none fails on a case that nobody has run before; full
// runs draw by the seed of the run.
import fc from 'fast-check';
import { FULL, SEED } from '../cases.ts';

fc.configureGlobal({ ...fc.readConfigureGlobal(), seed: FULL ? SEED : 1 });
