import { css } from 'lit';

export const styles = css`
  :host {
    display: flex;
    flex-wrap: wrap;
    gap: 8px 10px;
    align-items: center;
  }
  label {
    flex: 1 1 150px;
    min-width: 0;
    display: flex;
    gap: 8px;
    align-items: center;
    font-weight: 600;
  }
  select {
    font-size: 14px;
    flex: 1 1 0;
    min-width: 0;
    font-weight: 400;
  }
  .steps {
    display: flex;
    gap: 6px;
  }
  .about {
    flex: 1 1 100%;
    max-width: 72ch;
    /* Room for the longest, so that what lies below keeps its place. */
    min-height: 5lh;
    font-size: 12px;
  }
`;
