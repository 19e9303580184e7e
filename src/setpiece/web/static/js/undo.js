// What can be taken back, the last act first; kept while this window is open.
const MOST = 50;

export class Undoing {
  constructor(folder, store = sessionStorage) {
    this.place = `setpiece.undo.${folder}`;
    this.store = store;
  }

  get acts() {
    try {
      return JSON.parse(this.store.getItem(this.place) ?? "[]");
    } catch {
      return [];
    }
  }

  push(act) {
    this.#keep([...this.acts, act].slice(-MOST));
  }

  pop() {
    const acts = this.acts;
    const last = acts.pop();
    this.#keep(acts);
    return last;
  }

  #keep(acts) {
    this.store.setItem(this.place, JSON.stringify(acts));
  }
}
