// Runs before the first paint, so that a night reader is not flashed with paper. A file of its own: the content policy admits
// no inline script. Plain JS, because nothing builds it. The key is the one of state/preferences.svelte.ts (a test holds them equal).
(function () {
  try {
    var kept = JSON.parse(localStorage.getItem('catchbench.preferences') || '{}');
    if (['day', 'night', 'sun'].indexOf(kept.theme) >= 0) document.documentElement.dataset.theme = kept.theme;
  } catch {
    // No storage, or not ours: the day theme stands.
  }
})();
