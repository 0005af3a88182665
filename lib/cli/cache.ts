import { Option } from 'commander';

/** Whether what earlier runs found of the same masters is used; `cache` is then true. */
export const cacheOption = (): Option =>
  new Option('--no-cache', 'measure again what earlier runs measured (LINEWASH_CACHE names its folder, or off)');
