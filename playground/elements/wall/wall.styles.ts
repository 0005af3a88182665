import { css } from 'lit';

export const styles = css`
  .head {
    display: flex;
    flex-wrap: wrap;
    gap: 0 8px;
    align-items: baseline;
    margin-bottom: 10px;
  }
  .keep {
    width: 100%;
  }
  details {
    margin: 8px 0 12px;
  }
  ul {
    list-style: none;
    margin: 0;
    padding: 0;
    display: grid;
    gap: 12px;
  }
  .use {
    display: block;
    width: 100%;
    min-height: 0;
    padding: 0;
    border: 0;
    background: none;
    text-align: start;
  }
  canvas,
  .blank {
    display: block;
    width: 100%;
    aspect-ratio: 5 / 2;
    background: var(--panel);
  }
  .blank {
    display: grid;
    place-items: center;
    border: 1px dashed var(--line);
    color: var(--soft);
  }
  .name {
    display: flex;
    justify-content: space-between;
    gap: 8px;
    padding: 4px 0 0;
  }
  .foot {
    display: flex;
    gap: 12px;
    align-items: baseline;
    font-size: 12px;
  }
  .foot button {
    min-height: 24px;
    padding: 0;
    border: 0;
    background: none;
    color: var(--soft);
  }
  .foot button:hover {
    color: var(--ink);
    text-decoration: underline;
  }
  .figure {
    margin-inline-end: auto;
  }
  @media (pointer: coarse) {
    .foot button {
      min-height: 40px;
      padding-inline: 6px;
    }
  }
  /* The chosen one is marked beside its picture, never on it. */
  li {
    padding-inline-start: 9px;
    border-inline-start: 3px solid transparent;
  }
  li.current {
    border-color: var(--accent);
  }
  li.current .name {
    font-weight: 600;
  }
  .mark {
    color: var(--soft);
    font-weight: 400;
  }
`;
