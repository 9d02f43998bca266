/**
 * Pictures of sounds: bars for how one comes and goes, hills for its low and high tones. They repeat
 * what words beside them say, so screen readers skip them.
 */

/**
 * Puts a sound's picture into an element; nothing where there is none.
 *
 * @param {HTMLElement} place
 * @param {PageData['pictures'][string] | undefined} picture
 * @param {'bars' | 'both'} parts
 */
function drawLooks(place, picture, parts) {
  place.textContent = '';
  if (!picture) return;
  const empty = /** @type {HTMLTemplateElement} */ (part('looks-drawing'));
  const drawing = /** @type {DocumentFragment} */ (empty.content.cloneNode(true));
  setAttributes(drawing, '.bars path', { d: picture.bars });
  if (parts === 'bars') {
    drawing.removeChild(/** @type {Node} */ (drawing.querySelector('.hills')));
  } else {
    const { x, y } = picture.moon;
    setAttributes(drawing, '.hills path', { d: picture.hills });
    setAttributes(drawing, '.hills circle', { cx: String(x), cy: String(y) });
  }
  place.append(drawing);
}

/**
 * @param {DocumentFragment} drawing
 * @param {string} selector
 * @param {Record<string, string>} attributes
 */
function setAttributes(drawing, selector, attributes) {
  const element = drawing.querySelector(selector);
  if (!element) throw new Error('no ' + selector);
  for (const name of Object.keys(attributes)) element.setAttribute(name, attributes[name]);
}
