import { css } from 'lit';

export const styles = css`
  section {
    gap: 4px 14px;
    padding: 5px 0;
  }
  /* Three places beside each other, two rows at once: the picture is what matters. */
  ol {
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(266px, 1fr));
    gap: 2px 10px;
    flex-basis: 100%;
    max-height: 58px;
    margin: 0;
    padding: 0;
    overflow: auto;
    list-style: none;
  }
  li {
    display: flex;
    gap: 6px;
    align-items: center;
  }
  li button {
    min-height: 24px;
    padding: 0 7px;
  }
  .apply {
    margin-inline-start: auto;
  }
  [type='color'] {
    width: 30px;
    height: 24px;
    padding: 0;
    vertical-align: middle;
  }
  [type='text'] {
    flex: 1 1 12ch;
    width: 12ch;
    min-width: 8ch;
    min-height: 24px;
  }
  .left {
    display: inline-block;
    min-width: 13ch;
    white-space: nowrap;
    font-variant-numeric: tabular-nums;
  }
  .outcome {
    flex-basis: 100%;
    /* Two lines of words, so that nothing moves when they change; what is longer is scrolled to. */
    height: 2lh;
    overflow-y: auto;
  }
  @media (pointer: coarse) {
    [type='color'],
    [type='text'] {
      min-height: 40px;
    }
  }
`;
