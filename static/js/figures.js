// The figures of a traverse so far, and what each limit on them says. The server judges again; this is provisional.

import { absolute, add, compare, decimal, divide, fraction, multiply, places, rounded, subtract } from "./exact.js";

const HUNDRED = [100n, 1n];
const least = (values) => values.reduce((a, b) => (compare(b, a) < 0 ? b : a));
const most = (values) => values.reduce((a, b) => (compare(b, a) > 0 ? b : a));
const sum = (values) => values.reduce(add, [0n, 1n]);

/** Why a text is no reading of its instrument: 'form' or 'above', or nothing. `most` is a fraction, or null. */
export function wrong(text, digits, most = null) {
  const value = /^[0-9]{1,9}(\.[0-9]+)?$/.test(text) ? decimal(text) : null;
  if (!value || places(text) > digits) return "form";
  return most && compare(value, most) > 0 ? "above" : "";
}

/** A reading by the strict grammar and the range of its instrument; null where it is none. */
export function reading(text, digits, most = null) {
  return wrong(text, digits, most) ? null : decimal(text);
}

/** The value of a point: its readings averaged; null without one. */
export function pointValue(texts, digits, most = null) {
  const values = texts.filter((text) => text !== "").map((text) => reading(text, digits, most));
  if (!values.length || values.includes(null)) return null;
  return divide(sum(values), fraction(BigInt(values.length)));
}

/** Figures of the points read so far. A point is { value, edge }; those at the edge are left out of `lowest` alone. */
export function figures(points) {
  const read = points.filter((point) => point.value);
  const values = read.map((point) => point.value);
  const result = { read: read.length, all: points.length, complete: read.length === points.length && points.length > 0 };
  if (!values.length) return result;
  const inner = read.filter((point) => !point.edge).map((point) => point.value);
  const low = least(values);
  result.average = divide(sum(values), fraction(BigInt(values.length)));
  result.lowest = inner.length ? least(inner) : null;
  result.highest = most(values);
  result.spread = subtract(result.highest, low);
  if (result.average[0] !== 0n) {
    const percent = (value) => multiply(divide(value, result.average), HUNDRED);
    result["spread-percent"] = percent(result.spread);
    result["deviation-percent"] = percent(most(values.map((value) => absolute(subtract(value, result.average)))));
    result["low-deviation-percent"] = percent(subtract(result.average, low));
  }
  return result;
}

/** How far a point stands from the average, in percent of it; null where there is none. */
export function departure(value, average) {
  if (!value || !average || average[0] === 0n) return null;
  return multiply(divide(subtract(value, average), average), HUNDRED);
}

/** A figure in the unit of a bound. */
export function inUnitOf(bound, value) {
  return multiply(value, fraction(BigInt(bound.factor[0]), BigInt(bound.factor[1])));
}

/** On which side of a limit a figure stands: within, under or over, as the criteria compare it. */
export function side(limit, value, rule) {
  const against = (bound) => {
    const held = inUnitOf(bound, value);
    return compare(rule === "rounded" ? rounded(held, places(bound.text)) : held, decimal(bound.text));
  };
  if (limit.least && against(limit.least) < 0) return "under";
  if (limit.most && against(limit.most) > 0) return "over";
  return "within";
}

/** What a limit says now: met, not-met, not-tested, so-far-within, so-far-under, so-far-over, or judged-when-sent. */
export function says(limit, found, { rule, covered }) {
  if (!limit.live) return "judged-when-sent";
  const value = found[limit.figure];
  if (!value) return "not-tested";
  const where = side(limit, value, rule);
  if (found.complete) return where !== "within" ? "not-met" : covered ? "met" : "not-tested";
  if (limit.figure === "lowest" && where === "under") return "not-met";
  if (limit.figure === "highest" && where === "over") return "not-met";
  return `so-far-${where}`;
}
