import { refused, type Refusal } from '../../../src/base/outcome.ts';

/**
 * What went wrong inside the database → a refusal. Told apart by name: quota errors have been a DOMException and a class
 * of their own, and neither survives every border.
 */
export function storageRefusal(error: unknown): Refusal {
  const { name, message } = describe(error);
  if (name === 'QuotaExceededError') return refused('storage-full', { error: name });
  return refused('storage-failed', { error: name, message });
}

function describe(error: unknown): { name: string; message: string } {
  // A DOMException need not be an Error everywhere, so look at the fields and not at the class.
  if (typeof error !== 'object' || error === null) return { name: 'Error', message: String(error) };
  const { name, message } = error as { name?: unknown; message?: unknown };
  return {
    name: typeof name === 'string' ? name : 'Error',
    message: typeof message === 'string' ? message : '',
  };
}
