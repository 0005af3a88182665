import { Option } from 'commander';

/** Whether what earlier runs found of the same masters is used; `cache` is then true. */
export const cacheOption = (): Option =>
  new Option(
    '--no-cache',
    'measure again instead of using results of earlier runs (LINEWASH_CACHE sets the cache folder, or off)',
  );
