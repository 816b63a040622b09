/** Bytes as text, for records and for pictures shown from the page itself. */

export function base64Of(bytes: Uint8Array): string {
  let binary = '';
  // In parts: an engine takes only so many arguments at once.
  for (let at = 0; at < bytes.length; at += 0x8000) binary += String.fromCharCode(...bytes.subarray(at, at + 0x8000));
  return btoa(binary);
}

/** Throws where the text is no base64. */
export function bytesOf(base64: string): Uint8Array {
  return Uint8Array.from(atob(base64), (character) => character.charCodeAt(0));
}

/** The picture as a page under a strict policy may show it. */
export function dataUri(type: string, bytes: Uint8Array): string {
  return `data:${type};base64,${base64Of(bytes)}`;
}
