// HTML that the server made, fetched and put in its place. Scripts inside never run.
export class Unreachable extends Error {}

export function parsed(html) {
  const made = new DOMParser().parseFromString(html, "text/html");
  const part = document.createDocumentFragment();
  part.append(...made.body.childNodes);
  return part;
}

export async function fetched(address) {
  let answer;
  try {
    answer = await fetch(address, { headers: { "x-fragment": "1" } });
  } catch {
    throw new Unreachable(address);
  }
  if (!answer.ok) throw new Error(`${answer.status} ${address}`);
  return answer.text();
}

// Keeps what was fetched until something changes, so that the arrows never wait.
export class Kept {
  constructor(fetcher = fetched, most = 60) {
    this.fetcher = fetcher;
    this.most = most;
    this.known = new Map();
  }

  get(address) {
    if (!this.known.has(address)) {
      const asked = this.fetcher(address);
      this.known.set(address, asked);
      asked.catch(() => this.known.delete(address));
      if (this.known.size > this.most) this.known.delete(this.known.keys().next().value);
    }
    return this.known.get(address);
  }

  forget() {
    this.known.clear();
  }
}
