/** For what a backup was found to hold. */
export const withSounds = (files: number): string =>
  files === 0 ? '' : files === 1 ? ' and 1 file of sound' : ` and ${files} files of sound`;
