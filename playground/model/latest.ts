/** Work of which only the latest matters: beginning it anew stops what ran before. */
export interface Latest {
  /** Stops what runs and returns the control of the new run. */
  begin(): AbortController;
  stop(): void;
  isLatest(control: AbortController): boolean;
}

export const latest = (): Latest => {
  let current: AbortController | undefined;
  return {
    begin() {
      current?.abort();
      current = new AbortController();
      return current;
    },
    stop: () => current?.abort(),
    isLatest: (control) => control === current,
  };
};
