// The same formula as remaining_h in vandoc/ground/calc/remaining.py; a test compares both over a grid.
"use strict";
function remaining(charge, keep, capacity, rated, left, exponent, amps) {
  const drawable = Math.max(0, charge - keep) * capacity * left;
  if (drawable === 0) return 0;
  if (amps === 0) return Infinity;
  return drawable * Math.min(1, (capacity / (rated * amps)) ** (exponent - 1)) / amps;
}
