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
    border: 1px solid var(--edge);
    border-radius: 2px;
    min-height: 28px;
    padding: 3px 10px;
  }
  select {
    padding-inline: 6px;
    max-width: 100%;
    text-overflow: ellipsis;
  }
  button {
    cursor: pointer;
  }
  button:disabled {
    color: var(--off);
    background: transparent;
    border-style: dashed;
    cursor: default;
  }
  button:hover:not(:disabled),
  select:hover {
    border-color: var(--soft);
  }
  input[type='checkbox'],
  input[type='radio'] {
    flex: none;
    width: 14px;
    height: 14px;
    min-height: 0;
    margin: 0;
  }
  /* Drawn here, not by the browser, whose greys would glare by night. */
  @media not (forced-colors: active) {
    input[type='checkbox'],
    input[type='radio'] {
      appearance: none;
      border: 1px solid var(--soft);
      border-radius: 2px;
    }
    input[type='radio'] {
      border-radius: 50%;
    }
    input[type='radio']:checked {
      border: 4px solid var(--ink);
    }
    input[type='checkbox']:checked::before {
      display: block;
      height: 100%;
      background: var(--ink);
      clip-path: polygon(8% 52%, 22% 36%, 42% 57%, 79% 14%, 93% 29%, 42% 86%);
      content: '';
    }
    input:disabled {
      opacity: 0.5;
    }
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
  /* Nobody presses a button on paper. */
  @media print {
    button {
      display: none !important;
    }
  }
  @media (pointer: coarse) {
    button,
    select {
      min-height: 40px;
    }
  }
`;
