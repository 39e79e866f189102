// The log as it stands on the page: days, lines, buttons, pictures. Only text is ever put in, never markup.

function element(name, className, text) {
  const made = document.createElement(name);
  if (className) made.className = className;
  if (text !== undefined) made.textContent = text;
  return made;
}

// A line that heads a list (a place, and what is to be done there) stands out, and so does a caution.
function prose(text) {
  const made = element("p");
  const lines = text.split("\n");
  lines.forEach((line, number) => {
    const heads = line && line.length <= 40 && (!lines[number - 1] || line.endsWith(":")) && /^(\d+\.|•) /.test(lines[number + 1] || "");
    const kind = heads ? element("b", "", line) : line.startsWith("Caution: ") ? element("span", "caution", line) : line;
    made.append(kind, number < lines.length - 1 ? "\n" : "");
  });
  return made;
}

export class Log {
  constructor(place, scroll, { press, again, drop }) {
    Object.assign(this, { place, scroll, press, again, drop });
    this.last = 0;
    this.first = null;
    this.lines = new Map(); // number -> element
    this.open = false;
    this.following = true;
    this.watchReader();
  }

  atFoot() {
    return this.scroll.scrollHeight - this.scroll.scrollTop - this.scroll.clientHeight < 80;
  }

  // While the reader has not scrolled away the newest stays in sight: its foot, or its head where it is longer than the view.
  watchReader() {
    for (const kind of ["wheel", "touchmove", "keydown", "pointerdown"]) {
      this.scroll.addEventListener(kind, () => (this.following = false), { passive: true });
    }
    this.scroll.addEventListener("scroll", () => this.atFoot() && (this.following = true));
  }

  toFoot() {
    this.following = true;
    const mine = this.place.querySelectorAll(".mine");
    const head = mine.length ? mine[mine.length - 1] : this.place.lastElementChild;
    const foot = this.scroll.scrollHeight - this.scroll.clientHeight;
    this.scroll.scrollTop = head ? Math.min(foot, head.offsetTop - this.rule()) : foot;
  }

  toEnd() {
    this.following = true;
    this.scroll.scrollTop = this.scroll.scrollHeight;
  }

  rule() {
    return parseFloat(getComputedStyle(this.place).lineHeight);
  }

  // Lines come in order of their numbers; one that is here already is passed over, so nothing shows twice.
  add(lines) {
    for (const line of lines) {
      if (line.n <= this.last) continue;
      this.last = line.n;
      if (this.first === null) this.first = line.n;
      this.dropWaiting(line.client);
      if (line.instead && this.replace(line)) {
        this.lines.get(line.n).scrollIntoView({ block: "nearest" });
        continue;
      }
      this.markPressed(line);
      const waiting = this.place.querySelector(".waits, .refused");
      this.put(line, waiting);
    }
  }

  addEarlier(lines) {
    const height = this.scroll.scrollHeight;
    const anchor = this.place.firstElementChild;
    const had = anchor && anchor.classList.contains("day") ? anchor : null;
    const later = lines.filter((line) => this.first === null || line.n < this.first);
    for (const line of later) {
      if (line.instead && this.replace(line)) continue;
      this.markPressed(line);
      this.put(line, anchor);
    }
    if (later.length) this.first = later[0].n;
    if (had && later.length && later[later.length - 1].day === had.textContent) had.remove();
    this.scroll.scrollTop += this.scroll.scrollHeight - height;
  }

  put(line, before) {
    const above = before ? before.previousElementSibling : this.place.lastElementChild;
    if (this.dayOf(above) !== line.day) this.place.insertBefore(this.heading(line.day), before);
    const made = this.draw(line);
    this.lines.set(line.n, made);
    this.place.insertBefore(made, before);
  }

  dayOf(node) {
    let found = node;
    while (found && !found.classList.contains("day")) found = found.previousElementSibling;
    return found ? found.textContent : null;
  }

  heading(day) {
    return element("h2", "day", day);
  }

  draw(line) {
    const mine = line.who === "member";
    const made = element("div", `entry ${mine ? "mine" : "from-bot"}`);
    made.dataset.n = line.n;
    if (mine && line.client) made.dataset.said = line.client;
    const hour = element("time", "", mine || line.alone ? line.clock : "");
    hour.dateTime = line.at;
    made.append(hour, this.body(line, mine));
    return made;
  }

