import { css } from 'lit';

/** Buttons, choices and headings as every element shows them. */
export const controls = css`
  :host {
    display: block;
  }
  :host([hidden]) {
    display: none;
  }
  *,
  *::before,
  *::after {
    box-sizing: border-box;
  }
  h2 {
    margin: 0;
    font-size: 13px;
    font-weight: 600;
    letter-spacing: 0.01em;
  }
  p {
    margin: 0;
  }
  button,
  select {
    font: inherit;
    color: var(--ink);
    background: var(--raised);
    border: 1px solid var(--line);
    border-radius: 2px;
    min-height: 28px;
    padding: 3px 10px;
  }
  select {
    padding-inline: 6px;
    max-width: 100%;
  }
  button {
    cursor: pointer;
  }
  button:disabled {
    color: var(--faint);
    background: transparent;
    cursor: default;
  }
  button:hover:not(:disabled),
  select:hover {
    border-color: var(--soft);
  }
  :focus-visible {
    outline: 2px solid var(--accent);
    outline-offset: 1px;
  }
  .soft {
    color: var(--soft);
  }
  .hidden {
    position: absolute;
    width: 1px;
    height: 1px;
    overflow: hidden;
    clip-path: inset(50%);
    white-space: nowrap;
  }
  progress {
    appearance: none;
    width: 100%;
    height: 4px;
    border: 0;
    background: var(--line);
  }
  progress::-webkit-progress-bar {
    background: var(--line);
  }
  progress::-webkit-progress-value {
    background: var(--accent);
  }
  progress::-moz-progress-bar {
    background: var(--accent);
  }
  @media (pointer: coarse) {
    button,
    select {
      min-height: 40px;
    }
  }
`;
