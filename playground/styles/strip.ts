import { css } from 'lit';

/** A strip of controls below the picture. */
export const strip = css`
  section {
    display: flex;
    flex-wrap: wrap;
    gap: 6px 18px;
    align-items: center;
    padding: 8px 0;
  }
  section > label,
  .choice {
    display: flex;
    gap: 7px;
    align-items: center;
  }
  fieldset {
    display: flex;
    flex-wrap: wrap;
    gap: 6px 18px;
    margin: 0;
    padding: 0;
    border: 0;
  }
  @media (pointer: coarse) {
    .keys {
      display: none;
    }
  }
  @media (max-width: 800px) {
    section {
      padding-inline: 14px;
    }
  }
`;
