import { css } from 'lit';

export const styles = css`
  :host {
    position: relative;
    display: grid;
    grid-template-rows: minmax(auto, 1fr) auto auto;
    min-width: 0;
  }
  .view {
    position: relative;
    min-height: 36dvh;
    overflow: hidden;
    touch-action: none;
    cursor: grab;
  }
  .view:active {
    cursor: grabbing;
  }
  .view:focus-visible {
    outline-offset: -2px;
  }
  canvas {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
  }
  .empty {
    position: absolute;
    inset: 0;
    display: grid;
    place-items: center;
    font-size: 15px;
  }
  .bar {
    display: flex;
    flex-wrap: wrap;
    gap: 6px;
    align-items: center;
    padding: 6px 0;
  }
  .bar output {
    min-width: 5ch;
    text-align: end;
  }
  .bar .name {
    margin-inline-start: auto;
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
  }
  .strips {
    max-height: 34dvh;
    overflow-y: auto;
  }
  .strips > * {
    border-top: 1px solid var(--line);
  }
  @media (max-width: 800px) {
    /* One row that is pushed sideways: the picture keeps its height. */
    .bar {
      flex-wrap: nowrap;
      padding: 6px 14px;
      overflow-x: auto;
      scrollbar-width: none;
    }
    .bar > * {
      flex: none;
    }
    .view {
      min-height: 30dvh;
    }
    .strips {
      max-height: 26dvh;
    }
    .bar .name {
      display: none;
    }
  }
`;
