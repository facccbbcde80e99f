// Tells by ear and hand what the eye may miss: a counted piece, something done, something refused, something changed,
// an alarm.
let sound = null;

// Milliseconds of buzzing and pauses in turn; tones as pitch in hertz, seconds, and how much later.
const SIGNS = {
  counted: { buzz: 35, tones: [] },
  done: { buzz: 60, tones: [[1320, 0.09, 0]] },
  refused: { buzz: [200, 80, 200], tones: [[220, 0.18, 0], [220, 0.18, 0.22]] },
  alarm: { buzz: [500, 150, 500, 150, 500], tones: [[880, 0.25, 0], [880, 0.25, 0.4], [880, 0.5, 0.8]] },
  changed: { buzz: [60, 60, 60, 60, 300], tones: [[660, 0.12, 0], [440, 0.24, 0.15]] },
};

// Browsers allow sound only after somebody has touched the page.
export function readySound() {
  const ready = () => {
    sound ??= globalThis.AudioContext ? new AudioContext() : null;
    sound?.resume?.();
  };
  for (const name of ["pointerdown", "keydown"]) addEventListener(name, ready, { once: true });
}

// `what` is "counted", "done", "refused", "changed" or "alarm".
export function signal(what) {
  document.documentElement.dataset.signal = what;
  navigator.vibrate?.(SIGNS[what].buzz);
  for (const tone of SIGNS[what].tones) beep(...tone);
}

function beep(pitch, seconds, later) {
  if (!sound) return;
  const start = sound.currentTime + later;
  const tone = sound.createOscillator();
  const loud = sound.createGain();
  tone.frequency.value = pitch;
  tone.type = "square";
  loud.gain.setValueAtTime(0.15, start);
  loud.gain.exponentialRampToValueAtTime(0.001, start + seconds);
  tone.connect(loud).connect(sound.destination);
  tone.start(start);
  tone.stop(start + seconds);
}
