// What the bench sends to the scripts and they to it, by name; every length as texts, one for each way to show it. Said
// once, for who reads and for `tsc` (DEVELOPERS, "Running the checks"); no browser gets it.

/** A length in every way to show it. */
type Texts = string[];
/** Pieces by what names their line: the mark, with a ~ behind it for the mirrored half. */
type Counts = Record<string, number>;
/** A place of a stop as the log has it: nanometres, or an angle as text. */
type Place = number | string;
/** What a tap tells, by its kind; the bench looks at each (`store/events.py`). */
type Details = Record<string, any>;

/** A job's own name for a run that several jobs share, and for a line of it. */
interface Share {
  job: string;
  run: string;
  mark?: string;
}

/** A tap as it is sent. `at` is the time on this phone; `shares` whose it is where several jobs are worked together. */
interface Tap {
  id: string;
  kind: string;
  at: string;
  body: Details;
  shares?: Share[];
}

/** A tap as this phone keeps it: `seq` once the bench has it on disk, `refused` if it will never take it; `word` is the
 * address of the bench's word that is to show it, `place` the entry that it stands in. */
interface KeptTap extends Tap {
  job: string;
  seq?: number;
  refused?: Fault;
  word?: string;
  place?: string;
}

/** What is wrong and what to do, as the bench says it. */
interface Fault {
  what: string;
  next_step: string;
}

/** What of a tap is enough to fold it. */
type Told = Pick<Tap, "id" | "kind" | "body">;

/** A stop of a run: where it is to be (`at`), what its scale reads there, and whether it is set for this run. */
interface Stop {
  axis: string;
  at: Place;
  reads: Place;
  set: boolean;
  name: string;
  texts: Texts;
  made: string;
  stood: string;
}

/** A line of pieces of a run: how many it needs, of which parts, and how they lie in words (`far`). */
interface Line {
  slot: string;
  mark: string;
  mirrored: boolean;
  name: string;
  need: number;
  marks: string[];
  far: string[];
  share?: Share;
}

/** What a trial piece can prove. */
interface TrialFacts {
  axis: string;
  asked: boolean;
  say: string;
  title: string;
  called: string;
  target: Texts;
  body: Details;
}

/** A run of the sheet. `before` are the numbers of the runs that come before it for the same pieces. */
interface Run {
  number: number;
  key: string;
  title: string;
  station: string;
  machine: string;
  minutes: number;
  about: { station: string; work: string; stops: [axis: string, place: Place][] };
  change: { from: string; leaves: unknown[] } | null;
  scales: Stop[];
  pieces: Line[];
  trials: TrialFacts[];
  notes: Omit<TrialFacts, "asked" | "called">[];
  before: number[];
  shares?: Share[];
}

/** What a scale reads, in nanometres and as texts. */
interface Reading {
  nm: Place;
  texts: Texts;
  mark?: Texts;
  beside?: string[];
}

/** A trial piece as it was measured; one that is `waiting` is known to this phone only. */
interface Trial {
  axis: string;
  waiting?: boolean;
  text?: string;
  within?: boolean;
}

/** One of the last taps of a run, as far as an undo has to know it. */
interface LastTap {
  id: string;
  kind: string;
  slot?: string;
  count?: number;
  counted?: boolean;
  axis?: string;
  device?: string;
}

/** A note on a set-up, or a picture of it. */
interface Note {
  id: string;
  text: string;
  picture: boolean;
  waiting?: boolean;
  device?: string;
}

/** How a run stands. `cut` and `spoiled` count pieces, `before` those that another job had cut before this one joined. */
interface RunState {
  set: boolean;
  made: string[];
  done: boolean;
  proved: boolean;
  cut: Counts;
  before: Counts;
  spoiled: Counts;
  taps: LastTap[];
  trials: Trial[];
  readings: Record<string, Reading>;
  notes: Note[];
}

/** How runs stand, by their keys; a run that nobody has touched is not among them. */
type States = Record<string, RunState>;

/** How machines stand beside what the sheet says: stops that were moved, by `stopName`; for which station each machine
 * is ready; axes whose trial piece counts no more, by the run's key. */
interface Machines {
  moved: Record<string, { since: [run: string, place: Place][]; made: string[] }>;
  ready: Record<string, string>;
  unproved: Record<string, string[]>;
}

/** Who has a page open, at which run; 0 for the list of runs. */
interface Here {
  page: string;
  name: string;
  run: number;
}

/** The bench's word on all runs; a message of the live line may have `all` of them, or only those that changed. */
interface Word {
  runs: States;
  all?: boolean;
  gone?: string[];
}

/** The bench's word as a page of runs gets it: up to which event of the job, and the ids of those told last; `sheet` is
 * the mark of the run sheet as it is now. */
interface BenchWord extends Word {
  seq: number;
  ids: string[];
  here: Here[];
  machines: Machines;
  sheet: string;
}

/** What a page of runs knows of its sheet. `shown` are the ways to show a length, `me` is this device among `devices`;
 * changeovers of a machine are named by both stations on two lines. */
interface Sheet {
  job: string;
  name: string;
  mark: string;
  me: string;
  devices: Record<string, string>;
  shown: string[];
  machines: Record<string, { stations: string[]; changes: Record<string, Changeover> }>;
  runs: Run[];
}

/** What a changeover asks for; `lost` are the stops that do not stand any more after it. */
interface Changeover {
  title: string;
  steps: unknown[];
  cautions: string[];
  lost: [station: string, axis: string][];
}

/** One physical piece with its label; `unit` is 0 for a spare. */
interface Piece {
  index: number;
  code: string;
  label: string;
  name: string;
  unit: number;
  hand?: string;
  position?: string;
}
