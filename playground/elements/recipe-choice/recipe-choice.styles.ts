import { css } from 'lit';

export const styles = css`
  :host {
    display: flex;
    flex-wrap: wrap;
    gap: 8px 12px;
    align-items: center;
  }
  label {
    display: flex;
    gap: 8px;
    align-items: center;
    font-weight: 600;
  }
  select {
    font-size: 14px;
    min-width: 150px;
    font-weight: 400;
  }
  .steps {
    display: flex;
    gap: 6px;
  }
  .about {
    flex: 1 1 280px;
    max-width: 72ch;
    font-size: 12px;
  }
`;
