/* What is kept for offline: the files of one version, whole, under one name; older versions go when this one starts. */

/** Logical file name to its address; baked in by the build. */
export type BenchFiles = Record<string, string>;

const PREFIX = "bench-";

export function cacheName(version: string): string {
  return PREFIX + version;
}

export async function keepFiles(
  caches: CacheStorage,
  version: string,
  files: BenchFiles,
): Promise<void> {
  const cache = await caches.open(cacheName(version));
  const requests = Object.values(files).map((url) => new Request(url, { cache: "reload" }));
  await cache.addAll(requests);
}

export async function dropOtherVersions(caches: CacheStorage, version: string): Promise<void> {
  for (const name of await caches.keys()) {
    if (name.startsWith(PREFIX) && name !== cacheName(version)) await caches.delete(name);
  }
}

export async function findFile(
  caches: CacheStorage,
  version: string,
  request: Request,
): Promise<Response | undefined> {
  const cache = await caches.open(cacheName(version));
  return cache.match(request, { ignoreSearch: true });
}
