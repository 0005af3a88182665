import { css } from 'lit';

export const styles = css`
  ol {
    flex-basis: 100%;
    max-height: 120px;
    margin: 0;
    padding-inline-start: 24px;
    overflow: auto;
  }
  li {
    margin-block-end: 4px;
  }
  [type='color'] {
    width: 36px;
    height: 24px;
    padding: 0;
    vertical-align: middle;
  }
  [type='text'] {
    width: 16ch;
    min-height: 24px;
  }
  .left {
    display: inline-block;
    min-width: 14ch;
    font-variant-numeric: tabular-nums;
  }
  .outcome {
    display: flex;
    flex-basis: 100%;
    gap: 18px;
    align-items: center;
    justify-content: space-between;
    /* Two lines of words, so that nothing moves when they change. */
    min-height: 40px;
  }
  .outcome p {
    margin: 0;
  }
  @media (pointer: coarse) {
    [type='color'],
    [type='text'] {
      min-height: 40px;
    }
  }
`;
