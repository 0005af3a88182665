import { css } from 'lit';

export const styles = css`
  :host {
    display: grid;
    gap: 8px;
    font-size: 12px;
    overflow-wrap: anywhere;
  }
  .wish {
    display: grid;
    grid-template-columns: minmax(0, 1fr) 76px;
    gap: 6px 8px;
    align-items: center;
  }
  .wish select {
    width: 100%;
    font-weight: 400;
  }
  ul {
    list-style: none;
    display: grid;
    gap: 8px;
    margin: 0;
    padding: 0;
  }
  .features li {
    padding-inline-start: 8px;
    border-inline-start: 3px solid var(--line);
  }
  .features li[aria-current='true'] {
    background: var(--raised);
  }
  .buttons {
    display: flex;
    flex-wrap: wrap;
    gap: 6px;
    margin-top: 4px;
  }
  label {
    display: flex;
    gap: 6px;
    align-items: center;
    min-height: 24px;
  }
  button {
    justify-self: start;
  }
  table {
    width: 100%;
    border-collapse: collapse;
  }
  caption {
    text-align: start;
    font-weight: 600;
  }
  th,
  td {
    padding: 1px 0 1px 6px;
    text-align: end;
    font-weight: 400;
    overflow-wrap: normal;
  }
  th:first-child {
    padding-inline-start: 0;
    text-align: start;
    white-space: nowrap;
  }
  .swatch {
    display: inline-block;
    width: 9px;
    height: 9px;
    margin-inline-end: 4px;
    outline: 1px solid #000;
  }
  h3 {
    margin: 0;
    font: inherit;
    font-weight: 600;
  }
  .limits {
    padding-inline-start: 8px;
    border-inline-start: 2px solid var(--edge);
  }
  @media (pointer: coarse) {
    label {
      min-height: 40px;
    }
  }
`;
