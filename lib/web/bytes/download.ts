/** Executor a finished file to the browser, which saves it where downloads go. */
export const download = (blob: Blob, name: string): void => {
  const address = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The download has its own hold on the bytes once it began; begin it before letting go.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
};
