import { css } from 'lit';

/** A question or a list over the page. */
export const dialog = css`
  dialog {
    max-width: min(600px, calc(100vw - 24px));
    max-height: calc(100dvh - 24px);
    overflow-y: auto;
    padding: 18px 20px;
    color: var(--ink);
    background: var(--ground);
    border: 1px solid var(--edge);
  }
  dialog[open] {
    display: grid;
    /* Wide tables scroll inside. */
    grid-template-columns: minmax(0, 1fr);
    gap: 14px;
    justify-items: start;
  }
  dialog::backdrop {
    background: rgb(0 0 0 / 45%);
  }
`;
