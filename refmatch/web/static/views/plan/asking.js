/**
 * What the plan is asked for: with the key or without, and of how many tubes.
 */
import { h } from "../../core/dom.js";

/**
 * The panel with the view's title, the switch of the key, and the number of tubes.
 *
 * @param {PlanView} view
 */
export function askingPanel(view) {
  const { found, studio } = view;
  return h("section", { key: "asking", class: "panel plan-panel", "aria-labelledby": "plan-title" },
    h("h1", { id: "plan-title" }, "The plan"),
    studio.state.holes.length > 0
      ? h("p", null, "The whole painting before the first puddle: one key for all values, few tubes, ",
        "and few puddles from which their neighbours are drawn.")
      : h("p", null, "No hole is punched yet: there is nothing to plan. ",
        h("a", { href: `#/${studio.id}/look` }, "Punch some in Look"), "."),
    studio.state.holes.length > 0 && [keySwitch(view), (found || view.tubes !== null) && tubesChoice(view)],
    found && taking(view),
    h("p", { key: "doing", class: "plan-doing", role: "status" }, view.isPlanning ? "Planning …" : ""),
    view.why && h("p", { key: "why", class: "flag", role: "alert" }, h("span", { class: "sign", "aria-hidden": true }, "!"), view.why));
}

/** @param {PlanView} view */
function keySwitch(view) {
  return h("div", { key: "key", class: "plan-switch" },
    h("label", null,
      h("input", {
        type: "checkbox",
        checked: view.keyed,
        "aria-describedby": "plan-aim",
        onchange: (event) => view.switchKey(event.target.checked),
      }), h("span", null, "Key the values to what the tubes reach")),
    h("p", { id: "plan-aim", class: "small" }, view.keyed
      ? "On: the puddles of this plan aim at the keyed colours."
      : "Off: the puddles of this plan aim at the photo’s own colours."));
}

/**
 * Whether the slips are mixed by the plan that is shown, and the button that has it so or not.
 *
 * @param {PlanView} view
 */
function taking(view) {
  const { studio } = view;
  const own = studio.state.plan;
  const isOwn = own && own.keyed === view.keyed && own.tubes === view.tubes;
  return h("div", { key: "taking", class: "plan-taking" },
    h("p", { class: "small" }, isOwn
      ? "The slips in Mix and on the sheet are mixed by this plan, from its tubes alone."
      : own
        ? "The slips in Mix and on the sheet are mixed by another plan than this."
        : "The slips in Mix and on the sheet mix each colour alone, from all tubes on the table."),
    !isOwn && h("button", { key: "take", type: "button", onclick: () => view.take() }, "Mix by this plan"),
    own && h("button", { key: "leave", type: "button", onclick: () => studio.change("plan") }, "Mix each colour alone"));
}

/** @param {PlanView} view */
function tubesChoice(view) {
  const { tubes, found } = view;
  const most = Math.max(found?.most_tubes ?? 0, tubes ?? 0);
  const counts = Array.from({ length: Math.max(0, most - 1) }, (_, i) => i + 2);
  return h("label", { key: "tubes" }, "Tubes to lay out ",
    h("select", {
      value: tubes === null ? "" : String(tubes),
      "data-now": tubes === null ? "" : String(tubes),
      onchange: (event) => view.takeTubes(event.target.value === "" ? null : Number(event.target.value)),
    },
    h("option", { value: "" }, "as few as reach all"),
    counts.map((count) => h("option", { key: count, value: String(count) }, `the best ${count}`))));
}
