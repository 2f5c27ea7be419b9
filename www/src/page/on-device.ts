// Small things that are kept on this device, each under a name of its own.

/** Keeps a value; `undefined` is forgotten. A browser that keeps nothing loses nothing but this. */
export function keepOnDevice(name: string, value: unknown): void {
  try {
    if (value === undefined) localStorage.removeItem(name);
    else localStorage.setItem(name, JSON.stringify(value));
  } catch {
    // No room, or not allowed.
  }
}

/** What was kept, whatever that is; `undefined` where nothing was, or nothing that can be read. */
export function keptOnDevice(name: string): unknown {
  try {
    return JSON.parse(localStorage.getItem(name) ?? 'null') ?? undefined;
  } catch {
    return undefined;
  }
}

/** The fields of a form, each from `found` where that has a text for it. */
export function filled<Form extends Record<string, string>>(plain: Form, found: unknown): Form {
  const texts = (typeof found === 'object' && found !== null ? found : {}) as Record<
    string,
    unknown
  >;
  const fields = Object.entries(plain).map(([field, usual]) => {
    const text = texts[field];
    return [field, typeof text === 'string' ? text : usual];
  });
  return Object.fromEntries(fields) as Form;
}
