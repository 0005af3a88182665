import { css } from 'lit';

export const styles = css`
  dialog {
    box-sizing: border-box;
    width: min(1080px, calc(100vw - 40px));
    max-width: none;
  }
  ul {
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(min(100%, 220px), 1fr));
    gap: 14px;
    width: 100%;
    margin: 0;
    padding: 0;
    list-style: none;
  }
  .use {
    display: grid;
    width: 100%;
    gap: 6px;
    align-content: start;
    padding: 6px;
    text-align: start;
  }
  .use[aria-pressed='true'] {
    border-color: var(--accent);
  }
  lw-band,
  .blank {
    display: grid;
    place-items: center;
    aspect-ratio: 3 / 2;
    overflow: hidden;
    background: var(--panel);
    --band-height: 100%;
  }
  /* A row of the cell's height: one as tall as the picture would show a corner of it. */
  lw-band {
    grid-template: minmax(0, 1fr) / minmax(0, 1fr);
  }
  .blank {
    padding: 8px;
    color: var(--soft);
    text-align: center;
    overflow-wrap: anywhere;
  }
  .name {
    display: flex;
    justify-content: space-between;
    gap: 8px;
    overflow-wrap: anywhere;
  }
  .buttons {
    display: flex;
    flex-wrap: wrap;
    gap: 8px;
    align-items: center;
  }
`;
