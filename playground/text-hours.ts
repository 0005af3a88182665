const list = (words: readonly string[]): string => words.join(', ');

/** A figure that is not broken from its unit at the end of a line. */
const firm = (figure: string): string => figure.replaceAll(' ', '\u00a0');

/** Every word about noise and hours; loaded with the panel of hours. */
export const text = {
  steps: {
    goal: 'what hours are for',
    snr: 'SNR to reach',
    more: 'hours to come',
    nights: 'nights',
    change: 'time lost for a line',
    spent: (line: string) => `hours of ${line}`,
    cap: (line: string) => `most hours of ${line}`,
  },
  ledger: {
    title: 'Noise',
    atSky: 'What one pixel of sky varies by, and which line it comes from',
    atBox: 'What one pixel of the box varies by, and which line it comes from',
    unit: '‰ of white',
    smoothed: 'smoothed',
    unsmoothed: 'The mix is smoothed; the box is shown as it is before that.',
    split: 'Hours are split by the noise before smoothing: hours reduce that noise.',
    from: 'from',
    snr: 'SNR',
    snrOfMean: 'of all',
    quantities: { red: 'red', green: 'green', blue: 'blue', luminance: 'luminance', colour: 'colour' },
    share: (line: string, percent: string) => `${line} ${percent}`,
    none: 'none',
  },
  hours: {
    title: 'Hours to come',
    goal: 'Least noise of',
    more: 'Hours to come',
    moreOf: (hours: string) => `${hours} more`,
    moreTyped: 'Hours to come, typed',
    unit: 'h',
    now: 'now',
    best: 'best split',
    end: (line: string | undefined, percent: string) =>
      line === undefined ? `to the best split ${percent}` : `to ${line} alone ${percent}`,
    describe: (quantity: string, hours: string, ends: readonly string[]) =>
      `Noise of ${quantity} against hours added; 100 % is now. After ${hours}: ${list(ends)}.`,
    gain: ({ hours, quantity, best, equal }: Readonly<Record<'hours' | 'quantity' | 'best' | 'equal', string>>) =>
      `${firm(hours)} in the best split lower the noise of ${quantity} by ${firm(best)}; in equal shares by ${firm(equal)}.`,
    noGain: 'No hours to split.',
    little: (hours: string | undefined, percent: string) =>
      hours === undefined
        ? `One more hour takes less than ${firm(percent)} of the noise.`
        : `After ${firm(hours)} (the bar), one more takes less than ${firm(percent)} of the noise.`,
    inPicture: 'Show in the picture',
    inPictureOf: 'Sets the mix against an estimate of it after these hours: the noise that is there, made smaller',
    splitTitle: 'Best split',
    line: 'line',
    splitCaption: 'Hours so far and hours to come by line',
    spent: 'hours so far',
    spentOn: (line: string) => `Hours of ${line} so far`,
    oneMore: '1 h more brings',
    add: 'add',
    plus: (hours: string) => `+${hours}`,
    nothingAdded: '–',
    fall: (percent: string) => `−${percent}`,
    subs: (count: number, seconds: number) => `${count} × ${Number(seconds.toPrecision(4))} s`,
    fromHeader: 'by its header',
    notInHeader: 'not in its header',
    typed: 'typed in',
    toHeader: (hours: string) => `header: ${hours}`,
    unknown: (lines: readonly string[]) =>
      `How long ${list(lines)} ${lines.length > 1 ? 'were' : 'was'} exposed is not known: type the hours in to plan more.`,
    snrStep: (snr: number, hours: string) => `to SNR ${snr}: ${hours}`,
    reached: 'reached',
    outOfReach: 'out of reach',
    looking: (done: number) => `Looking at the noise: ${Math.round(100 * done)} %`,
    season: 'Plan nights for all targets…',
    nothing: 'There is no mix yet whose noise could be looked at.',
    caution: 'These figures are estimates; nights outdoors are subject to weather, local rules and common sense.',
    limits: 'They tell of noise alone: gradients, halos and misfit do not go away with hours.',
  },
  goals: { luminance: 'luminance', colour: 'colour', snr: 'SNR' },
  goal: {
    label: 'SNR of the feature to reach',
    mark: 'Mark the feature',
    needsBox: 'Draw a box around the feature that matters to you.',
    needs: (hours: string, snr: string) => `${hours} more bring the feature to SNR ${snr} a pixel.`,
    there: (snr: string) => `The feature has SNR ${snr} a pixel already.`,
  },
  limits: {
    title: 'Nights and limits',
    nights: 'Nights to come',
    nightsWord: 'Nights',
    nightsOf: 'of',
    each: 'Hours a night',
    change: 'Lost for each line, every night',
    changeLabel: 'Minutes lost for each line, every night',
    minutes: 'min',
    cap: (line: string) => `${line} at most`,
    capOf: (line: string) => `Most hours of ${line}`,
    inAll: 'h in all',
  },
  nights: {
    title: 'Night by night',
    one: (night: string) => `Night ${night}`,
    several: (first: string, last: string) => `Nights ${first} to ${last}`,
    block: (line: string, hours: string, subs?: number) =>
      subs === undefined ? `${line} ${hours}` : `${line} ${hours} (${subs} subs)`,
    nothing: 'nothing',
  },
  outlook: {
    title: (hours: string) => `What ${hours} more are worth in pixels (an estimate)`,
    faint: 'A faint part of the picture, every pixel twice as large; zoom in to see another.',
    middle: 'The middle of the view, every pixel twice as large.',
    about: 'Nobody can show a picture that has not been taken; this can be shown:',
    picture: {
      back: 'The mix with noise added, as it was the same step ago',
      now: 'The mix as it is',
      smooth: 'The mix with neighbouring pixels averaged, as calm as after the hours to come',
    },
    name: { back: 'The same step ago', now: 'Now', smooth: 'As calm as then' },
    caption: {
      back: (hours: readonly string[]) =>
        `Noise added as of fewer hours${hours.length > 0 ? `: ${list(hours)}` : ''}. From here to now is the step that is planned once more.`,
      now: 'Your masters as they are.',
      smooth: 'Neighbouring pixels averaged: the calm of the hours to come, without the detail they would bring.',
    },
    hoursBack: (line: string, hours: string) => `${line} ${hours}`,
  },
} as const;
