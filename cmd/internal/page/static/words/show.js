// Asking the picture to show another view. The picture listens for this event, so the
// words need not know how it keeps its view.

export const VIEW_WANTED = 'strew-view';

/** @param {string} view "flat", "worn", "sheets", "cloth", "pages", "list" or "board" */
export function show(view) {
  document.dispatchEvent(new CustomEvent(VIEW_WANTED, { detail: view }));
}
