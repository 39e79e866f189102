// The log page: what is written is kept first, sent when there is a connection, and let go once the server has taken it.

import { Log } from "./log.js";
import { fit } from "./photo.js";
import { Queue, newId } from "./queue.js";
import { Wire } from "./wire.js";

const byId = (id) => document.getElementById(id);
const main = byId("main");
const words = byId("words");
const state = byId("state");
const queue = new Queue(main.dataset.seat);
const draftKey = `frywire.draft.${main.dataset.seat}`;
const longest = Number(main.dataset.longest);
const sent = new Set(); // ids on their way over this connection
const HERE_FOR = 2 * 3600 * 1000; // then a scanned place is forgotten
const openedAt = Date.now();
let here = main.dataset.here || null;
let photo = null;
let preparing = null; // a photo that is being made fit to send
let standing = "first";

const log = new Log(byId("log"), byId("scroll"), { press, again, drop });
const wire = new Wire({ seen: () => log.last, heard, opened, stands });

function note(frame, shown) {
  const kept = { id: newId(), written: Date.now(), ...frame };
  const lasting = queue.add(kept);
  log.showWaiting(shown || kept);
  log.toFoot();
  flush();
  tell(lasting ? "" : "The browser cannot keep this message: leave the page open until it is sent.");
  return kept;
}

function say(text) {
  note({ t: "text", text, ...at() });
}

// The place whose label was scanned, as long as it can be meant.
function at() {
  if (here && Date.now() - openedAt > HERE_FOR) leave();
  return here ? { here } : {};
}

function leave() {
  here = null;
  byId("here").remove();
  history.replaceState(null, "", "/");
}

function press(entry, label, token) {
  note({ t: "press", entry, label, token });
}

function again(refused) {
  words.value = refused.text || refused.caption || "";
  drop(refused);
  keepDraft();
  words.focus();
}

function drop(refused) {
  queue.remove(refused.id);
  log.dropWaiting(refused.id);
}

// Everything that waits goes out in the order it was written; what is refused for now is tried again.
function flush() {
  if (!wire.open) return;
  for (const waiting of queue.all()) {
    if (waiting.why || sent.has(waiting.id)) continue;
    sent.add(waiting.id);
    wire.send({ ...waiting, waited: (Date.now() - waiting.written) / 1000 });
  }
}

function heard(frame) {
  if (frame.t === "lines") {
    log.add(frame.lines);
    if (frame.more) byId("earlier").hidden = false;
    if (log.following) log.toFoot();
    byId("newest").hidden = log.atFoot();
    setTimeout(() => byId("log").setAttribute("aria-live", "polite"), 500);
  } else if (frame.t === "earlier") {
    log.addEarlier(frame.lines);
    byId("earlier").hidden = !frame.more;
  } else if (frame.t === "taken") {
    sent.delete(frame.id);
    queue.remove(frame.id);
    log.dropWaiting(frame.id);
    tell("");
  } else if (frame.t === "later") {
    tell(frame.why);
    setTimeout(() => (sent.delete(frame.id), flush()), frame.seconds * 1000);
  } else if (frame.t === "farewell") {
    farewell(frame.why);
  } else if (frame.t === "refused") {
    refused(frame);
  }
}

function refused(frame) {
  sent.delete(frame.id);
  const found = queue.all().find((waiting) => waiting.id === frame.id);
  if (!found) return tell(frame.why);
  queue.remove(frame.id);
  log.showRefused(found, frame.why);
  log.toFoot();
}

// Forgotten: nothing of the member stays in this browser either.
function farewell(why) {
  wire.end();
  queue.clear();
  localStorage.removeItem(draftKey);
  byId("log").replaceChildren();
  byId("line").hidden = true;
  state.textContent = why;
}

function opened() {
  sent.clear();
  flush();
}

function stands(how) {
  standing = how;
  log.connected(how === "open");
  if (how !== "open") sent.clear();
  tell("");
}

