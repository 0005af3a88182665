import { css } from 'lit';

export const styles = css`
  p {
    margin: 0;
  }
  .buttons {
    display: flex;
    flex-wrap: wrap;
    gap: 6px;
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
