/** A fault and the path to it. */
export interface RecipeFault {
  path: (string | number)[];
  message: string;
  /** Other places that it rests on: where one of them is at fault itself, nothing can be said. */
  needs?: readonly (string | number)[][];
}
