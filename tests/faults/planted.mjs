/** The source with a fault in it. @throws Error where the fault no longer fits what it changes */
export function planted(source, { name, file, changes }) {
  return changes.reduce((text, [from, to, times = 1]) => {
    const found = text.split(from).length - 1;
    if (found !== times) {
      throw new Error(`${name}: in ${file} “${from}” stands ${found} times, not ${times}. Bring the fault up to date.`);
    }
    return text.replaceAll(from, () => to);
  }, source);
}
