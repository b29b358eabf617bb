/**
 * The road: the views in the order a painter walks them. To add one, make the folder
 * views/WORD/ (small letters) with a view.js, and add its word here.
 *
 * view.js exports `view = { word, title, mount(root, studio) }`; `mount` fills root and
 * returns `{ update(state), leave() }`. `update` is called after every change, of the
 * painting or of the chosen hole (studio.chosen). views/start/ is of the same form and
 * stands before the road: its `mount(root, null)` has no painting yet, and opens one with
 * `location.hash = "#/ID/light"`.
 */
export const ROAD = ["Light", "Look", "Tubes", "Mix", "Plan", "Print", "Check", "Canvas"];
