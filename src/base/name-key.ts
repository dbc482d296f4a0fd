/**
 * Names that mean the same thing to a person: case, accents' composition and blanks at the ends or doubled don't count. Tips and rigs
 * are individuals that people know by name; two of one name in one book are one.
 */
export function nameKey(name: string): string {
  return name.normalize('NFKC').trim().replaceAll(/\s+/gu, ' ').toLocaleLowerCase('en');
}
