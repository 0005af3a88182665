import { css } from 'lit';

export const styles = css`
  table {
    width: 100%;
    border-collapse: collapse;
  }
  th,
  td {
    padding: 5px 0 5px 8px;
    vertical-align: top;
    text-align: end;
    font-weight: 400;
    line-height: 20px;
  }
  th:first-child {
    padding-inline-start: 0;
    text-align: start;
  }
  thead th {
    padding-block: 0 4px;
    vertical-align: bottom;
    font-size: 12px;
    line-height: 1.3;
    color: var(--soft);
  }
  tbody tr {
    border-top: 1px solid var(--line);
  }
  tbody th {
    font-weight: 600;
  }
  .spent {
    padding-block: 0 5px;
  }
  .spent lw-number {
    width: 72px;
  }
  .from,
  .add span {
    display: block;
  }
  .from,
  .add .soft {
    padding-inline-end: 6px;
    font-size: 12px;
    line-height: 16px;
    white-space: nowrap;
  }
  .add .soft {
    padding-inline-end: 0;
  }
  .added {
    font-weight: 600;
  }
  button {
    min-height: 24px;
    padding: 0 6px;
    font-size: 12px;
    white-space: nowrap;
  }
  h3 {
    margin: 10px 0 2px;
    font-size: 12px;
    font-weight: 600;
  }
  .nights {
    display: grid;
    gap: 2px;
    margin: 0;
    font-size: 12px;
  }
  .nights div {
    display: flex;
    gap: 8px;
  }
  dt {
    color: var(--soft);
    min-width: 9ch;
  }
  dd {
    margin: 0;
  }
  .steps {
    margin: 8px 0 0;
    padding: 0;
    list-style: none;
  }
  @media (pointer: coarse) {
    tbody th,
    tbody td:not(.spent) {
      padding-top: 10px;
    }
    button {
      min-height: 40px;
    }
  }
`;
