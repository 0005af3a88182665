import { css } from 'lit';

export const styles = css`
  :host {
    position: relative;
    min-width: 0;
    min-height: 0;
  }
  /* All of the window below the head: what panels cover is there when they are put away. */
  .view {
    position: absolute;
    inset: 0;
    /* Whatever lies over the picture lies below the read-outs. */
    isolation: isolate;
    overflow: hidden;
    /* What lies over the picture lies below the row of tools. */
    isolation: isolate;
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
  /* What lies over the mix lies over it alone where others stand beside it. */
  .view > .over {
    clip-path: var(--mix-cell, none);
  }
  /* What the panels leave of it. */
  .stage {
    position: absolute;
    inset: 0 var(--right, 0) calc(var(--foot, 0px) + 42px) var(--left, 0);
    pointer-events: none;
  }
  .empty {
    display: grid;
    place-items: center;
    height: 100%;
    font-size: 15px;
  }
  /* Read-outs float at the lower edge of the picture, which keeps its place and its zoom. */
  .edge {
    position: absolute;
    inset: auto var(--right, 0) var(--foot, 0) var(--left, 0);
    display: grid;
    pointer-events: none;
  }
  .edge > * {
    pointer-events: auto;
    background: color-mix(in srgb, var(--ground) 94%, transparent);
    padding-inline: 12px;
  }
  .bar {
    display: flex;
    flex-wrap: wrap;
    gap: 6px;
    align-items: center;
    min-height: 42px;
    padding-block: 6px;
    border-top: 1px solid var(--line);
  }
  .bar button.tools {
    display: none;
  }
  .bar output {
    min-width: 5ch;
    text-align: end;
  }
  .bar .gap {
    width: 10px;
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
    scrollbar-width: thin;
    scrollbar-color: var(--line) transparent;
  }
  .strips:empty {
    display: none;
  }
  .strips > * {
    border-top: 1px solid var(--line);
  }
  @media print {
    :host {
      display: block;
    }
    .view {
      position: relative;
      height: 58vh;
    }
    canvas {
      object-fit: contain;
    }
    .edge {
      position: static;
    }
    .bar > :not(.name),
    .strips {
      display: none;
    }
  }
  @media (min-width: 801px) {
    .bar {
      gap: 5px;
    }
    .bar button {
      padding-inline: 8px;
    }
    .bar .gap {
      width: 4px;
    }
  }
  @media (min-width: 801px) and (max-width: 1180px) {
    .bar .gap,
    .bar .name {
      display: none;
    }
  }
  @media (max-width: 800px) {
    :host {
      display: grid;
      grid-template-rows: minmax(30dvh, 1fr) auto;
    }
    .view,
    .edge {
      position: relative;
      inset: auto;
    }
    .stage {
      inset: 0;
    }
    .edge > * {
      padding-inline: 14px;
    }
    .bar {
      border: 0;
    }
    .bar output {
      margin-inline-end: auto;
    }
    .bar .gap {
      display: none;
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
    .strips {
      order: 1;
      padding-inline: 0;
      max-height: 26dvh;
    }
    .bar .name {
      display: none;
    }
  }
`;
