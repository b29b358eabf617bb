/**
 * Which part of the photo is seen, and how large: the arithmetic of pan and zoom.
 *
 * A sight is `{scale, left, top, frame, room}`: CSS pixels for one photo pixel, where the
 * photo's corner lies in the room (CSS pixels), the photo's size and the room's. Every
 * function returns a new sight; nothing here touches the page.
 */

const CLOSEST = 16;

/**
 * What a layer has before it is placed: nothing is seen.
 *
 * @type {Sight}
 */
export const UNSEEN = {
  scale: 1, left: 0, top: 0, frame: { width_px: 0, height_px: 0 }, room: { width: 0, height: 0 },
};

/**
 * The whole photo, in the middle of the room.
 *
 * @param {Extent} frame
 * @param {Size} room
 */
export function fitted(frame, room) {
  const scale = fitScale(frame, room);
  return settle({ scale, left: 0, top: 0, frame, room });
}

/**
 * Zoom by a factor, so that what is under `point` stays under it.
 *
 * @param {Sight} sight
 * @param {number} factor
 * @param {Point} point
 */
export function zoomed(sight, factor, point) {
  const least = fitScale(sight.frame, sight.room);
  const scale = Math.min(Math.max(sight.scale * factor, least), Math.max(CLOSEST, least));
  const by = scale / sight.scale;
  return settle({
    ...sight,
    scale,
    left: point.x - (point.x - sight.left) * by,
    top: point.y - (point.y - sight.top) * by,
  });
}

/**
 * Move the photo by CSS pixels.
 *
 * @param {Sight} sight
 * @param {number} dx
 * @param {number} dy
 */
export function panned(sight, dx, dy) {
  return settle({ ...sight, left: sight.left + dx, top: sight.top + dy });
}

/**
 * The same middle and scale in another room; what was fitted stays fitted.
 *
 * @param {Sight} sight
 * @param {Size} room
 */
export function resized(sight, room) {
  if (isFitted(sight)) return fitted(sight.frame, room);
  const dx = (room.width - sight.room.width) / 2;
  const dy = (room.height - sight.room.height) / 2;
  const scale = Math.max(sight.scale, fitScale(sight.frame, room));
  return settle({ ...sight, room, scale, left: sight.left + dx, top: sight.top + dy });
}

/**
 * Move as little as brings a spot of the photo into view, with a margin.
 *
 * @param {Sight} sight
 * @param {Place} spot
 */
export function showing(sight, spot, margin = 40) {
  const { x, y } = toRoom(sight, spot);
  /** @param {number} value @param {number} most */
  const into = (value, most) => Math.min(Math.max(value, margin), most - margin) - value;
  if (isFitted(sight)) return sight;
  return panned(sight, into(x, sight.room.width), into(y, sight.room.height));
}

/**
 * Say whether the whole photo is seen.
 *
 * @param {Sight} sight
 */
export function isFitted(sight) {
  return sight.scale <= fitScale(sight.frame, sight.room) * 1.001;
}

/**
 * From the room (CSS pixels) to the photo (its pixels).
 *
 * @param {Sight} sight
 * @param {Point} point
 */
export function toPhoto(sight, { x, y }) {
  return { x_px: (x - sight.left) / sight.scale, y_px: (y - sight.top) / sight.scale };
}

/**
 * From the photo to the room.
 *
 * @param {Sight} sight
 * @param {Place} place
 */
export function toRoom(sight, { x_px, y_px }) {
  return { x: x_px * sight.scale + sight.left, y: y_px * sight.scale + sight.top };
}

/**
 * The nearest spot that lies on the photo.
 *
 * @param {Extent} frame
 * @param {Place} place
 */
export function onPhoto(frame, { x_px, y_px }) {
  /** @param {number} value @param {number} most */
  const within = (value, most) => Math.min(Math.max(value, 0), most);
  return { x_px: within(x_px, frame.width_px), y_px: within(y_px, frame.height_px) };
}

/**
 * Say whether a spot lies on the photo.
 *
 * @param {Extent} frame
 * @param {Place} place
 */
export function isOnPhoto(frame, { x_px, y_px }) {
  return x_px >= 0 && y_px >= 0 && x_px <= frame.width_px && y_px <= frame.height_px;
}

/** @param {Extent} frame @param {Size} room */
function fitScale(frame, room) {
  return Math.min(room.width / frame.width_px, room.height / frame.height_px);
}

/**
 * Keep the photo in its room, and its pixels on those of the screen.
 *
 * @param {Sight} sight
 */
function settle(sight) {
  /** @param {number} at */
  const whole = (at) => Math.round(at * devicePixelRatio) / devicePixelRatio;
  /** @param {number} at @param {number} size @param {number} room */
  const inside = (at, size, room) => Math.min(0, Math.max(at, room - size));
  /** @param {number} at @param {number} size @param {number} room */
  const held = (at, size, room) => whole(size <= room ? (room - size) / 2 : inside(at, size, room));
  const width = sight.frame.width_px * sight.scale;
  const height = sight.frame.height_px * sight.scale;
  return {
    ...sight,
    left: held(sight.left, width, sight.room.width),
    top: held(sight.top, height, sight.room.height),
  };
}
