// Makes a sound for a new alarm, for a graver phase, and when the connection is lost, in a browser
// whose user has turned that on. The tones are made here; there is no file.

const KEPT = "board-sound";
const box = document.getElementById("sound");
const button = document.getElementById("sound-button");
const says = document.getElementById("sound-says");
const live = document.getElementById("live");

// Tones as pitch in Hz and length in seconds.
const ALARM = [[880, 0.2], [660, 0.2], [880, 0.2], [660, 0.2], [880, 0.5]];
const LOST = [[440, 0.3], [330, 0.6]];
const TRY = [[660, 0.15]];

let on = localStorage.getItem(KEPT) === "on";
let speaker = null; // none before the first tap or key press
let grave = gravities();
let lost = false;

function gravities() {
  const rows = [...document.querySelectorAll(".Board-party")];
  return new Map(rows.map((row) => [row.id, [Number(row.dataset.gravity), Number(row.dataset.alarms)]]));
}

function play(tones) {
  if (!on || speaker?.state !== "running") return;
  let at = speaker.currentTime + 0.02;
  for (const [pitch, length] of tones) {
    const tone = new OscillatorNode(speaker, { type: "triangle", frequency: pitch });
    const level = new GainNode(speaker, { gain: 0 });
    level.gain.setValueAtTime(0, at);
    level.gain.linearRampToValueAtTime(0.6, at + 0.02);
    level.gain.linearRampToValueAtTime(0, at + length);
    tone.connect(level).connect(speaker.destination);
    tone.start(at);
    tone.stop(at + length);
    at += length;
  }
  box.dataset.played = Number(box.dataset.played ?? 0) + 1;
}

// wake opens the speaker at the first tap or key press: until then browsers stay silent.
async function wake() {
  speaker ??= new AudioContext();
  await speaker.resume();
  show();
}

function show() {
  const ready = speaker?.state === "running";
  button.setAttribute("aria-pressed", String(on));
  button.textContent = on ? "Sound for alarms is on" : "Turn on sound for alarms";
  if (on) live.dataset.listens = "on";
  else delete live.dataset.listens;
  if (!on) says.textContent = "";
  else if (ready) says.textContent = "This browser sounds for a new alarm, when a hike becomes more urgent, and when the connection is lost.";
  else says.textContent = "The sound is still off: browsers wait for a press anywhere on the page.";
}

button.addEventListener("click", async () => {
  on = !on;
  localStorage.setItem(KEPT, on ? "on" : "off");
  show();
  if (!on) return;
  await wake();
  play(TRY);
});

document.addEventListener("pointerup", () => { if (on && speaker?.state !== "running") wake(); });
document.addEventListener("keyup", () => { if (on && speaker?.state !== "running") wake(); });

document.addEventListener("live:drawn", () => {
  const next = gravities();
  const worse = [...next].some(([id, now]) => now.some((n, i) => n > (grave.get(id)?.[i] ?? 0)));
  grave = next;
  if (worse) play(ALARM);
});
document.addEventListener("live:lost", () => {
  if (!lost) play(LOST);
  lost = true;
});
document.addEventListener("live:word", () => { lost = false; });

if ("AudioContext" in window) {
  box.hidden = false;
  show();
}
