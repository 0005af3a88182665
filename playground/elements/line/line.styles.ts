import { css } from 'lit';

export const styles = css`
  :host {
    padding-block: 14px;
  }
  .head {
    display: flex;
    gap: 6px;
    align-items: center;
  }
  .head select {
    flex: 1 1 0;
    width: 0;
    min-width: 44px;
  }
  .file {
    margin-top: 8px;
    overflow-wrap: anywhere;
  }
  select {
    width: 92px;
    font-size: 14px;
    font-weight: 600;
  }
  .reason {
    margin: 0 0 8px;
    font-size: 12px;
  }
  dl {
    display: grid;
    grid-template-columns: repeat(3, auto);
    justify-content: space-between;
    gap: 4px 12px;
    margin: 8px 0 0;
  }
  dt {
    font-size: 12px;
    color: var(--soft);
  }
  dd {
    margin: 0;
    white-space: nowrap;
  }
  .target {
    display: flex;
    align-items: center;
    justify-content: space-between;
    margin-top: 6px;
    color: var(--soft);
  }
  .target lw-number {
    width: 76px;
    color: var(--ink);
  }
  .combined {
    margin: 0 0 8px;
    font-size: 12px;
  }
  .warning {
    margin-top: 6px;
    font-size: 12px;
  }
  details {
    margin-top: 8px;
  }
  summary {
    min-height: 24px;
    cursor: pointer;
  }
  @media (pointer: coarse) {
    summary {
      min-height: 40px;
    }
  }
`;
