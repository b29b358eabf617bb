/**
 * What the page's modules hand each other, for the type checker alone: first the JSON that the
 * server sends, as `encode/` and `web/` make it, then what the modules make themselves.
 *
 * Nothing of this is sent to a browser. The names are known in every module without an import.
 */

// ---- colours and places -------------------------------------------------------------------

/** L*, a*, b*. */
type Lab = [number, number, number];

/** A colour in Lab, and what a screen can show of it as CSS. */
interface Colour {
  lab: Lab;
  srgb: string;
  p3: string;
  fits: "srgb" | "p3" | "none";
}

/** What is to be known, by name and in a sentence. */
interface Flag {
  name: string;
  text: string;
}

/** A place of the photo as it is cropped, in its pixels. */
interface Place {
  x_px: number;
  y_px: number;
}

/** A place, and how wide it is read. */
interface Spot extends Place {
  diameter_px: number;
}

/** How large a picture is, in its pixels. */
interface Extent {
  width_px: number;
  height_px: number;
}

/** A rectangle of whole pixels of the photo. */
interface Frame extends Extent {
  left_px: number;
  top_px: number;
}

/** A corner of an outline: x and y in pixels, or a* and b*. */
type Corner = [number, number];

// ---- the canvas ------------------------------------------------------------------------------

/** The photo of the canvas on the table, and the last sitting. */
interface CanvasState {
  revision: number;
  photo: (Extent & { key: string }) | null;
  shown: CanvasShown | null;
  /** Each picture's name, and a word that changes with it. */
  pictures: Record<string, string>;
  /** What the prompt says in JSON of the photo looked at just now. */
  checked: { corners_px: Corner[]; flags: Flag[] } | null;
  most_photo_bytes: number;
}

interface CanvasShown {
  heading: string;
  words: string[];
  rows: CanvasRow[];
}

interface CanvasRow {
  label: string;
  target: Colour;
  seen: Colour;
  value: string;
  canvas_value: string;
  verdict: string;
}

// ---- a painting -----------------------------------------------------------------------------

/** A painting as it stands. */
interface State {
  id: string;
  title: string;
  revision: number;
  saved_at: string | null;
  /** What undo and redo would do, null for nothing. */
  undo: string | null;
  redo: string | null;
  photo: Photo;
  light: Light;
  canvas: Canvas | null;
  holes: Hole[];
  box: Table;
  options: Options;
  /** The plan that all is mixed by, null where each colour is mixed alone. */
  plan: OwnPlan | null;
  values: Value[];
  masses: Mass[];
  /** The layers that there may be, from the canvas up, and the mediums to choose from. */
  /** The photos besides the painting's own, by name, and the one that is shown, "" its own. */
  photos: string[];
  shown: string;
  /** The canvas's ground, "" where nothing is said of it; those there are; how colours look on it. */
  ground: string;
  grounds: string[];
  ground_words: string;
  /** What to beware of with the mediums that are used. */
  cares: string[];
  layer_names: string[];
  mediums: MediumChoice[];
  flags: Flag[];
  /** The key of the hole that a change has just made. */
  made?: string;
}

/** What may be worked into paint; the shares are parts of a puddle in per cent. */
interface MediumChoice {
  key: string;
  name: string;
  usual_percent: number;
  most_percent: number;
}

interface Photo extends Extent {
  whole_width_px: number;
  whole_height_px: number;
  frame: Frame;
  /** Names how its pictures look now: it changes with the light and the crop. */
  look: string;
  flags: Flag[];
}

/** The colour of a light; the figures are null where there is none to tell. */
interface Cast {
  words: string;
  cast_kelvin: number | null;
  cast_duv: number | null;
  exposure_stops: number;
}

/** The colour of a light that was looked at: it has both figures. */
interface KnownCast extends Cast {
  cast_kelvin: number;
  cast_duv: number;
}

interface Light extends Cast {
  asked: AskedLight;
  method: string;
  keep_light_percent: number;
  confidence: number | null;
  flags: Flag[];
}

