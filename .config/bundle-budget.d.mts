export interface Weighed {
  readonly files: readonly { readonly name: string; readonly gzip_bytes: number }[];
  readonly lazyFiles: readonly { readonly name: string; readonly gzip_bytes: number }[];
  readonly gzip_bytes: number;
  readonly lazy_gzip_bytes: number;
}
export const BUDGET_BYTES: { readonly page: number; readonly worker: number };
export function measureBundle(dist?: string): { readonly page: Weighed; readonly worker: Weighed };
