import { css } from 'lit';

export const styles = css`
  section {
    padding: 8px 0 10px;
  }
  .brief {
    display: flex;
    flex-wrap: wrap;
    gap: 4px 14px;
    align-items: center;
    padding: 4px 0;
  }
  .brief .patch {
    width: 34px;
    height: 20px;
    align-self: center;
  }
  .brief dl {
    grid-template-columns: repeat(6, auto);
  }
  .brief button {
    min-width: 70px;
    min-height: 24px;
    padding-block: 0;
  }
  .parts {
    display: flex;
    flex-wrap: wrap;
    gap: 10px 22px;
  }
  table {
    border-collapse: collapse;
    align-self: start;
  }
  th,
  td {
    font-weight: 400;
    text-align: end;
    padding: 1px 0 1px 13px;
    white-space: pre;
  }
  th:first-child {
    text-align: start;
    padding-inline-start: 0;
  }
  thead th {
    color: var(--soft);
  }
  tbody th {
    font-weight: 600;
  }
  .sum > * {
    border-top: 1px solid var(--line);
  }
  @media (max-width: 480px) {
    th,
    td {
      padding-inline-start: 7px;
    }
  }
  .result {
    display: grid;
    grid-template-columns: 46px auto;
    gap: 4px 14px;
    align-content: start;
  }
  .patch {
    border: 1px solid var(--line);
    align-self: stretch;
  }
  dl {
    display: grid;
    grid-template-columns: auto auto;
    justify-content: start;
    gap: 1px 14px;
    margin: 0;
  }
  dt {
    color: var(--soft);
  }
  dd {
    margin: 0;
    white-space: pre;
  }
  .state,
  .acts {
    grid-column: 1 / -1;
  }
  .acts {
    display: flex;
    gap: 6px;
  }
  details {
    margin-top: 6px;
  }
  ul {
    list-style: none;
    margin: 6px 0 0;
    padding: 0;
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(196px, 1fr));
    gap: 4px 18px;
  }
  li {
    display: flex;
    gap: 8px;
    align-items: center;
    white-space: nowrap;
  }
  li .soft {
    margin-inline-start: auto;
    font-size: 12px;
  }
  .small {
    width: 22px;
    height: 16px;
    flex: none;
  }
  @media (max-width: 800px) {
    .brief dl {
      grid-template-columns: auto auto;
    }
    section {
      padding-inline: 14px;
    }
    th,
    td {
      padding-inline-start: 7px;
      font-size: 11.5px;
    }
    /* A share stands below its number where both have no room in a row. */
    td {
      white-space: normal;
      vertical-align: top;
    }
    .share {
      white-space: nowrap;
    }
    tr > :nth-child(3) {
      display: none;
    }
  }
`;
