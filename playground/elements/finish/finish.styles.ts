import { css } from 'lit';

export const styles = css`
  p {
    margin: 0;
  }
  .gain {
    grid-template-columns: minmax(0, 1fr) 72px auto;
  }
  .buttons {
    display: flex;
    flex-wrap: wrap;
    gap: 6px;
  }
  h4 {
    margin: 6px 0 0;
    color: var(--soft);
    font-size: inherit;
    font-weight: 400;
  }
`;
