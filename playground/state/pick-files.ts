/** Lets the user choose files; none where the choice is given up. Needs a click to have come first. */
export const pickFiles = (): Promise<File[]> => {
  const input = document.createElement('input');
  input.type = 'file';
  input.multiple = true;
  return new Promise((resolve) => {
    input.addEventListener('change', () => resolve([...(input.files ?? [])]));
    input.addEventListener('cancel', () => resolve([]));
    input.click();
  });
};