/** What a light is asked for by; null is what its method does not need. */
interface AskedLight {
  method: string;
  x_px: number | null;
  y_px: number | null;
  diameter_px: number | null;
  lstar: number | null;
  kelvin: number | null;
  duv: number | null;
  keep_light_percent: number;
  set_exposure: boolean;
}

interface Canvas {
  width_cm: number;
  height_cm: number;
  grid_cm: number | null;
}

interface Hole extends Spot {
  key: string;
  /** The photo that it is punched in, "" the painting's own. */
  photo: string;
  number: number;
  label: string;
  /** Whether the painter gave it its label. */
  named: boolean;
  heading: string;
  colour: Colour;
  munsell_value: number;
  words: string;
  flags: Flag[];
  neighbours: string[];
  in_gamut: boolean;
  /** Why it is out of reach, where it is. */
  reach: string | null;
  /** The dry passage that it is to meet again; null where it is the photo. */
  dry: Colour | null;
  /** Its last dab that was dry when it was looked at. */
  seen_dry: Colour | null;
  /** The number of an earlier hole of the same colour, whose puddle serves here too. */
  same_as: number | null;
  /** Whether that hole's puddle serves this one: one recipe for both. */
  joined: boolean;
  without: string[];
  insist: string[];
  /** Its layer, "" for none in particular, and what is worked in, "" for nothing. */
  layer: string;
  medium: string;
  /** How much of the medium, null for the usual. */
  medium_percent: number | null;
  /** Layer, medium and drying in words, "" where nothing is said of any layer. */
  layer_words: string;
  /** What is to be known of its layer. */
  layer_flags: Flag[];
  /** The place of the chosen recipe among `recipes`. */
  chosen: number;
  /** Whether the plan is held to the chosen one, and may not draw the colour otherwise. */
  held: boolean;
  recipes: Recipe[];
}

interface Recipe {
  why: string;
  words: string;
  verdict: string;
  trade: string;
  /** What it is better at than the first choice, "" where it is no alternative. */
  better: string;
  /** Half of real puddles lie within this, and nine in ten within the other; null in old paintings. */
  delta_e_00_expected: number | null;
  delta_e_00_expected_p90: number | null;
  delta_e_00: number;
  delta_e_00_hand: number;
  delta_e_00_hand_p90: number;
  colour: Colour;
  lines: RecipeLine[];
  steps: RecipeStep[];
  /** Its colour by the name of a lamp. */
  under: Record<string, Colour>;
  total_words: string;
  /** Where a plan draws the mix from another puddle: the tubes that are in it, else "". */
  straight_words: string;
  distance_words: string;
  difference_words: string;
  flags: Flag[];
}

/** What is laid out of one tube, or taken of a puddle (no tube), and its part of the whole (0 to 1). */
interface RecipeLine {
  parts: number;
  tube: string | null;
  words: string;
  colour: Colour;
  share: number;
}

interface RecipeStep {
  text: string;
  colour: Colour;
  flags?: Flag[];
}

/** Paint as it lies on the table: alone, and in white. */
interface Paint {
  masstone: Colour;
  tint: Colour;
}

interface Tube extends Paint {
  tube: string;
  pigments: string[];
  is_white: boolean;
}

/** A tube of the painting's box, out today or put away. */
interface TableTube extends Tube {
  away: boolean;
  cautions: string[];
}

interface Table {
  name: string;
  parts_by: string;
  tubes: TableTube[];
}

/** How the painter mixes. */
interface Options {
  tubes: number;
  total: number;
  /** The tubes that every mix must hold. */
  insist: string[];
  easy_on_black: boolean;
  no_white_in_darks: boolean;
  no_stray_green: boolean;
  finish: "gloss" | "satin" | "matt";
  lamp: "D50" | "A" | "LED-B3";
}

/** `tubes` is how many the palette may have, null for the fewest that do. */
interface OwnPlan {
  keyed: boolean;
  tubes: number | null;
}

interface Value {
  munsell_value: number;
  share: number;
}

/** A value of a study, with its grey. */
interface StudyValue extends Value {
  words: string;
  colour: Colour;
}

