/** Whether a scale has its answer: a place, a number that it takes, or words that were ticked. */
export const isFilled = (scale: Element): boolean =>
  scale.querySelector(':checked') !== null ||
  [...scale.querySelectorAll<HTMLInputElement>('input[type="number"]')].some(
    ({ value, validity }) => value !== '' && validity.valid,
  );
