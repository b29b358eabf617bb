/**
 * Describing a piece of the page, and making the page so.
 *
 * A view describes what it shows with `h` and hands the description to `morph`, as
 * often as it likes: only what differs is touched, so focus, a half-typed word and
 * scroll places stay. Nothing else is needed to build a view:
 *
 *     morph(root, h("ul", { class: "tubes" }, tubes.map((tube) =>
 *       h("li", { key: tube.tube, onclick: () => take(tube) }, tube.tube))));
 *
 * Props: attributes; `key` (who is who among children of one parent); `class` (a word or
 * a list, false ones left out); `style` (an object of CSS properties, set through the
 * CSSOM since the page's policy forbids style attributes); `onNAME` (a listener);
 * `made` (called once with the new element); `own: true` (the children are the affair
 * of whoever asked for the element through `made`, and are left alone).
 * Text is always text: there is no way to put markup in.
 */

const SVG = "http://www.w3.org/2000/svg";
const LIVE = new Set(["value", "checked", "disabled", "selected", "open"]);
/** @type {WeakMap<Node, { tag: string, props: Props }>} */
const described = new WeakMap();

/**
 * Describe an element. Children may be nested lists; null, false and "" are left out.
 *
 * @template {string} K
 * @param {K} tag
 * @param {Props<Tagged<K>> | null} [props]
 * @param {Child[]} children
 * @returns {Described<K>}
 */
export function h(tag, props, ...children) {
  return { tag, props: /** @type {Props} */ (props ?? {}), children: kept(children) };
}

/**
 * Make the children of `root` as described, keeping each element that still serves.
 *
 * @param {Element} root
 * @param {Child[]} children
 */
export function morph(root, ...children) {
  const focused = document.activeElement;
  patchChildren(root, kept(children));
  const lost = focused !== document.activeElement && root.contains(focused);
  if (lost && focused instanceof HTMLElement) focused.focus({ preventScroll: true });
}

/**
 * Make one new element as described, for places that `morph` does not keep.
 *
 * @template {string} K
 * @param {Described<K>} description
 */
export function make(description) {
  return /** @type {Tagged<K>} */ (create(description, document.body));
}

/**
 * Find the first element that a selector means; null for none.
 *
 * @param {ParentNode} root
 * @param {string} selector
 */
export function find(root, selector) {
  return /** @type {HTMLElement | null} */ (root.querySelector(selector));
}

/**
 * Press what stands before an element: the browser's own field for files, which is hidden.
 *
 * @param {Element} element
 */
export function pressBefore(element) {
  const before = element.previousElementSibling;
  if (before instanceof HTMLElement) before.click();
}

/**
 * Find an element that a view has laid out itself, so that it must be there.
 *
 * @param {ParentNode} root
 * @param {string} selector
 */
export function room(root, selector) {
  const found = find(root, selector);
  if (!found) throw new Error(`Nothing on the page is ${selector}.`);
  return found;
}

/** @param {readonly Child[]} children @returns {Described["children"]} */
function kept(children) {
  return children.flatMap((child) => {
    if (Array.isArray(child)) return kept(child);
    return isShown(child) ? [child] : [];
  });
}

/** @param {Child} child @returns {child is Described | string | number} */
function isShown(child) {
  return Boolean(child || child === 0) && child !== true;
}

/** @param {Element} parent @param {Described["children"]} children */
function patchChildren(parent, children) {
  const spare = new Set(parent.childNodes);
  const nodes = children.map((child) => {
    const found = [...spare].find((node) => serves(node, child));
    if (found) spare.delete(found);
    return found ?? null;
  });
  spare.forEach((node) => node.remove());
  let cursor = parent.firstChild;
  children.forEach((child, i) => {
    const node = nodes[i] ? patch(nodes[i], child) : create(child, parent);
    if (node === cursor) cursor = cursor.nextSibling;
    else parent.insertBefore(node, cursor);
  });
}

/** @param {Node} node @param {Described | string | number} child */
function serves(node, child) {
  if (typeof child !== "object") return node.nodeType === Node.TEXT_NODE;
  const before = described.get(node);
  return before?.tag === child.tag && before.props.key === child.props.key;
}

/** @param {Described | string | number} child @param {Element} parent */
function create(child, parent) {
  if (typeof child !== "object") return document.createTextNode(String(child));
  const inSvg = child.tag === "svg" || parent.namespaceURI === SVG;
  const node = inSvg
    ? document.createElementNS(SVG, child.tag)
    : document.createElement(child.tag);
  described.set(node, { tag: child.tag, props: {} });
  patch(node, child);
  child.props.made?.(/** @type {HTMLElement} */ (node));
  return node;
}

/** @param {ChildNode} node @param {Described | string | number} child */
function patch(node, child) {
  if (!(node instanceof Element) || typeof child !== "object") {
    if (node.nodeValue !== String(child)) node.nodeValue = String(child);
    return node;
  }
  const before = described.get(node)?.props ?? {};
  if (!child.props.own) patchChildren(node, child.children);
  const names = new Set([...Object.keys(before), ...Object.keys(child.props)]);
  names.forEach((name) => setProp(node, name, child.props[name], before[name]));
  described.set(node, child);
  return node;
}

/** @param {Element} node @param {string} name @param {any} value @param {any} before */
function setProp(node, name, value, before) {
  if (["key", "made", "own"].includes(name)) return;
  if (name === "style") setStyle(node, value ?? {}, before ?? {});
  else if (name.startsWith("on")) listen(node, name.slice(2), value, before);
  else if (value === before) return;
  else if (LIVE.has(name) && name in node) Object.assign(node, { [name]: value ?? "" });
  else setAttribute(node, name, name === "class" ? words(value) : value);
}

/** @param {Element} node @param {string} name @param {unknown} value */
function setAttribute(node, name, value) {
  const aria = name.startsWith("aria-") && value !== null && value !== undefined;
  if (aria) node.setAttribute(name, String(value));
  else if (value === false || value === null || value === undefined) node.removeAttribute(name);
  else node.setAttribute(name, value === true ? "" : String(value));
}

/** @param {Element} element @param {NonNullable<Props["style"]>} style @param {NonNullable<Props["style"]>} before */
function setStyle(element, style, before) {
  const { style: own } = /** @type {HTMLElement | SVGElement} */ (element);
  Object.keys(before).forEach((name) => name in style || own.removeProperty(name));
  Object.entries(style).forEach(([name, value]) => {
    if (value !== before[name]) own.setProperty(name, String(value));
  });
}

/** @param {Element} node @param {string} name @param {EventListener | null} value @param {EventListener | null} before */
function listen(node, name, value, before) {
  if (value === before) return;
  if (before) node.removeEventListener(name, before);
  if (value) node.addEventListener(name, value);
}

/** @param {Props["class"]} value */
function words(value) {
  return Array.isArray(value) ? value.filter(Boolean).join(" ") : value;
}
