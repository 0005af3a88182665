/** Version of linewash; a test holds it equal to package.json. */
export const VERSION = '0.2.0';