interface Mass {
  label: string;
  colour: Colour;
  share: number;
  words: string;
}

/** The colour at a place; the last three where a recipe was asked for. */
interface ReadColour {
  colour: Colour;
  munsell_value: number;
  words: string;
  flags: Flag[];
  in_gamut?: boolean;
  reach?: string | null;
  recipe?: Recipe;
}

/** What a place looks like as shot; `light` is null where it says nothing, and `refused` why. */
interface ReadSpot {
  colour: Colour;
  munsell_value: number;
  words: string;
  light: KnownCast | null;
  flags: Flag[];
  refused: string | null;
}

interface Guess extends KnownCast {
  method: string;
  confidence: number;
  flags: Flag[];
}

/** The outline of what tubes make, in a* and b*, for all values and for each. */
interface Outlines {
  outline: Corner[];
  by_value: { munsell_value: number; outline: Corner[] }[];
}

/** What moves a puddle each way. */
interface Lesson {
  label: string;
  now: Pile;
  colour: Colour;
  nudges: Nudge[];
  instead: Nudge[];
  to_grey: ToGrey;
  flags: Flag[];
}

interface Nudge {
  direction: string;
  label: string;
  words: string;
  colour: Colour | null;
}

/** From a puddle to its grey, by its complement. */
interface ToGrey {
  words: string;
  steps: GreyStep[];
}

/** A step of a string to grey: so many parts of the puddle, and of its complement. */
interface GreyStep {
  parts: number;
  complement_parts: number;
  words: string;
  colour: Colour;
}

interface SheetMade {
  pages: number;
  revision: number;
}

/** What a photo tells of a value finder; `corrected` are the steps of one for the printer, as the server reads them. */
interface FinderMeasured {
  steps: { value: number; true: number }[];
  darkest: number;
  lightest: number;
  by_chart: boolean;
  corrected: string;
  flags: Flag[];
}

// ---- the start ------------------------------------------------------------------------------

interface Beginnings {
  paintings: PaintingCard[];
  damaged: { id: string; name: string; saved_at: string | null; why: string }[];
  damaged_boxes: { id: string; name: string; why: string }[];
  samples: { name: string; title: string }[];
  boxes: BoxCard[];
  pigments: Pigment[];
  labels: Label[];
  put_away: string[];
  most_photo_bytes: number;
}

interface ClassCard {
  id: string;
  name: string;
  title: string;
  students: number;
}

interface ClassRoll {
  id: string;
  name: string;
  students: { name: string; tubes: string[]; box: string; grade: string; print: string }[];
}

interface ClassMix {
  name: string;
  in_gamut: boolean;
  laid_out: { tube: string; parts: number; let_down_white_parts: number }[];
  portions: { tube: string; parts: number }[];
  mix_lab: Colour;
  delta_e_00: number;
  verdict: string;
  remarks: string[];
}

interface ClassLesson {
  lead: string;
  headings: string[];
  targets: { label: string; lab: Colour; mixes: ClassMix[] }[];
  spreads: string[];
  loans: string[];
  table_words: string;
  table: string[][];
  cautions: string[];
}

interface PaintingCard {
  id: string;
  title: string;
  saved_at: string;
  holes: number;
  colours: Colour[];
}

interface BoxCard {
  id: string;
  name: string;
  tubes: string[];
}

interface Pigment extends Paint {
  key: string;
  name: string;
  index_names: string[];
  opacity: string;
  cautions: string[];
  called: string[];
}

/** A colorant without curves of its own, and the pigment or ready mixture that it is like. */
interface Label {
  label: string;
  names: string[];
  like: string;
  why: string;
}

// ---- a box in the making ----------------------------------------------------------------------

interface BenchState {
  id: string;
  revision: string;
  box: { name: string; parts_by: string; tubes: Tube[] };
  card: { paper: string; grey_lstar: number; pages: number; white: string };
  light: string | null;
  photos: PagePhoto[];
  dabs: Dab[];
  made: BoxMade | null;
}

interface BenchCard {
  id: string;
  name: string;
  boxes: string[];
}

