// The wall display: dark from 9 p.m. to 6 a.m. by the server's clock unless somebody chose
// otherwise here, and a line for the parties that do not fit on the screen.

const KEPT = "wall-night";
const NIGHT = { from: 21, to: 6 };
const NEXT = { clock: "dark", dark: "light", light: "clock" };
const WORDS = { clock: "Dark from 21:00 to 06:00", dark: "Always dark", light: "Always light" };

const wall = document.getElementById("board");
const more = document.getElementById("wall-more");
const button = document.getElementById("wall-night");

let choice = localStorage.getItem(KEPT) ?? "clock";
let clock = document.getElementById("live").dataset.clock;

function light() {
  const hour = Number(clock.slice(0, 2));
  const night = hour >= NIGHT.from || hour < NIGHT.to;
  document.documentElement.classList.toggle("Wall-dark", choice === "dark" || (choice === "clock" && night));
  button.textContent = WORDS[choice];
}

function fit() {
  const bottoms = [...wall.querySelectorAll(".Board-party")].map((row) => row.getBoundingClientRect().bottom);
  const under = (edge) => bottoms.filter((bottom) => bottom > edge).length;
  more.hidden = under(innerHeight) === 0 || scrollY > 0;
  if (more.hidden) return;
  more.textContent = `${under(innerHeight - more.offsetHeight)} more below, none more urgent than these.`;
}

button.addEventListener("click", () => {
  choice = NEXT[choice] ?? "clock";
  localStorage.setItem(KEPT, choice);
  light();
});
document.addEventListener("live:word", (event) => {
  clock = event.detail;
  light();
  fit();
});
document.addEventListener("live:drawn", fit);
document.addEventListener("live:lost", fit);
addEventListener("resize", fit);
addEventListener("scroll", fit);

button.hidden = false;
light();
fit();
