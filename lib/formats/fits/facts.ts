import type { Card, HeaderFacts } from '../../plane/facts.ts';
import type { FitsCard } from './card.ts';
import { degreesEast } from './degrees.ts';
import type { Header } from './header.ts';
import { BINNING_PAIRS, BINNING_TEXTS, FACT_KEYWORDS, type FactKeyword } from './keywords.ts';

/**
 * What the header says about the exposure, by the keywords of `FACT_KEYWORDS`.
 * Names stay as written even where they look like numbers; a keyword in lower case counts where no upper-case one does.
 * `hours` is the total exposure where a keyword states it, else exposure × subs; else it is absent.
 * Facts missing from an extension are taken from the primary header, unless the extension says INHERIT = F.
 */
export const readFacts = (header: Header, primary: Header = header): HeaderFacts => {
  const inherits = header !== primary && header.byKeyword.get('INHERIT')?.value !== false;
  const look = lookUp(inherits ? [header, primary] : [header]);
  const from: Record<string, string> = {};
  const first = <T>(fact: FactKeyword['fact'], read: (card: FitsCard) => T | undefined): T | undefined => {
    for (const { keyword } of FACT_KEYWORDS.filter((row) => row.fact === fact)) {
      const card = look(keyword);
      const value = card && read(card);
      if (value === undefined) continue;
      from[fact] = card!.keyword;
      return value;
    }
    return undefined;
  };
  const facts = {
    filter: first('filter', filterName) ?? first('filter', textValue),
    object: first('object', textValue),
    exposure: first('exposure', positive),
    subs: first('subs', count),
    dateStart: withTime(first('dateStart', textValue), first('time', textValue), from),
    dateEnd: first('dateEnd', textValue),
    dateLocal: first('dateLocal', textValue),
    longitude: first('longitude', ({ text }) => degreesEast(text)),
    kind: first('kind', textValue),
    binning: readBinning(look, from),
    gain: first('gain', positive),
    camera: first('camera', textValue),
    telescope: first('telescope', textValue),
  };
  const total = first('total', positive);
  const exposed = addHours(facts.exposure, facts.subs, total, from);
  return { ...present({ ...facts, ...exposed }), from, cards: header.cards.map(toCard) };
};

type LookUp = (keyword: string) => FitsCard | undefined;

const lookUp =
  (headers: readonly Header[]): LookUp =>
  (keyword) => {
    for (const spelling of [keyword, keyword.toLowerCase()])
      for (const header of headers) {
        const card = header.byKeyword.get(spelling);
        if (card && card.text !== '') return card;
      }
    return undefined;
  };

const textValue = (card: FitsCard): string => card.text.trim();

/** Of two filter wheels one stands at its empty place; that is not the filter, unless it is all there is. */
const filterName = (card: FitsCard): string | undefined =>
  /^(clear.*|open|empty|none|no filter)$/i.test(textValue(card)) ? undefined : textValue(card);

/** Numbers may stand in quotes: common practice of cameras. */
const numeric = (card: FitsCard): number => Number(card.text.replace(/[dD]/, 'E'));

const positive = (card: FitsCard): number | undefined => {
  const value = numeric(card);
  return Number.isFinite(value) && value >= 0 ? value : undefined;
};

const count = (card: FitsCard): number | undefined => {
  const value = numeric(card);
  return Number.isSafeInteger(value) && value >= 1 ? value : undefined;
};

const readBinning = (look: LookUp, from: Record<string, string>): readonly [number, number] | undefined => {
  for (const [x, y] of BINNING_PAIRS) {
    const [cardX, cardY] = [look(x), look(y)];
    const [valueX, valueY] = [cardX && count(cardX), cardY && count(cardY)];
    if (valueX === undefined) continue;
    from.binning = valueY === undefined ? x : `${x}, ${y}`;
    return [valueX, valueY ?? valueX];
  }
  for (const keyword of BINNING_TEXTS) {
    const parts = /^(\d+)(?:\s*[x×, ]\s*(\d+))?$/i.exec(look(keyword)?.text.trim() ?? '');
    if (!parts || Number(parts[1]) < 1) continue;
    from.binning = keyword;
    return [Number(parts[1]), Number(parts[2] ?? parts[1])];
  }
  return undefined;
};

/** A date alone gets its time from a keyword of its own. */
const withTime = (date: string | undefined, time: string | undefined, from: Record<string, string>) => {
  const source = from.time;
  delete from.time;
  if (date === undefined || time === undefined || !/^\d{4}-\d{2}-\d{2}$/.test(date)) return date;
  from.dateStart = `${from.dateStart}, ${source}`;
  return `${date}T${time}`;
};

/** A total alone is also the exposure, unless it is known to be made of several subs. */
const addHours = (
  exposure: number | undefined,
  subs: number | undefined,
  total: number | undefined,
  from: Record<string, string>,
): { exposure?: number | undefined; hours?: number | undefined } => {
  const source = from.total;
  delete from.total;
  if (total !== undefined) {
    from.hours = source!;
    if (exposure !== undefined) return { hours: total / 3600 };
    from.exposure = source!;
    return { exposure: total / (subs ?? 1), hours: total / 3600 };
  }
  if (exposure === undefined || subs === undefined) return {};
  from.hours = `${from.exposure} × ${from.subs}`;
  return { hours: (exposure * subs) / 3600 };
};

/** Leaves out what is undefined, so that absent facts are absent keys. */
const present = <T extends object>(facts: T): { [K in keyof T]?: Exclude<T[K], undefined> } =>
  Object.fromEntries(Object.entries(facts).filter(([, value]) => value !== undefined)) as never;

const toCard = ({ keyword, value, comment }: FitsCard): Card =>
  comment === undefined ? { keyword, value } : { keyword, value, comment };
