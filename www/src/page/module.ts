// The module on the page's own thread, for what must be answered within one picture.

export type PageModule = typeof import('../wasm/plumbline');

let loading: Promise<PageModule> | undefined;

/** The module, loaded; another attempt after one that failed. */
export function pageModule(): Promise<PageModule> {
  loading ??= load().catch((error: unknown) => {
    loading = undefined;
    throw error;
  });
  return loading;
}

async function load(): Promise<PageModule> {
  const module = await import('../wasm/plumbline');
  await module.default();
  return module;
}
