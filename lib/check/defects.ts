/** What can be wrong with one master. */
export type DefectKind = 'trail' | 'column' | 'row' | 'seam' | 'spots';

/** A place in pixels of the full frame: whole numbers at pixel centres, from the top left. */
export type Point = readonly [x: number, y: number];

/** Something that is in one master and not in the sky. */
export interface Defect {
  readonly kind: DefectKind;
  /** The line whose master has it. */
  readonly channel: string;
  /** Ends of a trail, column, row or seam; for spots, corners of what holds them all. */
  readonly from: Point;
  readonly to: Point;
  /** Of a trail or seam: degrees clockwise from the horizontal, 0…180. */
  readonly angle?: number;
  /** Of a trail at half height, in pixels; 1 for columns and rows. */
  readonly width?: number;
  /** How far it stands out from what is beside it, in counts of the master; for spots, the median of them. */
  readonly depth?: number;
  /** How plainly it shows: about how many standard deviations of what clean frames give. */
  readonly score: number;
  /** 1 where it is too bright, −1 where it is too dark. Absent for seams. */
  readonly sign?: 1 | -1;
  readonly certainty: 'sure' | 'possible';
  /** How many spots there are. */
  readonly count?: number;
  /** Where they are, by rows. */
  readonly places?: readonly Point[];
  /** Noise on the side of a seam that has more of it, over noise on the other. */
  readonly noiseRatio?: number;
}
