/** A gain on chroma that spares the sky: see docs/maths/finish.md. */
export interface ChromaGain {
  /** Factor on the chroma of a bright pixel of little chroma, 0 … 2.2. */
  readonly gain: number;
  /** OKLab lightness up to which nothing changes, and from which the gain counts in full. */
  readonly from: number;
  readonly to: number;
  /** OKLab chroma at and above which nothing changes. */
  readonly until: number;
}

/** Hues near one hue are moved towards another. */
export interface Bend {
  /** OKLab hue in degrees, 0 … 360, and where it goes: the shorter way round. */
  readonly at: number;
  readonly to: number;
  /** Hues further away than this stay, in degrees, 1 … 180. */
  readonly width: number;
  /** Factor on the chroma at the hue itself. */
  readonly chroma: number;
}

/** What happens to a mixed colour in OKLab, before it is brought into the space. Every part may be absent. */
export interface Finish {
  /** Lightness to lightness: the monotone cubic through these points, (0, 0) and (1, 1) added where none says otherwise. */
  readonly tone?: readonly (readonly [number, number])[];
  readonly chroma?: ChromaGain;
  readonly bends?: readonly Bend[];
}

/** At and above 2.25 more chroma could come out as less. */
export const MOST_GAIN = 2.2;

/** (1 − t²)² for |t| < 1, else 0: smooth, 1 in the middle. */
export const bump = (t: number): number => {
  const rest = 1 - t * t;
  return rest > 0 ? rest * rest : 0;
};
