/** A fault and the path to it. */
export interface Finding {
  path: (string | number)[];
  message: string;
}
