// The socket: opened, lost, opened again after a while; says how it stands and hands on what arrives.

const LONGEST_PAUSE = 20000;
const QUIET = 45000; // the server says something at least every 25 s; longer silence is a dead connection

export class Wire {
  constructor({ seen, heard, opened, stands }) {
    Object.assign(this, { seen, heard, opened, stands });
    this.tries = 0;
    this.socket = null;
    this.ended = false;
    window.addEventListener("online", () => this.now());
    window.addEventListener("offline", () => this.drop());
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.now());
  }

  get open() {
    return this.socket !== null && this.socket.readyState === WebSocket.OPEN;
  }

  now() {
    if (this.ended || (this.socket && this.socket.readyState <= WebSocket.OPEN)) return;
    clearTimeout(this.timer);
    this.connect();
  }

  drop() {
    if (this.socket) this.socket.close();
  }

  end() {
    this.ended = true;
    this.drop();
  }

  send(frame) {
    if (this.open) this.socket.send(JSON.stringify(frame));
  }

  connect() {
    const scheme = location.protocol === "https:" ? "wss:" : "ws:";
    const socket = new WebSocket(`${scheme}//${location.host}/wire?after=${this.seen()}`);
    this.socket = socket;
    socket.addEventListener("open", () => {
      this.tries = 0;
      this.listen();
      this.stands("open");
      this.opened();
    });
    socket.addEventListener("message", (event) => {
      this.listen();
      this.heard(JSON.parse(event.data));
    });
    socket.addEventListener("close", () => this.lost(socket));
  }

  listen() {
    clearTimeout(this.silence);
    this.silence = setTimeout(() => this.drop(), QUIET);
  }

  lost(socket) {
    clearTimeout(this.silence);
    if (this.ended || socket !== this.socket) return;
    this.socket = null;
    this.stands("lost");
    this.tries += 1;
    const pause = Math.min(LONGEST_PAUSE, 250 * 2 ** Math.min(this.tries, 7));
    this.timer = setTimeout(() => this.now(), pause * (0.75 + Math.random() / 2));
    if (this.tries > 1) this.askWhetherSignedIn();
  }

  // A refused socket does not say why; this does.
  async askWhetherSignedIn() {
    try {
      const answer = await fetch("/signed-in", { cache: "no-store" });
      if (answer.status === 401) {
        this.ended = true;
        clearTimeout(this.timer);
        this.stands("out");
      }
    } catch {
      // no connection: the next try will tell
    }
  }
}
