import { cropped } from '../plane/cropped.ts';
import { hidePixels } from '../plane/memory-plane.ts';
import type { FilePicture, Origin, OriginGroup } from '../plane/origin.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { type Surface, withoutSurface } from '../prepare/background/surface.ts';
import { combined } from '../prepare/combine.ts';
import { lessContinuum } from '../prepare/continuum.ts';
import { filled, type Spots } from '../prepare/fill.ts';
import type { Smoothing } from '../smooth/noise-model.ts';
import { smoothedMembers } from '../smooth/smoothed-lines.ts';
import { restored, splitSources } from '../stars/split-lines.ts';

/** Opens a picture of a file. */
export type OpenPicture = (picture: FilePicture) => Promise<PlaneSource>;

/**
 * Makes sources of origins: the same values as the sources they were taken from. Lines that are smoothed together stay
 * together, as long as their origins are opened by one opener.
 */
export const originOpener = (open: OpenPicture): ((origin: Origin) => Promise<PlaneSource>) => {
  const opened = async (origin: Origin): Promise<PlaneSource> => {
    switch (origin.step) {
      case 'file':
        return open(origin.picture);
      case 'hide':
        return hidePixels(await opened(origin.of), origin.mask);
      case 'crop':
        return cropped(await opened(origin.of), origin.box);
      case 'fill':
        return filled(await opened(origin.of), origin.spots as Spots);
      case 'surface':
        return withoutSurface(await opened(origin.of), origin.surface as Surface);
      case 'continuum': {
        const [line, broad] = [await opened(origin.of), await opened(origin.broad)];
        return lessContinuum(line, broad, origin.k, origin.level);
      }
      case 'combine': {
        const parts = [];
        for (const { of, outliers, ...numbers } of origin.parts)
          parts.push({ ...numbers, source: await opened(of), outliers: outliers && { mask: outliers } });
        return combined(parts);
      }
      case 'smooth':
      case 'stars':
        return (await groupOf(origin))[origin.member]!;
      case 'restore': {
        const [under, line, starless] = [
          await opened(origin.of),
          await opened(origin.line),
          await opened(origin.starless),
        ];
        return restored(under, line, starless, origin.size);
      }
    }
  };
  /** Each group is opened once: what its sources share is then computed once. */
  const groups = new Map<OriginGroup, Promise<readonly PlaneSource[]>>();
  const groupOf = (origin: Extract<Origin, { readonly member: number }>) => {
    const found = groups.get(origin.group) ?? openGroup(origin, opened);
    groups.set(origin.group, found);
    return found;
  };
  return opened;
};

const openGroup = async (
  origin: Extract<Origin, { readonly member: number }>,
  open: (origin: Origin) => Promise<PlaneSource>,
): Promise<readonly PlaneSource[]> => {
  const members: PlaneSource[] = [];
  for (const member of origin.group.members) members.push(await open(member));
  return origin.step === 'smooth'
    ? smoothedMembers(members, origin.group.smoothing as Smoothing)
    : splitSources(members, origin.group);
};
