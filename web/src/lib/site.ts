// Where on its host the program lies: at the root, or below a path that a proxy takes away. Scripts lie in the folder
// `assets` of that place, and know by it where they are.

/** The path before all pages, such as `/voice`; empty at the root, and where scripts are not built. */
export function mountOf(script: string): string {
  const { pathname } = new URL(script);
  const at = pathname.lastIndexOf("/assets/");
  return at < 0 ? "" : pathname.slice(0, at);
}

const MOUNT = mountOf(import.meta.url);

/** The whole path of a page or request that the program names from its own root, such as `/api/me`. */
export function site(path: string): string {
  return MOUNT + path;
}
