import { css } from 'lit';

export const styles = css`
  :host {
    display: grid;
    gap: 10px;
    align-content: start;
    justify-items: start;
  }
  label {
    display: flex;
    gap: 8px;
    align-items: center;
  }
  input[type='text'] {
    width: 100%;
    min-width: 0;
    min-height: 28px;
    padding: 3px 6px;
    border: 1px solid var(--edge);
    border-radius: 2px;
    background: var(--raised);
    color: var(--ink);
    font: inherit;
  }
  input::placeholder {
    color: var(--faint);
    opacity: 1;
  }
  @media (pointer: coarse) {
    input[type='text'],
    label {
      min-height: 40px;
    }
  }
  .copies {
    display: flex;
    flex-wrap: wrap;
    gap: 6px;
  }
  .work {
    display: grid;
    gap: 6px;
    width: 100%;
    justify-items: start;
  }
  .main {
    background: var(--main);
    color: var(--on-main);
    border-color: var(--on-main);
    font-weight: 600;
  }
  .main:disabled {
    background: transparent;
    color: var(--off);
    border-color: var(--edge);
  }
`;
