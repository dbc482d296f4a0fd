export const OURS: string;
export interface Served {
  readonly port: number;
  readonly origin: string;
  close(): Promise<void>;
}
export function serve(what: {
  readonly root: string;
  readonly port?: number;
  readonly version?: string;
}): Promise<Served>;
export function whoAnswers(port: number): Promise<'ours' | 'another' | 'nobody'>;
