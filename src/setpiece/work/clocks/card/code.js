// The clock card's code: a QR symbol, version 2, level M, alphanumeric (ISO/IEC 18004:2015).
// Only that one kind is written, since every instant has the same length.
// codeFor("2027-03-06T15:03:12.3Z") gives 25 rows of 25 booleans, true is dark.

const SIZE = 25;
const DATA_WORDS = 28;
const CHECK_WORDS = 16;
const SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";

// Powers of two in GF(256) modulo x^8+x^4+x^3+x^2+1 (section 7.5.2).
const POWERS = new Array(512);
const LOGS = new Array(256);
for (let i = 0, x = 1; i < 255; i += 1) {
  POWERS[i] = x;
  POWERS[i + 255] = x;
  LOGS[x] = i;
  x = x << 1;
  if (x > 255) x ^= 0x11d;
}

function times(a, b) {
  return a && b ? POWERS[LOGS[a] + LOGS[b]] : 0;
}

function dataWords(text) {
  const bits = [];
  const put = (value, length) => {
    for (let i = length - 1; i >= 0; i -= 1) bits.push((value >> i) & 1);
  };
  put(0b0010, 4);
  put(text.length, 9);
  for (let i = 0; i + 1 < text.length; i += 2) {
    put(SIGNS.indexOf(text[i]) * 45 + SIGNS.indexOf(text[i + 1]), 11);
  }
  if (text.length % 2) put(SIGNS.indexOf(text[text.length - 1]), 6);
  put(0, Math.min(4, DATA_WORDS * 8 - bits.length));
  while (bits.length % 8) bits.push(0);
  const words = [];
  for (let i = 0; i < bits.length; i += 8) {
    words.push(bits.slice(i, i + 8).reduce((sum, bit) => sum * 2 + bit, 0));
  }
  for (let pad = 0xec; words.length < DATA_WORDS; pad ^= 0xec ^ 0x11) words.push(pad);
  return words;
}

function checkWords(words) {
  let generator = [1];
  for (let i = 0; i < CHECK_WORDS; i += 1) {
    const next = new Array(generator.length + 1).fill(0);
    generator.forEach((factor, at) => {
      next[at] ^= factor;
      next[at + 1] ^= times(factor, POWERS[i]);
    });
    generator = next;
  }
  const rest = words.concat(new Array(CHECK_WORDS).fill(0));
  for (let i = 0; i < words.length; i += 1) {
    const factor = rest[i];
    if (factor) generator.forEach((g, at) => { rest[i + at] ^= times(g, factor); });
  }
  return rest.slice(words.length);
}

function blank() {
  return Array.from({ length: SIZE }, () => new Array(SIZE).fill(null));
}

function fixedParts() {
  const grid = blank();
  const square = (top, left, rings) => {
    for (let y = -4; y <= 4; y += 1) {
      for (let x = -4; x <= 4; x += 1) {
        const ring = Math.max(Math.abs(x), Math.abs(y));
        const row = grid[top + y];
        if (ring < rings.length && row && row[left + x] !== undefined) row[left + x] = rings[ring];
      }
    }
  };
  const finder = [true, true, false, true, false];
  square(3, 3, finder);
  square(3, SIZE - 4, finder);
  square(SIZE - 4, 3, finder);
  square(18, 18, [true, false, true]);
  for (let i = 8; i < SIZE - 8; i += 1) {
    grid[6][i] = i % 2 === 0;
    grid[i][6] = i % 2 === 0;
  }
  formatPlaces().flat().forEach(([y, x]) => { grid[y][x] = false; });
  grid[SIZE - 8][8] = false;
  return grid;
}

// Where bit 14 (first) to bit 0 of the format stand, twice (figure 25 of the standard).
function formatPlaces() {
  const around = [];
  for (let x = 0; x < 6; x += 1) around.push([8, x]);
  around.push([8, 7], [8, 8], [7, 8]);
  for (let y = 5; y >= 0; y -= 1) around.push([y, 8]);
  const apart = [];
  for (let y = SIZE - 1; y > SIZE - 8; y -= 1) apart.push([y, 8]);
  for (let x = SIZE - 8; x < SIZE; x += 1) apart.push([8, x]);
  return [around, apart];
}

