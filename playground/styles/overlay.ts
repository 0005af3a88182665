import { css } from 'lit';

/** A canvas that lies over the picture and lets everything through. */
export const overlay = css`
  :host {
    position: absolute;
    inset: 0;
    pointer-events: none;
  }
  canvas {
    position: absolute;
    width: 100%;
    height: 100%;
  }
`;
