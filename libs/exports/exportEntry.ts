/** One file of an export: words made here, or bytes the house keeps. Paths are safe on every system. */
export type ExportEntry =
  { readonly path: string; readonly text: string } | { readonly path: string; readonly sha256: string };

const MOST = 80;

/** A name as a folder or file, told apart from others by the id where one is given. */
export function pathPart(name: string, id = ''): string {
  const plain = name
    .normalize('NFC')
    // What some file system takes for something else.
    .replaceAll(/[\p{Cc}<>:"/\\|?*]/gu, '-')
    .replaceAll(/^[.\s-]+|[.\s]+$/g, '')
    .slice(0, MOST);
  return [plain, id.replaceAll('-', '').slice(-8)].filter((part) => part !== '').join(' ') || 'unnamed';
}

/** The folders below the one that was chosen stay: they may say the orbit. */
export const nestedPath = (name: string): string =>
  name
    .split('/')
    .map((part) => pathPart(part))
    .join('/');

export const asJson = (path: string, value: unknown): ExportEntry => ({
  path,
  text: `${JSON.stringify(value, (_key, inner: unknown) => (typeof inner === 'bigint' ? Number(inner) : inner), 2)}\n`,
});
