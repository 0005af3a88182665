import { afterAll } from 'vitest';
import { closeBrowser } from './support.ts';

afterAll(closeBrowser);