const MASKS = [
  (y, x) => (y + x) % 2 === 0,
  (y) => y % 2 === 0,
  (y, x) => x % 3 === 0,
  (y, x) => (y + x) % 3 === 0,
  (y, x) => (Math.floor(y / 2) + Math.floor(x / 3)) % 2 === 0,
  (y, x) => ((y * x) % 2) + ((y * x) % 3) === 0,
  (y, x) => (((y * x) % 2) + ((y * x) % 3)) % 2 === 0,
  (y, x) => (((y + x) % 2) + ((y * x) % 3)) % 2 === 0,
];

function formatBits(mask) {
  const data = mask; // level M is 00 (table 12)
  let rest = data << 10;
  for (let i = 14; i >= 10; i -= 1) if ((rest >> i) & 1) rest ^= 0x537 << (i - 10);
  return ((data << 10) | rest) ^ 0x5412;
}

function dataPlaces(fixed) {
  const places = [];
  let up = true;
  for (let right = SIZE - 1; right > 0; right -= 2) {
    if (right === 6) right -= 1;
    for (let i = 0; i < SIZE; i += 1) {
      const y = up ? SIZE - 1 - i : i;
      for (const x of [right, right - 1]) if (fixed[y][x] === null) places.push([y, x]);
    }
    up = !up;
  }
  return places;
}

// Penalties of section 7.8.3, by which the mask is chosen.
function penalty(grid) {
  let sum = 0;
  const lines = grid.concat(grid[0].map((_, x) => grid.map((row) => row[x])));
  for (const line of lines) {
    for (let start = 0, i = 1; i <= SIZE; i += 1) {
      if (i < SIZE && line[i] === line[start]) continue;
      if (i - start >= 5) sum += i - start - 2;
      start = i;
    }
    const text = line.map((dark) => (dark ? "1" : "0")).join("");
    for (let at = text.indexOf("1011101"), next; at >= 0; at = text.indexOf("1011101", next)) {
      const before = text.slice(Math.max(0, at - 4), at);
      const after = text.slice(at + 7, at + 11);
      const light = !before.includes("1") || !after.includes("1");
      if (light) sum += 40;
      next = at + (light ? 7 : 4);
    }
  }
  let dark = 0;
  for (let y = 0; y < SIZE; y += 1) {
    for (let x = 0; x < SIZE; x += 1) {
      if (grid[y][x]) dark += 1;
      if (y && x && grid[y][x] === grid[y - 1][x] && grid[y][x] === grid[y][x - 1]
          && grid[y][x] === grid[y - 1][x - 1]) sum += 3;
    }
  }
  return sum + 10 * Math.floor(Math.abs((dark * 100) / (SIZE * SIZE) - 50) / 5);
}

export function codeFor(text) {
  if ([...text].some((sign) => !SIGNS.includes(sign)) || text.length > 38) {
    throw new RangeError("the code holds up to 38 capitals, digits and signs");
  }
  const words = dataWords(text);
  const bits = words.concat(checkWords(words))
    .flatMap((word) => [7, 6, 5, 4, 3, 2, 1, 0].map((i) => (word >> i) & 1));
  const fixed = fixedParts();
  const places = dataPlaces(fixed);
  let best = null;
  MASKS.forEach((mask, number) => {
    const grid = fixed.map((row) => row.slice());
    places.forEach(([y, x], i) => { grid[y][x] = Boolean((bits[i] || 0) ^ mask(y, x)); });
    const cost = penalty(grid); // before the format is written (section 7.8.1)
    if (!best || cost < best.cost) best = { cost, grid, number };
  });
  const format = formatBits(best.number);
  for (const copy of formatPlaces()) {
    copy.forEach(([y, x], i) => { best.grid[y][x] = Boolean((format >> (14 - i)) & 1); });
  }
  best.grid[SIZE - 8][8] = true; // the module that is always dark
  return best.grid;
}
