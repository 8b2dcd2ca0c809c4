// A gentle sound when a step of the clock is over: two soft tones. Off until
// somebody switches it on.

const key = 'gapshade-sound';
let context = null;

export const wanted = () => localStorage.getItem(key) === 'on';

export function want(on) {
  localStorage.setItem(key, on ? 'on' : 'off');
  if (on) { ready(); ring(); }
}

// ready opens the sound while a button is pressed, as browsers ask.
export function ready() {
  if (!wanted()) return;
  context ??= new AudioContext();
  if (context.state === 'suspended') context.resume();
}

export function ring() {
  if (!wanted() || !context) return;
  [[523.25, 0], [392, 0.45]].forEach(([hz, after]) => { // C5 and G4
    const tone = context.createOscillator();
    const loud = context.createGain();
    const at = context.currentTime + after;
    tone.frequency.value = hz;
    loud.gain.setValueAtTime(0, at);
    loud.gain.linearRampToValueAtTime(0.12, at + 0.04);
    loud.gain.exponentialRampToValueAtTime(0.001, at + 1.2);
    tone.connect(loud).connect(context.destination);
    tone.start(at);
    tone.stop(at + 1.3);
  });
}
