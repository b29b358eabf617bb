/**
 * A part or a view brings its own style sheet, next to its module:
 *
 *     await styles(import.meta.url, "view.css");
 *
 * at the top of the module. The module waits for it, so nothing is ever seen undressed.
 */
const asked = new Map();

/**
 * Load a style sheet that lies beside a module, once. Resolves even when it fails.
 *
 * @param {string} moduleUrl
 * @param {string} name
 */
export function styles(moduleUrl, name) {
  const href = new URL(name, moduleUrl).pathname;
  if (!asked.has(href)) asked.set(href, load(href));
  return asked.get(href);
}

/** @param {string} href */
function load(href) {
  const link = document.createElement("link");
  link.rel = "stylesheet";
  link.href = href;
  document.head.append(link);
  return new Promise((done) => {
    link.addEventListener("load", done);
    link.addEventListener("error", done);
  });
}
