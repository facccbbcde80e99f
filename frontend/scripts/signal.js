// Tells by ear and hand what the eye may miss: a short sign for well, a long low one for wrong.
let sound = null;

// Browsers allow sound only after somebody has touched the page.
export function readySound() {
  const ready = () => {
    sound ??= globalThis.AudioContext ? new AudioContext() : null;
    sound?.resume?.();
  };
  for (const name of ["pointerdown", "keydown"]) addEventListener(name, ready, { once: true });
}

export function signal(good) {
  document.documentElement.dataset.signal = good ? "good" : "wrong";
  navigator.vibrate?.(good ? 60 : [200, 80, 200]);
  if (good) beep(1320, 0.09);
  else for (const later of [0, 0.22]) beep(220, 0.18, later);
}

function beep(pitch, seconds, later = 0) {
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
