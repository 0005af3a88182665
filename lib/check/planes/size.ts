/** A plane of so many values across and down. */
export interface Size {
  readonly width: number;
  readonly height: number;
}
