import { readFileSync } from 'node:fs';
import { Command } from 'commander';
import { describe, expect, it } from 'vitest';
import { addHoursOptions } from '../../lib/cli/hours-options.ts';
import { parsePlan } from '../../lib/hours/plan/parse.ts';
import { planSchema } from '../../lib/hours/plan/schema.ts';

const guide = readFileSync(new URL('../../docs/hours.md', import.meta.url), 'utf8');

describe('the guide to hours', () => {
  it('shows a plan that is one', () => {
    const [, text] = /```json\n([\s\S]*?)```/.exec(guide)!;
    expect(parsePlan(text!).targets).toHaveLength(2);
  });

  it('names every key of a target', () => {
    for (const key of Object.keys(planSchema.entries.targets.pipe[0].item.entries))
      expect(guide).toContain(`\`${key}\``);
  });

  it('names only options that there are, and all but the usual ones', () => {
    const there = addHoursOptions(new Command()).options.map(({ long }) => long!);
    // `mix --after` shows what hours would bring.
    const named = new Set(guide.replaceAll('--after', '').match(/--[a-z][a-z-]*/g));
    expect([...named].filter((name) => !there.includes(name))).toEqual([]);
    expect(there.filter((name) => !named.has(name))).toEqual(['--knob', '--quiet']);
  });
});
