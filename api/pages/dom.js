// Elements made of text alone: what a device or a person gave is never markup.

function fill(element, properties, children) {
  for (const [name, value] of Object.entries(properties ?? {})) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith('on')) element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value === true ? '' : value);
  }
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

export const h = (tag, properties, ...children) => fill(document.createElement(tag), properties, children);
export const s = (tag, properties, ...children) =>
  fill(document.createElementNS('http://www.w3.org/2000/svg', tag), properties, children);

/**
 * Puts what is made of `value` into `place`, if `value` is another than the one before. The keyboard's focus,
 * what was typed and what was opened stay as they were, by `data-key`.
 */
export function show(place, value, make) {
  const text = JSON.stringify(value);
  if (place.shownValue === text) return;
  place.shownValue = text;
  const focus = place.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  const typed = new Map([...place.querySelectorAll('input[data-key]')].map((one) => [one.dataset.key, one.value]));
  const open = new Set([...place.querySelectorAll('details[open][data-key]')].map((one) => one.dataset.key));
  place.replaceChildren(...[make(value)].flat(Infinity).filter(Boolean));
  for (const one of place.querySelectorAll('input[data-key]'))
    if (typed.has(one.dataset.key)) one.value = typed.get(one.dataset.key);
  for (const one of place.querySelectorAll('details[data-key]')) if (open.has(one.dataset.key)) one.open = true;
  if (focus) place.querySelector(`[data-key="${CSS.escape(focus)}"]`)?.focus({ preventScroll: true });
}
