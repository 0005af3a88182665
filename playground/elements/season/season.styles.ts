import { css } from 'lit';

export const styles = css`
  dialog {
    box-sizing: border-box;
    width: min(980px, calc(100vw - 40px));
    max-width: none;
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 6px 16px;
    align-items: center;
  }
  label {
    display: flex;
    gap: 6px;
    align-items: center;
    min-height: 28px;
    color: var(--soft);
  }
  lw-number {
    width: 64px;
  }
  input[type='date'] {
    font: inherit;
    color: var(--ink);
    background: var(--panel);
    border: 1px solid var(--edge);
    border-radius: 2px;
    min-height: 26px;
    color-scheme: inherit;
  }
  /* Drawn here, not by the browser, whose white would glare by night. */
  @media not (forced-colors: active) {
    ::-webkit-calendar-picker-indicator {
      background: var(--ink);
      clip-path: polygon(15% 32%, 85% 32%, 50% 76%);
    }
  }
  h3 {
    margin: 10px 0 4px;
    font-size: inherit;
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
    vertical-align: middle;
  }
  thead th {
    color: var(--soft);
    border-bottom: 1px solid var(--edge);
  }
  tbody + tbody {
    border-top: 1px solid var(--line);
  }
  .number {
    text-align: end;
  }
  ul {
    margin: 0;
    padding-left: 18px;
  }
  .plan {
    width: 100%;
    min-height: 3em;
  }
  /* All columns of the plan fit a phone. */
  @media (max-width: 480px) {
    .plan :is(th, td) {
      padding-inline-end: 4px;
    }
    .plan lw-number {
      width: 42px;
    }
  }
  @media print {
    /* Whatever is modal stays above the page, and begins at the top of the paper. */
    dialog {
      position: absolute;
      inset: 0 auto auto 0;
      margin: 0;
      width: auto;
      max-height: none;
      overflow: visible;
      border: 0;
    }
    dialog::backdrop,
    .buttons,
    .wishes {
      display: none;
    }
    .scroll {
      overflow: visible;
    }
    tbody {
      break-inside: avoid;
    }
  }
`;
