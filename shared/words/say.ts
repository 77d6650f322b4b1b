import { type WordKey, words } from './en';

/** The sentence under a key, with its places filled. A value that the sentence needs and doesn't get is an error. */
export function say(key: WordKey, values: Readonly<Record<string, string | number>> = {}): string {
  const sentence: string | undefined = words[key];
  if (sentence === undefined) throw new Error(`There are no words under ${key}.`);
  return sentence.replace(/\{(\w+)\}/g, (_, name: string) => {
    const value = values[name];
    if (value === undefined) throw new Error(`The words under ${key} need a value for ${name}.`);
    return String(value);
  });
}