/** The photo of a page of the painted card. */
interface PagePhoto extends Extent {
  key: string;
  name: string;
  page: number;
  tilt_deg: number;
  flags: Flag[];
}

/** A dab of the card, numbered from 0; what no photo shows, or no box knows yet, is null. */
interface Dab {
  dab: number;
  page: number;
  printed: DabPaint;
  painted: DabPaint;
  mend: { left_out: boolean; paint: boolean; spot: Spot | null } | null;
  state: "read" | "empty" | "left out" | "no photo";
  outline: Corner[] | null;
  colour: Colour | null;
  flags: Flag[];
  seen: Colour | null;
  found: Colour | null;
  residual_delta_e_00: number | null;
}

interface DabPaint {
  tube: string;
  parts: number;
  white_parts: number;
  words: string;
}

interface BoxMade {
  id: string;
  name: string;
  is_behind: boolean;
  tubes: TubeMade[];
  flags: Flag[];
}

interface TubeMade extends Paint {
  tube: string;
  swatches: number;
  residual_delta_e_00: number;
  strength_words: string | null;
  flags: Flag[];
}

interface Advice {
  dabs: { words: string; doubt_delta_e_00_before: number; doubt_delta_e_00_after: number }[];
}

/** Demonstrations for a class, on one colour. */
interface Demonstrated {
  puddle: { tube: string; parts: number }[];
  demonstrations: Demonstration[];
  flags: Flag[];
}

/** One thing that is taught; not shown where the tubes do not show it, and `flags` say why. */
interface Demonstration {
  name: string;
  title: string;
  words: string;
  is_shown: boolean;
  strips: PaintStrip[];
  flags: Flag[];
}

/** A strip: its paints in the order in which parts are counted, and its steps from left to right. */
interface PaintStrip {
  words: string;
  paints: { role: string; name: string }[];
  steps: StripStep[];
}

interface StripStep {
  place: number;
  parts: number[];
  lab: Colour;
  value_words: string;
  /** How it is spoilt, or that it is a grey; "" where neither. */
  words: string;
}

// ---- checks -----------------------------------------------------------------------------------

interface CheckState {
  revision: number;
  photo: PhotoLaid | null;
  card: DabCard | null;
  puddles: Puddle[];
  has_same_light: boolean;
  /** Which of the painter's tubes is the white, and which the black, where there are such. */
  paints: Partial<Record<Thing, string>>;
  judged: string[];
  most_photo_bytes: number;
}

/** The photo on the table, with the window of each dab that was found on a card. */
interface PhotoLaid extends Extent {
  key: string;
  name: string;
  flags: Flag[];
  learnt: string[];
  outlines: { hole: string; corners: Corner[] }[];
}

interface DabCard {
  paper: string;
  grey_lstar: number;
  pages: number;
  holds: boolean;
  flags: Flag[];
}

interface Puddle {
  hole: string;
  label: string;
  /** Whether the painter said what it was mixed of, before any look at it. */
  pencilled: boolean;
  now: PileNow | null;
  has_other_target: boolean;
  rounds: Round[];
  at_hand: AtHand[];
  flags: Flag[];
}

/** What a puddle holds. */
interface Pile {
  words: string;
  parts: number;
}

/** What a puddle holds by now, and the colour it is believed to have; null where none can tell. */
interface PileNow extends Pile {
  colour: Colour | null;
  delta_e_00: number | null;
}

interface AtHand {
  name: string;
  kind: string;
}

interface Round {
  pile: number;
  number: number;
  photo: string | null;
  date: string | null;
  way: string | null;
  state: string | null;
  light: string | null;
  parts_words: string;
  target: Colour;
  photographed: Colour;
  photographed_words: string;
  photographed_delta_e_00: number;
  photographed_doubt_delta_e_00: number;
  photographed_doubt_delta_e_00_p90: number;
  colour: Colour;
  colour_words: string;
  delta_e_00: number;
  doubt_delta_e_00: number;
  doubt_delta_e_00_p90: number;
  verdict: string;
  words: string;
  sentence: string;
  advice: string;
  fresh: boolean;
  fresh_words: string | null;
  corrections: Correction[];
  done: { words: string } | null;
}

