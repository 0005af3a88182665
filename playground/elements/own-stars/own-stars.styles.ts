import { css } from 'lit';

export const styles = css`
  .tint,
  .buttons {
    display: flex;
    flex-wrap: wrap;
    gap: 6px;
    align-items: center;
  }
  .tint label {
    display: flex;
    flex: 1 1 auto;
    gap: 8px;
    align-items: center;
    justify-content: space-between;
    color: var(--soft);
  }
  input[type='color'] {
    width: 44px;
    height: 28px;
    padding: 2px;
    border: 1px solid var(--edge);
    border-radius: 2px;
    background: var(--raised);
  }
  table {
    border-collapse: collapse;
    width: 100%;
    font-variant-numeric: tabular-nums;
  }
  th,
  td {
    padding: 1px 12px 1px 0;
    text-align: start;
    font-weight: 400;
  }
  thead th {
    font-size: 12px;
    color: var(--soft);
  }
  tbody th {
    font-weight: 600;
  }
  summary {
    width: max-content;
    max-width: 100%;
    min-height: 24px;
    cursor: pointer;
  }
  lw-stars {
    margin-top: 6px;
  }
  @media (pointer: coarse) {
    summary {
      min-height: 40px;
    }
    input[type='color'] {
      height: 40px;
    }
  }
`;
