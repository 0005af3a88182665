import { css } from 'lit';

export const styles = css`
  :host {
    position: absolute;
    z-index: 1;
    inset: 0;
    overflow: hidden;
    pointer-events: none;
  }
  [hidden] {
    display: none !important;
  }
  canvas {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
    clip-path: inset(0 0 0 var(--split));
    background: var(--ground);
  }
  :host([cells]) canvas {
    background: none;
  }
  .cell {
    position: absolute;
    display: flex;
    flex-wrap: wrap;
    gap: 4px;
    align-content: start;
    padding: 6px;
    outline: 1px solid var(--line);
  }
  .cell button {
    min-height: 26px;
    padding: 1px 8px;
    pointer-events: auto;
  }
  .tag {
    max-width: 100%;
    padding: 3px 8px;
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
    color: var(--ink);
    background: var(--panel);
  }
  .edge {
    position: absolute;
    inset-block: 0;
    left: var(--split);
    width: 24px;
    margin-inline-start: -12px;
    cursor: ew-resize;
    pointer-events: auto;
    touch-action: none;
  }
  /* Dark and light side by side are seen on every picture. */
  .edge::before {
    content: '';
    position: absolute;
    inset-block: 0;
    left: 11px;
    width: 2px;
    background: linear-gradient(to right, #000 50%, #fff 50%);
  }
  .edge:focus-visible {
    outline: none;
  }
  .edge:focus-visible::before {
    left: 9px;
    width: 6px;
    background: linear-gradient(to right, #000 33%, #fff 33% 67%, #000 67%);
  }
  .names span {
    position: absolute;
    top: 8px;
    max-width: 40%;
    padding: 2px 8px;
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
    color: var(--ink);
    background: var(--panel);
  }
  .names span:first-child {
    right: calc(100% - var(--split) + 8px);
  }
  .names span:last-child {
    left: calc(var(--split) + 8px);
  }
  .names span {
    max-width: calc((100% - var(--open-left) - var(--open-right)) * 0.4);
  }
  @media (pointer: coarse) {
    .edge {
      width: 44px;
      margin-inline-start: -22px;
    }
    .edge::before {
      left: 21px;
    }
    .edge:focus-visible::before {
      left: 19px;
    }
  }
`;