interface Correction {
  words: string;
  colour: Colour;
  predicted_delta_e_00: number;
}

// ---- a plan -------------------------------------------------------------------------------------

interface PlanMade {
  revision: number;
  keyed: boolean;
  tubes: number;
  most_tubes: number;
  /** The names of the palette's tubes as they are laid out. */
  order: string[];
  canvas_cm: [number, number] | null;
  plan: PlanShown;
}

/** The plan as it is in every other JSON, with its colours shown; a target is known by its label. */
interface PlanShown {
  key: PlanKey;
  targets: PlanTarget[];
  palette: { words: string; tubes: string[]; not_reached: string[] };
  prices: { count: number; words: string; tubes: string[]; not_reached: string[] }[];
  /** `lost` are the labels of the targets that are out of reach without the tube. */
  without: { tube: string; words: string; lost: string[] }[];
  known_palettes: { name: string; words: string; missing: string[]; not_reached: string[] }[];
  reaches: PlanReach[];
  puddles: { words: string[]; order: PlanPuddle[] };
  strings: PlanString[];
  glazes: { label: string; words: string }[];
  /** From the canvas up, none where nothing is said of any. */
  layers: { layer: string; words: string }[];
  /** Null where the size of the canvas is not known. */
  amounts: PlanAmounts | null;
}

interface PlanKey {
  words: string;
  flags: Flag[];
}

/** A colour as it is mixed for, and as the photo has it; `number` is its slip's. */
interface PlanTarget {
  number: number;
  label: string;
  lab: Colour;
  photo_lab: Colour;
  /** What the key makes of its value, without figures. */
  value_words: string;
  key_flags: Flag[];
}

/** What tubes reach; the first is the palette's, the second that of the whole box. */
interface PlanReach {
  name: string;
  tubes: string[];
  outline_ab: Corner[];
}

/** A puddle: from tubes, or drawn from the puddle of another label. */
interface PlanPuddle {
  label: string;
  drawn_from: string | null;
  /** The label of its target, null where it is only drawn from. */
  target: string | null;
  lab: Colour;
  words: string;
  distance_words: string;
  dries: "fast" | "middle" | "slow" | null;
  /** Its layer, null where there are none. */
  layer: string | null;
}

/** A string from light to shadow. */
interface PlanString {
  label: string;
  targets: string[];
  words: string;
  steps: PlanStep[];
}

interface PlanStep {
  wanted_lab: Colour;
  lab: Colour;
  delta_e_00: number;
  colour_words: string;
  words: string;
}

/** How much the canvas takes: of the puddles in the order of work, and of each tube. */
interface PlanAmounts {
  words: string;
  puddles: { label: string; squeeze_words: string }[];
  tubes: { tube: string; squeeze_words: string }[];
}

// ---- describing the page ------------------------------------------------------------------------

/** An event on the element that its listener was described on. */
type On<E, T = HTMLElement> = E & { readonly target: T; readonly currentTarget: T };

type Listener<E, T> = (event: On<E, T>) => unknown;

/** What `h` takes beside the tag: see core/dom.js. */
interface Props<T = HTMLElement> {
  key?: string | number;
  class?: string | false | (string | false | null | undefined)[];
  style?: Record<string, string | number>;
  made?: (element: T) => void;
  own?: boolean;
  onclick?: Listener<MouseEvent, T>;
  onchange?: Listener<Event, T>;
  oninput?: Listener<InputEvent, T>;
  onkeydown?: Listener<KeyboardEvent, T>;
  onpointerup?: Listener<PointerEvent, T>;
  onfocus?: Listener<FocusEvent, T>;
  onsubmit?: Listener<SubmitEvent, T>;
  ontoggle?: Listener<Event, T>;
  onerror?: Listener<Event, T>;
  [attribute: string]: unknown;
}

/** The element of a tag, of HTML or else of SVG. */
type Tagged<K extends string> = K extends keyof HTMLElementTagNameMap
  ? HTMLElementTagNameMap[K]
  : K extends keyof SVGElementTagNameMap
    ? SVGElementTagNameMap[K]
    : HTMLElement;

