import { css } from 'lit';

export const styles = css`
  :host {
    position: relative;
  }
  /* The native field lies unseen over the swatch, which shows the colour in the picture's own space. */
  .well {
    position: relative;
    height: 22px;
    border-radius: 1px;
  }
  .well:hover {
    outline: 1px solid var(--soft);
  }
  .well:focus-within {
    outline: 2px solid var(--accent);
    outline-offset: 1px;
  }
  svg {
    display: block;
  }
  .unused {
    border: 1px dashed var(--faint);
  }
  [type='color'] {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
    padding: 0;
    border: 0;
    opacity: 0;
    cursor: pointer;
  }
  [type='text'] {
    width: 100%;
    min-height: 24px;
    margin-top: 2px;
    padding: 0 4px;
    border: 1px solid var(--edge);
    border-radius: 2px;
    background: transparent;
    color: var(--soft);
    font: inherit;
    font-size: 12px;
    text-align: center;
    text-overflow: ellipsis;
  }
  [type='text']::placeholder {
    color: var(--faint);
    opacity: 1;
  }
  [type='text']:hover,
  [type='text']:focus {
    background: var(--raised);
  }
  [type='text']:focus {
    color: var(--ink);
  }
  [aria-invalid='true'] {
    text-decoration: underline wavy;
    text-underline-offset: 3px;
  }
  .fault {
    position: absolute;
    z-index: 2;
    inset-inline-start: 0;
    top: 100%;
    width: max-content;
    max-width: 260px;
    padding: 2px 8px;
    background: var(--ink);
    color: var(--ground);
    font-size: 12px;
    font-weight: 400;
    text-align: start;
  }
  @media (pointer: coarse) {
    .well {
      height: 36px;
    }
    [type='text'] {
      min-height: 40px;
    }
  }
`;
