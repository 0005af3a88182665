import { css } from 'lit';

export const styles = css`
  table {
    width: 100%;
    border-collapse: collapse;
  }
  caption {
    text-align: start;
    padding-bottom: 6px;
    color: var(--soft);
  }
  th,
  td {
    padding: 3px 0;
    font-weight: 400;
    text-align: end;
    white-space: nowrap;
  }
  td + td,
  th + th {
    padding-inline-start: 10px;
  }
  th[scope='row'] {
    text-align: start;
    color: var(--soft);
  }
  thead th {
    font-size: 12px;
    color: var(--soft);
    padding-bottom: 2px;
  }
  .bars {
    width: 62%;
    padding-inline-start: 12px;
    text-align: start;
  }
  svg {
    display: block;
    width: 100%;
    height: 22px;
  }
  .rest {
    fill: var(--raised);
    stroke: var(--line);
  }
  .most {
    fill: var(--soft);
  }
  text {
    font-size: 12px;
    text-anchor: middle;
    dominant-baseline: central;
    fill: var(--ink);
  }
  .on {
    fill: var(--ground);
  }
  .notes {
    margin: 8px 0 0;
    padding: 0;
    list-style: none;
    font-size: 12px;
  }
`;