function tell(more) {
  const count = queue.all().length;
  const waits = count === 1 ? "One message waits here and goes out" : `${count} messages wait here and go out`;
  const said = {
    first: "",
    open: "",
    lost: count ? `No connection. ${waits} when it is back.` : "No connection. Write on: it is kept here and goes out when it is back.",
    out: `You are signed out. ${count ? `${waits} once you are in again. ` : ""}Open a new link from your keeper or organiser.`,
  }[standing];
  const text = [said, more].filter(Boolean).join(" ");
  if (state.textContent !== text) state.textContent = text;
}

function draft() {
  try {
    return localStorage.getItem(draftKey) || "";
  } catch {
    return "";
  }
}

function keepDraft() {
  try {
    if (words.value) localStorage.setItem(draftKey, words.value);
    else localStorage.removeItem(draftKey);
  } catch {
    // a draft that cannot be kept is still on the screen
  }
  words.style.height = "auto";
  words.style.height = `${words.scrollHeight + 2}px`;
}

async function send() {
  if (preparing) await preparing;
  const text = words.value.trim();
  if (text.length > longest) return tell(`That is ${text.length} characters; ${longest} fit in one message. Cut it in two.`);
  if (photo) {
    note({ t: "photo", content: photo.content, caption: text, ...at() });
    choose(null);
  } else if (text) {
    say(text);
  } else {
    return words.focus();
  }
  words.value = "";
  keepDraft();
  words.focus();
}

function choose(found) {
  if (photo) URL.revokeObjectURL(photo.address);
  photo = found;
  byId("chosen").hidden = !found;
  if (found) byId("preview").src = found.address;
  words.placeholder = found ? "Whose picture is it?" : words.dataset.usual;
}

async function chosen(event) {
  const file = event.target.files[0];
  if (!file) return;
  preparing = prepare(file);
  event.target.value = "";
  await preparing;
  preparing = null;
}

async function prepare(file) {
  const made = await fit(file).catch(() => null);
  if (!made) return tell("That photo cannot be sent: it is larger than 8 MB or no picture. Nothing was lost; choose another.");
  choose(made);
  words.focus();
}

byId("line").addEventListener("submit", (event) => {
  event.preventDefault();
  send();
});
words.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || event.shiftKey || event.isComposing) return;
  event.preventDefault();
  send();
});
words.addEventListener("input", keepDraft);
byId("camera").addEventListener("change", chosen);
byId("album").addEventListener("change", chosen);
byId("unchoose").addEventListener("click", () => choose(null));
for (const often of document.querySelectorAll("[data-say]")) often.addEventListener("click", () => say(often.dataset.say));
byId("earlier").addEventListener("click", () => wire.send({ t: "earlier", before: log.first || 1 }));
byId("newest").addEventListener("click", () => log.toEnd());
byId("scroll").addEventListener("scroll", () => log.atFoot() && (byId("newest").hidden = true));
if (byId("leave")) byId("leave").addEventListener("click", leave);
window.addEventListener("storage", (event) => event.key === queue.key && tell(""));

// The line to write on stays above the keyboard, also where the browser lays the keyboard over the page.
function followKeyboard() {
  const seen = window.visualViewport;
  const covered = window.innerHeight - seen.height - seen.offsetTop > 80;
  document.body.classList.toggle("keyed", covered);
  document.body.style.setProperty("--seen", `${seen.height}px`);
  if (covered) window.scrollTo(0, 0);
}
if (window.visualViewport) window.visualViewport.addEventListener("resize", followKeyboard);

// A line handed over by the shelf ("Reserve") stands ready to be sent, never sent by itself.
const ready = new URLSearchParams(location.search).get("say");
words.value = words.value || ready || draft();
if (ready) history.replaceState(null, "", location.pathname);
keepDraft();
for (const waiting of queue.all()) log.showWaiting(waiting);
byId("send").disabled = false;
wire.now();
if (!matchMedia("(pointer: coarse)").matches) words.focus();
