import { css } from 'lit';

export const styles = css`
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
  p {
    margin: 0;
  }
  .small {
    font-size: 12px;
  }
  .buttons {
    display: flex;
    flex-wrap: wrap;
    gap: 6px;
  }
  button[aria-pressed='true'] {
    color: var(--on-accent);
    background: var(--accent);
    border-color: var(--accent);
  }
  summary {
    width: max-content;
    min-height: 24px;
    cursor: pointer;
  }
  .guide {
    display: grid;
    grid-template-columns: minmax(0, 5fr) minmax(0, 6fr);
    gap: 0 8px;
    align-items: center;
    color: var(--soft);
  }
  .guide select {
    width: 100%;
    min-width: 0;
  }
  .lines {
    display: flex;
    flex-wrap: wrap;
    gap: 4px 14px;
    margin: 6px 0 0;
    padding: 0;
    border: 0;
  }
  .lines label {
    display: flex;
    gap: 6px;
    align-items: center;
    min-height: 24px;
  }
  legend {
    padding: 0;
    color: var(--soft);
  }
  @media (pointer: coarse) {
    summary,
    .lines label {
      min-height: 40px;
    }
  }
`;
