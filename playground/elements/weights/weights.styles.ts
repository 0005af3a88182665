import { css } from 'lit';

export const styles = css`
  :host {
    display: grid;
    gap: 12px;
    container-type: inline-size;
  }
  table {
    table-layout: fixed;
    border-collapse: separate;
    border-spacing: 0;
    --number-size: 15px;
  }
  caption {
    text-align: start;
  }
  th {
    font-weight: 500;
  }
  thead th {
    padding: 0 5px 6px;
    vertical-align: bottom;
  }
  thead .line {
    display: block;
    margin-bottom: 4px;
    font-size: 14px;
  }
  thead .absent {
    display: block;
    color: var(--faint);
    font-weight: 400;
    font-size: 12px;
  }
  tbody th {
    padding-inline-end: 14px;
    text-align: end;
    color: var(--soft);
  }
  td {
    padding: 2px 5px;
  }
  td lw-number {
    width: 100%;
  }
  col.name {
    width: 62px;
  }
  col.total {
    width: 64px;
  }
  col.weight {
    width: 112px;
  }
  /* The share of each weight in its row, as a hairline under the number. */
  .bar {
    display: block;
    width: 100%;
    height: 2px;
  }
  .expression {
    display: block;
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
    text-align: end;
    padding-inline-end: 7px;
    font-size: 11px;
    color: var(--soft);
  }
  .bar .way {
    fill: var(--line);
  }
  .bar .share {
    fill: var(--soft);
  }
  /* Square brackets, so that the table reads as the matrix it is. */
  tbody td:first-of-type {
    padding-inline-start: 12px;
    border-inline-start: 1.5px solid var(--soft);
    background: linear-gradient(var(--soft), var(--soft)) no-repeat;
    background-size: 0 0;
  }
  tbody td:last-of-type {
    padding-inline-end: 12px;
    border-inline-end: 1.5px solid var(--soft);
  }
  tbody tr:first-of-type td:first-of-type,
  tbody tr:last-of-type td:first-of-type,
  tbody tr:first-of-type td:last-of-type,
  tbody tr:last-of-type td:last-of-type {
    background-size: 7px 1.5px;
    background-image: linear-gradient(var(--soft), var(--soft));
    background-repeat: no-repeat;
  }
  tbody tr:first-of-type td:first-of-type {
    background-position: left top;
  }
  tbody tr:last-of-type td:first-of-type {
    background-position: left bottom;
  }
  tbody tr:first-of-type td:last-of-type {
    background-position: right top;
  }
  tbody tr:last-of-type td:last-of-type {
    background-position: right bottom;
  }
  .sum {
    padding-inline-start: 14px;
    text-align: end;
    color: var(--soft);
    font-weight: 400;
  }
  thead .sum {
    font-size: 12px;
  }
  .foot {
    display: grid;
    gap: 6px;
    padding-bottom: 4px;
  }
  .foot label {
    display: flex;
    gap: 8px;
    align-items: center;
  }
  /* In the panel beside the picture, and on a phone. */
  @container (max-width: 480px) {
    thead th {
      padding-inline: 2px;
    }
    td {
      padding: 2px;
    }
    col.name {
      width: 46px;
    }
    col.total {
      width: 44px;
    }
    col.weight {
      width: 68px;
    }
    tbody th {
      padding-inline-end: 8px;
    }
    .sum {
      padding-inline-start: 6px;
    }
    tbody td:first-of-type {
      padding-inline-start: 8px;
    }
    tbody td:last-of-type {
      padding-inline-end: 8px;
    }
  }
`;