/** An element as it is to be. */
interface Described<K extends string = string> {
  tag: K;
  props: Props;
  children: (Described | string | number)[];
}

/** What may stand among children; what is empty is left out. */
type Child = Described | string | number | boolean | null | undefined | readonly Child[];

// ---- seeing the photo -----------------------------------------------------------------------------

/** CSS pixels of an element. */
interface Point {
  x: number;
  y: number;
}

interface Size {
  width: number;
  height: number;
}

/** Which part of the photo is seen, and how large: see parts/stage/sight.js. */
interface Sight {
  scale: number;
  left: number;
  top: number;
  frame: Extent;
  room: Size;
}

/** What a hand holds. */
interface Held {
  move(point: Point): void;
  drop(): void;
  cancel(): void;
}

/** What lies over the photo and moves with it. */
interface Layer {
  element: Element;
  place(sight: Sight): void;
  grab?(target: Element, point: Point): Held | null;
  /** Whether a finger has to rest on the target before it moves it. */
  waits?(target: Element): boolean;
  leave?(): void;
}

/** How something was pointed to. */
interface How {
  byKey?: boolean;
}

/** What a stage tells whoever put it up: see parts/stage/stage.js. */
interface StageOptions {
  spotWord?: string;
  onSpot?: (spot: Place, how: { byKey: boolean }) => void;
  onPoint?: (spot: Place | Spot | null, how?: How) => void;
  onName?: (key: string) => void;
  onSight?: (stage: Stage) => void;
  holes?: boolean;
  movable?: boolean;
}

/** What a painting's picture is of: see parts/stage/picture.js. */
interface Pictured {
  url: (path: string) => string;
  look: string;
  kind: string;
  over: string | null;
}

/** From a* and b* to a place on the paper of a chart. */
type ToPlane = (corner: readonly number[]) => Point;

// ---- what the modules keep --------------------------------------------------------------------------

/** What is under way or was refused, and at which piece of the page. */
interface Word {
  part: string;
  words: string;
}

/** What a slip shows, and whoever draws it anew; `recipe` is missing where nothing makes the colour. */
interface Shared {
  hole: Hole;
  recipe: Recipe | undefined;
  state: State;
  studio: Studio;
  again: (event: { target: Element }) => void;
}

/** What can be pointed to in a photo of dabs. */
type Thing = "dab" | "grey" | "white" | "black" | "reference";

/** What can be begun with, for the Mix view, and the way to ask for it anew. */
interface MixStart {
  boxes: BoxCard[];
  pigments: Pigment[];
  labels: Label[];
  load: () => Promise<unknown>;
}

/** Whether all is saved, and why not. */
interface Sign {
  word: "saved" | "saving" | "not saved";
  why: string;
}

/** A puddle in the order of work, counted from 1, with its target and how much of it is squeezed. */
interface WorkLine extends Omit<PlanPuddle, "target"> {
  order: number;
  target: PlanTarget | null;
  amount: string;
}

/** What goes with a change. */
type Fields = Record<string, unknown>;

/** A view that is shown. */
interface Shown {
  update(state: State): void;
  leave(): void;
}

/** What a view's module exports: see views/road.js. */
interface View {
  word: string;
  title: string;
  mount(root: HTMLElement, studio: Studio): Shown;
}

type Studio = import("./static/core/store.js").Studio;
type Stage = import("./static/parts/stage/stage.js").Stage;
type LightView = import("./static/views/light/view.js").Light;
type LookView = import("./static/views/look/view.js").Look;
type TubesView = import("./static/views/tubes/view.js").Tubes;
type Bench = import("./static/views/tubes/bench.js").Bench;
type PlanView = import("./static/views/plan/view.js").Plan;
type PrintView = import("./static/views/print/view.js").Print;
type CheckView = import("./static/views/check/view.js").Check;
type CanvasView = import("./static/views/canvas/view.js").CanvasView;
type Checks = import("./static/views/check/checks.js").Checks;
