/** Words about the worker that computes. */
export const engineText = {
  falling: 'The worker has stopped several times in a row.',
  fallingAdvice: 'These masters may need more memory than there is: close other pages, or use the command line.',
  tryAgain: 'Open them again',
} as const;
