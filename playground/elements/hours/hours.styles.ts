import { css } from 'lit';

export const styles = css`
  :host {
    container-type: inline-size;
  }
  .parts {
    display: grid;
    gap: 20px 40px;
    align-items: start;
  }
  .part {
    display: grid;
    gap: 8px;
    min-width: 0;
  }
  fieldset {
    display: flex;
    flex-wrap: wrap;
    gap: 0 12px;
    align-items: center;
    margin: 0;
    padding: 0;
    border: 0;
  }
  legend {
    float: inline-start;
    padding: 0;
    color: var(--soft);
  }
  label {
    display: flex;
    gap: 5px;
    align-items: center;
    min-height: 28px;
  }
  .caution {
    max-width: 72ch;
    font-size: 12px;
  }
  fieldset lw-number {
    width: 56px;
  }
  .mark {
    justify-self: start;
  }
  details.limits {
    margin-top: 0;
  }
  details {
    margin-top: 14px;
    padding-top: 8px;
    border-top: 1px solid var(--line);
  }
  summary {
    min-height: 24px;
    cursor: pointer;
  }
  lw-outlook {
    margin-top: 8px;
  }
  @container (min-width: 620px) {
    .parts {
      grid-template-columns: repeat(2, minmax(0, 1fr));
    }
  }
  button[aria-pressed='true'] {
    color: var(--on-accent);
    background: var(--accent);
    border-color: var(--accent);
  }
  @container (min-width: 740px) {
    .parts {
      grid-template-columns: minmax(0, 7fr) minmax(0, 8fr) minmax(0, 8fr);
      gap: 20px 28px;
    }
  }
  @container (min-width: 860px) {
    .parts {
      grid-template-columns: minmax(0, 8fr) minmax(0, 9fr) minmax(0, 8fr);
      gap: 20px 36px;
    }
  }
  @media (pointer: coarse) {
    label,
    summary {
      min-height: 40px;
    }
  }
`;
