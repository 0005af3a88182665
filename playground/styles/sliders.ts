import { css } from 'lit';

/** A panel of sliders, each with its name above and its number beside. */
export const sliders = css`
  :host {
    display: grid;
    gap: 6px;
  }
  .slider {
    display: grid;
    grid-template-columns: minmax(0, 1fr) 72px;
    gap: 0 8px;
    align-items: center;
  }
  .slider span {
    grid-column: 1 / -1;
    color: var(--soft);
  }
  .slider input {
    width: 100%;
    margin: 0;
    accent-color: var(--soft);
  }
  .small {
    font-size: 12px;
  }
  button[aria-pressed='true'] {
    color: var(--on-accent);
    background: var(--accent);
    border-color: var(--accent);
  }
`;
