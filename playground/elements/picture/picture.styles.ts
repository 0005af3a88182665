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
  .bar button.tools {
    display: none;
  }
  .bar output {
    min-width: 5ch;
    text-align: end;
  }
  /* All of it or nothing: what does not fit beside the first item goes to a second line, which is cut off. */
  .bar .name {
    display: flex;
    flex: 1 1 0;
    flex-wrap: wrap;
    justify-content: end;
    min-width: 0;
    height: 1lh;
    overflow: hidden;
    white-space: nowrap;
  }
  .bar .name::before {
    width: 1px;
    height: 100%;
    content: '';
  }
  .strips {
    max-height: 34dvh;
    overflow-y: auto;
  }
  .strips > * {
    border-top: 1px solid var(--line);
  }
  @media print {
    .view {
      height: 58vh;
    }
    canvas {
      object-fit: contain;
    }
    .bar > :not(.name),
    .strips {
      display: none;
    }
  }
  @media (max-width: 800px) {
    .bar {
      padding: 6px 14px;
    }
    .bar output {
      margin-inline-end: auto;
    }
    /* The tools have a row of their own, which is out only where it is asked for: the picture keeps its height. */
    .bar button.tools {
      display: block;
    }
    .bar lw-tools {
      order: 1;
      width: 100%;
    }
    .bar.shut lw-tools {
      display: none;
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
