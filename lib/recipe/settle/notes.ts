import type { ChannelFindings } from './findings.ts';

/** A notebook that the single steps write into. */
export interface Notes {
  readonly findings: Record<string, ChannelFindings>;
  readonly warnings: string[];
  add(name: string, found: ChannelFindings): void;
}

/** An empty notebook. */
export const notebook = (): Notes => {
  const findings: Record<string, ChannelFindings> = {};
  return {
    findings,
    warnings: [],
    add(name, found) {
      findings[name] = { ...findings[name], ...found };
    },
  };
};
