/** Words of a master's card beside those that every panel shares. */
export const lineText = { faint: 'Faint things', rejected: 'Rejected pixels' } as const;
