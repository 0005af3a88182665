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
  /* A line down the plot with a head of its own shape. The middle is held in the upper half, black and white in the lower. */
  .handle {
    position: absolute;
    top: 38px;
    height: 46px;
    width: 24px;
    margin-inline-start: -12px;
    cursor: ew-resize;
    touch-action: none;
  }
  .middle {
    top: 0;
    height: 38px;
  }
  .handle::before {
    content: '';
    position: absolute;
    inset: -38px 11.5px 8px;
    background: var(--soft);
    pointer-events: none;
  }
  .middle::before {
    inset-block: 0 -38px;
  }
  .handle::after {
    content: '';
    position: absolute;
    bottom: 3px;
    left: 7px;
    width: 10px;
    height: 10px;
    border: 1.5px solid var(--ink);
    background: var(--ground);
  }
  .black::after {
    background: var(--ink);
  }
  .middle::after {
    border-radius: 50%;
    background: linear-gradient(to right, var(--ink) 50%, var(--ground) 50%);
  }
  .handle:hover::before {
    inset-inline: 11px;
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
    min-height: 2lh;
    margin: 4px 0 0;
    font-size: 12px;
    white-space: nowrap;
  }
  .soft {
    display: block;
    color: var(--soft);
  }
  @media (pointer: coarse) {
    .handle {
      width: 40px;
      margin-inline-start: -20px;
    }
    .handle::before {
      inset-inline: 19.5px;
    }
    .handle::after {
      left: 15px;
    }
  }
`;
