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
const described = new WeakMap();

/** Describe an element. Children may be nested lists; null, false and "" are left out. */
export function h(tag, props, ...children) {
  const kept = children.flat(Infinity).filter((child) => child || child === 0);
  return { tag, props: props ?? {}, children: kept };
}

/** Make the children of `root` as described, keeping each element that still serves. */
export function morph(root, ...children) {
  const focused = document.activeElement;
  patchChildren(root, h("", null, children).children);
  const lost = focused !== document.activeElement && root.contains(focused);
  if (lost) focused.focus({ preventScroll: true });
}

/** Make one new element as described, for places that `morph` does not keep. */
export function make(description) {
  return create(description, document.body);
}

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

function serves(node, child) {
  if (typeof child !== "object") return node.nodeType === Node.TEXT_NODE;
  const before = described.get(node);
  return before?.tag === child.tag && before.props.key === child.props.key;
}

function create(child, parent) {
  if (typeof child !== "object") return document.createTextNode(child);
  const inSvg = child.tag === "svg" || parent.namespaceURI === SVG;
  const node = inSvg
    ? document.createElementNS(SVG, child.tag)
    : document.createElement(child.tag);
  described.set(node, { tag: child.tag, props: {} });
  patch(node, child);
  child.props.made?.(node);
  return node;
}

function patch(node, child) {
  if (typeof child !== "object") {
    if (node.data !== String(child)) node.data = child;
    return node;
  }
  const before = described.get(node).props;
  if (!child.props.own) patchChildren(node, child.children);
  const names = new Set([...Object.keys(before), ...Object.keys(child.props)]);
  names.forEach((name) => setProp(node, name, child.props[name], before[name]));
  described.set(node, child);
  return node;
}

function setProp(node, name, value, before) {
  if (["key", "made", "own"].includes(name)) return;
  if (name === "style") setStyle(node, value ?? {}, before ?? {});
  else if (name.startsWith("on")) listen(node, name.slice(2), value, before);
  else if (value === before) return;
  else if (LIVE.has(name) && name in node) node[name] = value ?? "";
  else setAttribute(node, name, name === "class" ? words(value) : value);
}

function setAttribute(node, name, value) {
  const aria = name.startsWith("aria-") && value !== null && value !== undefined;
  if (aria) node.setAttribute(name, value);
  else if (value === false || value === null || value === undefined) node.removeAttribute(name);
  else node.setAttribute(name, value === true ? "" : value);
}

function setStyle(node, style, before) {
  Object.keys(before).forEach((name) => name in style || node.style.removeProperty(name));
  Object.entries(style).forEach(([name, value]) => {
    if (value !== before[name]) node.style.setProperty(name, value);
  });
}

function listen(node, name, value, before) {
  if (value === before) return;
  if (before) node.removeEventListener(name, before);
  if (value) node.addEventListener(name, value);
}

function words(value) {
  return Array.isArray(value) ? value.filter(Boolean).join(" ") : value;
}
