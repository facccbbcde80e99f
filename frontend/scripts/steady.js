// Holds what is under the thumb where it is while lines above it come and go.

// Does `change`, then scrolls the page by what the element moved. Answers how far it still is from where it was, in
// pixels: the page cannot be scrolled above its beginning or below its end.
export function steadily(elementNow, change) {
  const before = elementNow();
  const was = before?.getBoundingClientRect().top;
  change();
  if (!before?.isConnected || before.closest("[hidden]")) return 0; // another screen: it need not be laid out now to know
  if (elementNow() !== before) return 0;
  const moved = before.getBoundingClientRect().top - was;
  if (Math.abs(moved) < 1) return 0;
  scrollBy({ top: moved, behavior: "instant" });
  return before.getBoundingClientRect().top - was;
}
