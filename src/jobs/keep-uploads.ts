/** Files that wait for a person's yes: for an hour, and the newest few; the folder behind them goes with them. */
import { tmpdir } from 'node:os';
import type { Context } from '../usecases/context.ts';
import { dropUpload, putUpload, type Upload } from '../usecases/import-upload.ts';
import type { TableKind } from '../usecases/tables/columns.ts';

const KEPT_S = 3600;
const MAX_KEPT = 8;

export type UploadKeeper = {
  put(file: { readonly kind: TableKind; readonly name: string; readonly bytes: Uint8Array }): Promise<Upload>;
  find(id: string): Upload | undefined;
  drop(id: string): Promise<void>;
};

export function keepUploads(context: Pick<Context, 'now' | 'newId'>, tempFolder = tmpdir()): UploadKeeper {
  const kept = new Map<string, { readonly upload: Upload; readonly at: number }>();
  const drop = async (id: string): Promise<void> => {
    const found = kept.get(id);
    kept.delete(id);
    if (found) await dropUpload(found.upload);
  };
  const clear = async (): Promise<void> => {
    const ids = [...kept.keys()];
    const old = ids.filter((id, i) => kept.get(id)!.at < context.now() - KEPT_S || i < ids.length - MAX_KEPT);
    await Promise.all(old.map(drop));
  };
  return {
    async put(file) {
      const upload = await putUpload(context, tempFolder, file);
      kept.set(upload.id, { upload, at: context.now() });
      await clear();
      return upload;
    },
    find: (id) => kept.get(id)?.upload,
    drop,
  };
}
