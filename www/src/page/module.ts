// The module on the page's own thread, for what must be answered within one picture.

type Module = typeof import('../wasm/plumbline');

let loading: Promise<Module> | undefined;

/** The module, loaded; another attempt after one that failed. */
export function pageModule(): Promise<Module> {
  loading ??= load().catch((error: unknown) => {
    loading = undefined;
    throw error;
  });
  return loading;
}

async function load(): Promise<Module> {
  const module = await import('../wasm/plumbline');
  await module.default();
  return module;
}
