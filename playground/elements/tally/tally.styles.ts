import { css } from 'lit';

export const styles = css`
  dialog {
    max-width: min(860px, calc(100vw - 24px));
  }
  .scroll {
    max-width: 100%;
    overflow-x: auto;
  }
  table {
    border-collapse: collapse;
    font-variant-numeric: tabular-nums;
  }
  th,
  td {
    padding: 3px 14px 3px 0;
    text-align: start;
    font-weight: 400;
    white-space: nowrap;
    vertical-align: top;
  }
  thead th {
    color: var(--soft);
    border-bottom: 1px solid var(--edge);
  }
  .number {
    text-align: end;
  }
  ul {
    margin: 0;
    padding-left: 18px;
    overflow-wrap: anywhere;
  }
  section {
    display: grid;
    gap: 6px;
  }
  section label {
    display: flex;
    gap: 8px;
    align-items: center;
  }
  .buttons {
    display: flex;
    flex-wrap: wrap;
    gap: 8px;
  }
`;
