// Exact fractions of whole numbers: [numerator, denominator], the denominator above zero. Never floats.

const gcd = (a, b) => { while (b) [a, b] = [b, a % b]; return a < 0n ? -a : a; };

export function fraction(numerator, denominator = 1n) {
  if (denominator < 0n) [numerator, denominator] = [-numerator, -denominator];
  const common = gcd(numerator, denominator) || 1n;
  return [numerator / common, denominator / common];
}

export const add = (a, b) => fraction(a[0] * b[1] + b[0] * a[1], a[1] * b[1]);
export const subtract = (a, b) => add(a, [-b[0], b[1]]);
export const multiply = (a, b) => fraction(a[0] * b[0], a[1] * b[1]);
export const divide = (a, b) => fraction(a[0] * b[1], a[1] * b[0]);
export const absolute = (a) => [a[0] < 0n ? -a[0] : a[0], a[1]];

/** Which is larger: -1, 0 or 1. */
export function compare(a, b) {
  const difference = a[0] * b[1] - b[0] * a[1];
  return difference < 0n ? -1 : difference > 0n ? 1 : 0;
}

/** A decimal as written, such as '-0.50'; null where it is not one. */
export function decimal(text) {
  const parts = /^(-?)([0-9]+)(?:\.([0-9]+))?$/.exec(text);
  if (!parts) return null;
  const digits = parts[3] ?? "";
  const whole = BigInt(parts[2] + digits);
  return fraction(parts[1] ? -whole : whole, 10n ** BigInt(digits.length));
}

/** How many digits stand after the point of a decimal as written. */
export const places = (text) => (text.split(".")[1] ?? "").length;

/** Rounded to so many places, half to even. */
export function rounded(value, count) {
  const scale = 10n ** BigInt(count);
  const numerator = value[0] * scale;
  let whole = numerator / value[1];
  let rest = numerator % value[1];
  if (rest < 0n) { whole -= 1n; rest += value[1]; }
  const twice = rest * 2n;
  if (twice > value[1] || (twice === value[1] && whole % 2n !== 0n)) whole += 1n;
  return fraction(whole, scale);
}

/** The digits of a value at so many places, half to even, without needless zeros. */
export function shown(value, count) {
  const scale = 10n ** BigInt(count);
  const [numerator, denominator] = rounded(value, count);
  const scaled = (numerator * scale) / denominator;
  const digits = (scaled < 0n ? -scaled : scaled).toString().padStart(count + 1, "0");
  const tail = digits.slice(digits.length - count).replace(/0+$/, "");
  const whole = digits.slice(0, digits.length - count);
  return (scaled < 0n ? "\u2212" : "") + (count && tail ? `${whole}.${tail}` : whole);
}

/** The digits of a value, as many as it takes to stand on the same side of the bounds as the value itself. */
export function shownBeside(value, count, bounds) {
  let places = count;
  while (!bounds.every((bound) => compare(rounded(value, places), bound) === compare(value, bound))) places += 1;
  return shown(value, places);
}
