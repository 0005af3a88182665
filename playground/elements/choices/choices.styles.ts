import { css } from 'lit';

export const styles = css`
  :host {
    display: grid;
    grid-template-columns: repeat(auto-fit, minmax(min(100%, 250px), 1fr));
    gap: 16px 32px;
    margin-top: 8px;
  }
  fieldset {
    display: grid;
    align-content: start;
    gap: 6px;
    min-width: 0;
    margin: 0;
    padding: 0;
    border: 0;
  }
  legend {
    padding: 0 0 6px;
    font-weight: 600;
  }
  .choice {
    display: grid;
    grid-template-columns: minmax(0, 5fr) minmax(0, 6fr);
    gap: 0 8px;
    align-items: center;
    color: var(--soft);
  }
  .choice select {
    width: 100%;
    min-width: 0;
  }
  .choice lw-number {
    width: 72px;
    color: var(--ink);
  }
  .typed {
    display: flex;
    gap: 6px;
    align-items: center;
  }
  table {
    border-collapse: collapse;
    width: 100%;
  }
  th,
  td {
    padding: 2px 8px 2px 0;
    text-align: start;
    font-weight: 400;
  }
  th:last-child,
  td:last-child {
    padding-inline-end: 0;
    width: 76px;
    text-align: end;
  }
  thead th {
    font-size: 12px;
    color: var(--soft);
  }
  tbody th {
    width: 1%;
    padding-inline-end: 14px;
    font-weight: 600;
    white-space: nowrap;
  }
  td lw-number {
    width: 100%;
  }
`;
