import { atom } from 'nanostores';

/** A full-size pixel that is to have a colour: `CHROMA@HUE` or a CSS colour. */
export interface Place {
  readonly x: number;
  readonly y: number;
  readonly colour: string;
}

/** The places of the target on screen whose colour is held. */
export const $places = atom<readonly Place[]>([]);
