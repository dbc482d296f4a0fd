/** Asks the browser not to throw the store away when room is short. The answer changes nothing: each catch is written anyway. */
export async function askToKeepStorage(navigator: Navigator): Promise<boolean> {
  try {
    return 'storage' in navigator ? await navigator.storage.persist() : false;
  } catch {
    return false;
  }
}
