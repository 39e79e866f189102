// What was written and not yet heard: kept in the browser, in order, each with an id of its own, until the server has taken it.

export class Queue {
  constructor(seat, store = window.localStorage) {
    this.key = `frywire.waiting.${seat}`;
    this.store = store;
    this.unkept = []; // notes the browser would not keep (storage full or forbidden); lost only if the page closes
  }

  all() {
    let kept = [];
    try {
      kept = JSON.parse(this.store.getItem(this.key) || "[]");
    } catch {
      kept = [];
    }
    return (Array.isArray(kept) ? kept : []).concat(this.unkept);
  }

  // Returns whether the note survives a closed page.
  add(note) {
    if (this.keep(this.all().filter((other) => !this.unkept.includes(other)).concat([note]))) return true;
    this.unkept.push(note);
    return false;
  }

  remove(id) {
    this.unkept = this.unkept.filter((note) => note.id !== id);
    const stay = this.all().filter((note) => note.id !== id && !this.unkept.includes(note));
    this.keep(stay);
  }

  clear() {
    this.unkept = [];
    this.store.removeItem(this.key);
  }

  keep(notes) {
    try {
      this.store.setItem(this.key, JSON.stringify(notes));
      return true;
    } catch {
      return false;
    }
  }
}

export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