  body(line, mine) {
    const body = element("div", "words");
    body.append(element("span", "unseen", mine ? "You: " : "Frywire: "));
    if (line.text) body.append(mine ? element("p", "", line.text) : prose(line.text));
    for (const row of line.buttons || []) body.append(this.keys(line, row));
    for (const file of line.files || []) body.append(this.file(file, mine));
    return body;
  }

  keys(line, row) {
    const keys = element("div", "keys");
    for (const [label, token] of row) {
      const key = element("button", "", label);
      key.type = "button";
      key.dataset.token = token;
      key.addEventListener("click", () => this.press(line.n, label, token));
      keys.append(key);
    }
    return keys;
  }

  file(file, mine) {
    const link = element("a");
    link.href = `/file/${encodeURIComponent(file.id)}`;
    if (!file.type.startsWith("image/")) {
      link.className = "gravel paper-file";
      link.textContent = `${file.name}, ${size(file.size)}`;
      link.download = file.name;
      return link;
    }
    link.className = mine ? "picture small" : "picture";
    link.target = "_blank";
    link.rel = "noopener";
    const picture = element("img");
    picture.src = link.href;
    picture.alt = file.name.replace(/\.\w+$/, "").replaceAll("-", " ");
    picture.addEventListener("load", () => this.onRules(link, picture));
    link.append(picture);
    return link;
  }

  // A picture takes whole lines of the book, so that what follows stands on the rules again.
  onRules(link, picture) {
    const rule = this.rule();
    link.style.height = `${Math.ceil((picture.offsetHeight + 12) / rule) * rule}px`;
    if (this.following) this.toFoot();
  }

  replace(line) {
    const old = this.lines.get(line.instead);
    if (!old) return false;
    const focused = old.contains(document.activeElement);
    old.querySelector(".words").replaceWith(this.body(line, false));
    if (focused) this.focus(old);
    const hour = old.querySelector("time");
    hour.textContent = line.clock;
    hour.dateTime = line.at;
    old.classList.add("renewed");
    this.lines.set(line.n, old);
    this.dropPress(line.client);
    return true;
  }

  // The keyboard stays where it was: on the first key of the new text, else on the line itself.
  focus(entry) {
    const key = entry.querySelector("button");
    if (!key) entry.tabIndex = -1;
    (key || entry).focus({ preventScroll: true });
  }

  // A press that changed a line shows in that line, and needs none of its own.
  dropPress(client) {
    const press = client && this.place.querySelector(`[data-said="${CSS.escape(client)}"]`);
    if (!press) return;
    const above = press.previousElementSibling;
    const below = press.nextElementSibling;
    press.remove();
    if (above && above.classList.contains("day") && (!below || below.classList.contains("day"))) above.remove();
  }

  markPressed(line) {
    const pressed = line.about && this.lines.get(line.about);
    if (!pressed || !line.token) return;
    for (const key of pressed.querySelectorAll("button")) {
      if (key.dataset.token === line.token) key.setAttribute("aria-pressed", "true");
    }
  }

  showWaiting(note) {
    const made = element("div", "entry mine waits");
    made.dataset.client = note.id;
    const body = element("div", "words");
    body.append(element("span", "unseen", "You, not yet sent: "));
    body.append(element("p", "", note.text || (note.label && `[${note.label}]`) || note.caption || "(a photo)"));
    made.append(element("time", "", this.open ? "…" : "waits"), body);
    this.place.append(made);
  }

  showRefused(note, why) {
    const made = this.waiting(note.id);
    if (!made) return;
    made.classList.replace("waits", "refused");
    made.querySelector("time").textContent = "not sent";
    const body = made.querySelector(".words");
    body.append(element("p", "why", why));
    const keys = element("div", "keys");
    for (const [label, act] of [["Write it anew", this.again], ["Drop it", this.drop]]) {
      const key = element("button", "", label);
      key.type = "button";
      key.addEventListener("click", () => act(note));
      keys.append(key);
    }
    body.append(keys);
  }

  // While there is a connection a message is on its way; without one it waits.
  connected(open) {
    this.open = open;
    for (const hour of this.place.querySelectorAll(".waits > time")) hour.textContent = open ? "…" : "waits";
  }

  waiting(client) {
    return client ? this.place.querySelector(`[data-client="${CSS.escape(client)}"]`) : null;
  }

  dropWaiting(client) {
    const found = this.waiting(client);
    if (found) found.remove();
  }
}

function size(bytes) {
  return bytes < 1024 * 1024 ? `${Math.max(1, Math.round(bytes / 1024))} kB` : `${(bytes / 1024 / 1024).toFixed(1)} MB`;
}
