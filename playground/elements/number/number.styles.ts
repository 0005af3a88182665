import { css } from 'lit';

export const styles = css`
  :host {
    display: inline-block;
    position: relative;
  }
  input {
    width: 100%;
    min-height: 30px;
    padding: 2px 6px;
    border: 1px solid var(--edge);
    border-radius: 2px;
    background: transparent;
    color: var(--ink);
    font: inherit;
    font-size: var(--number-size, inherit);
    font-variant-numeric: tabular-nums;
    text-align: right;
    cursor: ew-resize;
    touch-action: pan-y;
  }
  /* Small enough that no digit is cut off in the table of weights. */
  input.long {
    padding-inline: 3px;
    font-size: 12px;
  }
  input:hover {
    background: var(--raised);
  }
  input:focus {
    background: var(--raised);
    cursor: text;
  }
  input[aria-invalid='true'] {
    text-decoration: underline wavy;
    text-underline-offset: 3px;
  }
  .fault {
    position: absolute;
    z-index: 2;
    right: 0;
    top: 100%;
    padding: 2px 8px;
    background: var(--ink);
    color: var(--ground);
    white-space: nowrap;
  }
  @media (pointer: coarse) {
    input {
      min-height: 40px;
    }
  }
`;
