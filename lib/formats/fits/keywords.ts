/**
 * Which header keyword states which fact, most trusted first.
 * 'standard': reserved with this meaning by the FITS standard 4.0 (sections 4.4.2 and 9).
 * 'convention': common practice of cameras, observatories and stacking programs; no standard backs the meaning.
 * TELAPSE is not listed: it counts the time between frames too, so it is no exposure.
 */
export interface FactKeyword {
  readonly fact:
    | 'filter'
    | 'object'
    | 'exposure'
    | 'total'
    | 'subs'
    | 'dateStart'
    | 'time'
    | 'dateEnd'
    | 'dateLocal'
    | 'longitude'
    | 'kind'
    | 'gain'
    | 'camera'
    | 'telescope';
  readonly keyword: string;
  readonly basis: 'standard' | 'convention';
}

export const FACT_KEYWORDS: readonly FactKeyword[] = [
  { fact: 'filter', keyword: 'FILTER', basis: 'convention' },
  { fact: 'filter', keyword: 'FILTER1', basis: 'convention' },
  { fact: 'filter', keyword: 'FILTER2', basis: 'convention' },
  { fact: 'filter', keyword: 'FILTNAM', basis: 'convention' },
  { fact: 'filter', keyword: 'FILTNAM1', basis: 'convention' },
  { fact: 'object', keyword: 'OBJECT', basis: 'standard' },
  { fact: 'object', keyword: 'OBJNAME', basis: 'convention' },
  // Seconds of one sub.
  { fact: 'exposure', keyword: 'EXPTIME', basis: 'convention' },
  { fact: 'exposure', keyword: 'EXPOSURE', basis: 'convention' },
  // Seconds of all subs together; by the standard XPOSURE is the effective exposure of the data in the file.
  { fact: 'total', keyword: 'TOTALEXP', basis: 'convention' },
  { fact: 'total', keyword: 'EXPTOTAL', basis: 'convention' },
  { fact: 'total', keyword: 'TEXPTIME', basis: 'convention' },
  { fact: 'total', keyword: 'XPOSURE', basis: 'standard' },
  { fact: 'subs', keyword: 'NCOMBINE', basis: 'convention' },
  { fact: 'subs', keyword: 'NCOMB', basis: 'convention' },
  { fact: 'subs', keyword: 'STACKCNT', basis: 'convention' },
  { fact: 'subs', keyword: 'NSTACK', basis: 'convention' },
  { fact: 'subs', keyword: 'NIMAGES', basis: 'convention' },
  { fact: 'dateStart', keyword: 'DATE-BEG', basis: 'standard' },
  { fact: 'dateStart', keyword: 'DATE-OBS', basis: 'standard' },
  // The hours of a DATE-OBS that is a date alone, as before the year 2000.
  { fact: 'time', keyword: 'TIME-OBS', basis: 'convention' },
  { fact: 'dateEnd', keyword: 'DATE-END', basis: 'standard' },
  { fact: 'dateLocal', keyword: 'DATE-LOC', basis: 'convention' },
  { fact: 'longitude', keyword: 'OBSGEO-L', basis: 'standard' },
  { fact: 'longitude', keyword: 'SITELONG', basis: 'convention' },
  { fact: 'longitude', keyword: 'LONG-OBS', basis: 'convention' },
  { fact: 'kind', keyword: 'IMAGETYP', basis: 'convention' },
  { fact: 'kind', keyword: 'OBSTYPE', basis: 'convention' },
  { fact: 'kind', keyword: 'FRAME', basis: 'convention' },
  { fact: 'gain', keyword: 'GAIN', basis: 'convention' },
  { fact: 'gain', keyword: 'EGAIN', basis: 'convention' },
  { fact: 'camera', keyword: 'INSTRUME', basis: 'standard' },
  { fact: 'camera', keyword: 'CAMERA', basis: 'convention' },
  { fact: 'camera', keyword: 'DETNAM', basis: 'convention' },
  { fact: 'telescope', keyword: 'TELESCOP', basis: 'standard' },
];

/** Pairs of keywords for binning in x and y; all are convention. */
export const BINNING_PAIRS: readonly (readonly [x: string, y: string])[] = [
  ['XBINNING', 'YBINNING'],
  ['CCDXBIN', 'CCDYBIN'],
  ['BINX', 'BINY'],
];

/** Keywords that hold both binnings as text such as '2 2' or '2x2', or one number; all are convention. */
export const BINNING_TEXTS: readonly string[] = ['CCDSUM', 'BINNING'];
