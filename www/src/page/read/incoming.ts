// What people hand over: files, dropped or chosen, and folders with all that lies in them.

export type Incoming = {
  readonly file: File;
  /** The folders that it lay in, divided by slashes; empty where it was handed over by itself. */
  readonly folder: string;
};

/** What came, and how many files of a folder were no recordings by their names. */
export type Delivery = { readonly recordings: readonly Incoming[]; readonly others: number };

/** Names that recordings have. What is handed over by itself is read whatever its name. */
const RECORDING =
  /\.(wav|wave|bwf|rf64|mov|mp4|m4a|m4v|caf|aif|aiff|aifc|flac|mp3|mp2|aac|ogg|oga|opus|mkv|mka|webm)$/i;

/** The files of an input, with their folders where a folder was chosen. */
export function chosen(files: FileList | null): Delivery {
  return sorted(
    [...(files ?? [])].map((file) => ({ file, folder: folderOf(file.webkitRelativePath) })),
  );
}

/** What was dropped, with what lies in the folders among it. */
export async function dropped(transfer: DataTransfer): Promise<Delivery> {
  // The list is emptied once the event has ended: everything is taken from it at once.
  const items = [...transfer.items].filter(({ kind }) => kind === 'file');
  const found = items.map((item) => {
    const entry = item.webkitGetAsEntry();
    const file = item.getAsFile();
    return { entry, file };
  });
  const all = await Promise.all(
    found.map(({ entry, file }) => {
      if (entry?.isDirectory === true) return within(entry as FileSystemDirectoryEntry, '');
      return file === null ? [] : [{ file, folder: '' }];
    }),
  );
  return sorted(all.flat());
}

function folderOf(path: string): string {
  return path.slice(0, Math.max(0, path.lastIndexOf('/')));
}

async function within(folder: FileSystemDirectoryEntry, above: string): Promise<Incoming[]> {
  const path = above === '' ? folder.name : `${above}/${folder.name}`;
  const inside = await entriesOf(folder);
  const all = inside.map(async (entry): Promise<Incoming[]> => {
    if (entry.isDirectory) return within(entry as FileSystemDirectoryEntry, path);
    const file = await fileOf(entry as FileSystemFileEntry);
    return file === undefined ? [] : [{ file, folder: path }];
  });
  return (await Promise.all(all)).flat();
}

/** Browsers hand out a folder's entries in portions, until a portion is empty. */
async function entriesOf(folder: FileSystemDirectoryEntry): Promise<FileSystemEntry[]> {
  const reader = folder.createReader();
  const all: FileSystemEntry[] = [];
  for (;;) {
    const portion = await new Promise<FileSystemEntry[]>((resolve) =>
      reader.readEntries(resolve, () => resolve([])),
    );
    if (portion.length === 0) return all;
    all.push(...portion);
  }
}

function fileOf(entry: FileSystemFileEntry): Promise<File | undefined> {
  return new Promise((resolve) => entry.file(resolve, () => resolve(undefined)));
}

/** Recordings in the order of their folders and names; what else lies in folders is counted. */
function sorted(all: readonly Incoming[]): Delivery {
  const wanted = all.filter(({ file, folder }) => folder === '' || isRecording(file.name));
  const inFolders = wanted.some(({ folder }) => folder !== '');
  const path = ({ file, folder }: Incoming) => `${folder}/${file.name}`;
  const order = new Intl.Collator('en', { numeric: true });
  const recordings = inFolders
    ? wanted.toSorted((a, b) => order.compare(path(a), path(b)))
    : wanted;
  return { recordings, others: all.length - wanted.length };
}

/** Files whose names begin with a full stop are a system's own, whatever they end with. */
function isRecording(name: string): boolean {
  return RECORDING.test(name) && !name.startsWith('.');
}
