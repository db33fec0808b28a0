/** Files of the installed package, found alike from a source in src/, from what tsc builds and from the bundle of it. */
import { existsSync } from 'node:fs';

const ROOT = root();

/** @param path from the package's root; the file itself need not be there */
export function packageFile(path: string): URL {
  return new URL(path, ROOT);
}

/** The nearest folder upwards that has a package.json. @throws Error at the top of the file system */
function root(): URL {
  let folder = new URL('.', import.meta.url);
  while (!existsSync(new URL('package.json', folder))) {
    const above = new URL('..', folder);
    if (above.href === folder.href) throw new Error(`no package.json above ${import.meta.url}; the package is not whole`);
    folder = above;
  }
  return folder;
}
