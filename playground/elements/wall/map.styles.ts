import { css } from 'lit';

export const styles = css`
  :host {
    display: grid;
    /* The last but one row has room for the numbers of the axis and two lines of words. */
    grid-template: 22px minmax(0, 1fr) 56px auto / minmax(0, 1fr);
    height: 100%;
    min-height: 420px;
    padding: 6px 14px 8px;
  }
  .map {
    position: relative;
    margin-inline-start: 34px;
    border: solid var(--line);
    border-width: 0 0 1px 1px;
  }
  .end,
  .ends {
    color: var(--soft);
  }
  .ends {
    display: flex;
    justify-content: space-between;
    align-items: end;
    gap: 12px;
    margin-inline-start: 34px;
  }
  svg {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
    overflow: visible;
    pointer-events: none;
  }
  .rule {
    stroke: var(--line);
  }
  .away {
    stroke: var(--soft);
  }
  .dot {
    fill: var(--ink);
    stroke: var(--ground);
  }
  text {
    fill: var(--soft);
    font-size: 11px;
  }
  .noise text {
    text-anchor: middle;
  }
  .separation text {
    text-anchor: end;
  }
  ol {
    list-style: none;
    margin: 0;
    padding: 0;
  }
  li {
    position: absolute;
    top: 0;
    left: 0;
  }
  .use {
    display: block;
    width: 100%;
    height: 100%;
    min-height: 0;
    padding: 0;
    border: 0;
    background: var(--ground);
    text-align: start;
  }
  .use:hover,
  .use:focus-visible {
    background: var(--raised);
  }
  .name {
    display: block;
    height: 18px;
    padding-inline: 2px;
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
    font-size: 11.5px;
    line-height: 18px;
  }
  .current {
    outline: 2px solid var(--accent);
  }
  .current .name {
    font-weight: 600;
  }
`;
