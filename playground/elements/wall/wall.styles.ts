import { css } from 'lit';

export const styles = css`
  .head {
    display: flex;
    gap: 8px;
    align-items: center;
    justify-content: space-between;
  }
  .side {
    display: grid;
    gap: 6px;
    align-content: start;
  }
  .head h2 {
    margin-inline-end: auto;
  }
  .note:empty {
    display: none;
  }
  .map[aria-pressed='true'] {
    color: var(--on-accent);
    background: var(--accent);
    border-color: var(--accent);
  }
  .acts {
    display: flex;
    flex-wrap: wrap;
    gap: 6px;
  }
  .widen {
    display: none;
  }
  ul {
    list-style: none;
    margin: 12px 0 0;
    padding: 0;
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(150px, 1fr));
    gap: 14px;
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
  .blank {
    display: grid;
    place-items: center;
    width: 100%;
    aspect-ratio: 3 / 2;
    border: 1px dashed var(--edge);
    color: var(--soft);
    background: var(--panel);
  }
  .name {
    display: flex;
    justify-content: space-between;
    gap: 8px;
    padding: 3px 0 0;
    white-space: nowrap;
  }
  .words {
    overflow: hidden;
    text-overflow: ellipsis;
  }
  .foot {
    display: flex;
    gap: 10px;
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
  .foot button[aria-pressed='true'] {
    color: var(--ink);
    text-decoration: underline;
    text-underline-offset: 3px;
  }
  .figure {
    margin-inline-end: auto;
  }
  /* The chosen one is marked above its picture, never on it. */
  li {
    min-width: 0;
    padding-top: 5px;
    border-top: 3px solid transparent;
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
  @media (pointer: coarse) {
    .foot button {
      min-height: 40px;
      padding-inline: 6px;
    }
  }
  @media (min-width: 801px) {
    :host {
      display: grid;
      grid-template-columns: max-content minmax(0, 1fr);
      height: 100%;
    }
    .widen {
      display: block;
    }
    .side {
      gap: 5px;
      padding: 6px 12px;
      border-inline-end: 1px solid var(--line);
    }
    .hung {
      display: grid;
      grid-template-rows: minmax(0, 1fr);
      min-width: 0;
      min-height: 0;
    }
    .hung:has(.note:not(:empty)) {
      grid-template-rows: auto minmax(0, 1fr);
    }
    .note {
      padding: 8px 14px 0;
    }
    ul {
      margin: 0;
      padding: 10px 14px 20px;
      grid-template-columns: repeat(auto-fill, minmax(250px, 1fr));
      align-content: start;
      overflow-y: auto;
    }
    :host([strip]) ul {
      display: flex;
      gap: 12px;
      padding: 2px 12px 0;
      overflow: auto hidden;
      scrollbar-width: thin;
      scrollbar-color: var(--line) transparent;
    }
    :host([strip]) li {
      flex: none;
      width: min-content;
    }
    :host([strip]) li .use {
      min-width: 104px;
    }
    :host([strip]) .mark {
      display: none;
    }
    :host([strip]) .blank {
      height: 60px;
    }
    :host([strip]) .name {
      width: 0;
      min-width: 100%;
    }
    :host([strip]) {
      --band-height: 60px;
    }
    /* What does not fit into a row opens over the picture. */
    :host([strip]) details[open] > :not(summary) {
      position: absolute;
      bottom: calc(var(--foot) + 48px);
      width: 300px;
      max-height: 60dvh;
      overflow-y: auto;
      padding: 10px 12px;
      background: var(--ground);
      border: 1px solid var(--edge);
    }
  }
`;
