import { css } from 'lit';

export const styles = css`
  .plot {
    position: relative;
  }
  canvas {
    display: block;
    width: 100%;
    height: 92px;
  }
  /* A line down the plot with a head of its own shape: all of it can be taken hold of. */
  .handle {
    position: absolute;
    top: 0;
    bottom: 16px;
    width: 16px;
    margin-inline-start: -8px;
    cursor: ew-resize;
    touch-action: none;
  }
  .handle::before {
    content: '';
    position: absolute;
    inset: 0 7.5px;
    background: var(--soft);
  }
  .handle::after {
    content: '';
    position: absolute;
    bottom: -5px;
    left: 3px;
    width: 10px;
    height: 10px;
    border: 1.5px solid var(--ink);
    background: var(--ground);
  }
  .black::after {
    background: var(--ink);
  }
  .middle::after {
    bottom: calc(50% - 5px);
    border-radius: 50%;
    background: linear-gradient(to right, var(--ink) 50%, var(--ground) 50%);
  }
  .handle:hover::before {
    inset-inline: 7px;
    background: var(--ink);
  }
  .handle:focus-visible {
    outline: 2px solid var(--accent);
    outline-offset: -2px;
  }
  .values {
    display: grid;
    grid-template-columns: repeat(3, 1fr);
    gap: 0 6px;
    min-height: 1lh;
    margin: 4px 0 0;
    font-size: 12px;
    white-space: nowrap;
  }
  .soft {
    color: var(--soft);
  }
  @media (pointer: coarse) {
    .handle {
      width: 32px;
      margin-inline-start: -16px;
    }
    .handle::before {
      inset-inline: 15.5px;
    }
    .handle::after {
      left: 11px;
    }
  }
`;
