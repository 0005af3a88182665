/** Round hours from 0 to the end of an axis, four to six of them. */
export const ticks = (until: number): number[] => {
  const scale = 10 ** Math.floor(Math.log10(until / 3));
  const step = scale * [1, 2, 5, 10].find((s) => until / (s * scale) <= 5)!;
  return Array.from({ length: Math.floor(until / step + 1e-9) + 1 }, (_, i) => Number((i * step).toPrecision(6)));
};

/**
 * Places as near to the wanted ones as they can be with `gap` between neighbours, between `low` and `high` as long as
 * there is room: neighbours that would touch are put side by side about their mean.
 */
export const apart = (wanted: readonly number[], gap: number, low: number, high: number): number[] => {
  const order = [...wanted.keys()].sort((a, b) => wanted[a]! - wanted[b]!);
  let groups: { members: number[]; middle: number }[] = order.map((i) => ({
    members: [i],
    middle: Math.max(low, Math.min(high, wanted[i]!)),
  }));
  for (let moved = true; moved; ) {
    moved = false;
    for (let g = 0; g + 1 < groups.length; g++) {
      const [a, b] = [groups[g]!, groups[g + 1]!];
      const needed = (gap * (a.members.length + b.members.length)) / 2;
      if (b.middle - a.middle >= needed - 1e-9) continue;
      const members = [...a.members, ...b.members];
      const mean = members.reduce((sum, i) => sum + wanted[i]!, 0) / members.length;
      const reach = (gap * (members.length - 1)) / 2;
      const middle = Math.max(low + reach, Math.min(high - reach, mean));
      groups = [...groups.slice(0, g), { members, middle }, ...groups.slice(g + 2)];
      moved = true;
    }
  }
  const places = [...wanted];
  for (const { members, middle } of groups)
    for (const [k, i] of members.entries()) places[i] = middle + gap * (k - (members.length - 1) / 2);
  return places;
};
