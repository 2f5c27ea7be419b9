/** Hands text over as a file. */
export function download(name: string, type: string, content: string): void {
  const address = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser takes the file a moment later.
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
