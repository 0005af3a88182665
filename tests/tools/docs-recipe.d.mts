export function pages(given: {
  load: (module: string) => Promise<any>;
  root: string;
}): Promise<{ path: string; content: string }[]>;
