/** Hands a text to the person as a file, by a link: works in every browser, offline too. */
export function saveText(document: Document, name: string, text: string): void {
  const address = URL.createObjectURL(new Blob([text], { type: 'text/plain' }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  // The browser has taken hold of it by the next task; revoking at once would cancel it in some.
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
