/* The water ledger: let in, called in, or come home? worksheets/ledger.py says how and why, and does the same.
 * SI units throughout. */

/**
 * @typedef {{time: number, level: number, temperature: number, counted: number, drained: number}} Reading
 * @typedef {{area: number, areaOff: number, levelOff: number, temperatureOff: number, content: number, away: number,
 *   counterOff: number, matters: number, uncounted: boolean}} Boiler
 * @typedef {{value: number, low: number, high: number}} Amount
 * @typedef {{kind: string, sure: number, likeliest: string, over: Amount, calledIn: Amount | null,
 *   letIn: Amount | null, cameHome: Amount | null, lost: Amount | null, between: number | null, until: number | null}} Told
 */

(function () {
  "use strict";
  const { physics, worksheets } = globalThis.faultleaf;

  const numbers = () => globalThis.faultleafData.worksheets.ledger;

  function dot(one, other) {
    let total = 0;
    for (let i = 0; i < Math.min(one.length, other.length); i += 1) total += one[i] * other[i];
    return total;
  }

  function cholesky(matrix) {
    const root = [];
    for (const row of matrix) {
      const made = [];
      for (let j = 0; j < root.length; j += 1) made.push((row[j] - dot(made, root[j])) / root[j][j]);
      made.push(Math.sqrt(Math.max(row[root.length] - dot(made, made), 1e-30)));
      root.push(made);
    }
    return root;
  }

  /** What is left to explain at each reading after the first, and the covariance of its errors. */
  function leftOver(boiler, readings) {
    const [first] = readings, { limit, cold: coldAt } = numbers(), cold = physics.waterDensity(coldAt);
    const start = boiler.content * physics.waterDensity(first.temperature);
    const over = [], moved = [], counted = [], own = [];
    for (const each of readings) {
      const density = physics.waterDensity(each.temperature), step = boiler.area * (each.level - first.level);
      const slope = (physics.waterDensity(each.temperature - 1) - physics.waterDensity(each.temperature + 1)) / 2;
      over.push(((boiler.content + step) * density - start) / cold + each.drained - each.counted);
      moved.push((((step * density) / cold) * boiler.areaOff) / boiler.area / limit);
      counted.push((each.counted * boiler.counterOff) / limit);
      const level = (boiler.area * boiler.levelOff * density) / cold / limit;
      const warmth = (boiler.content * slope * boiler.temperatureOff) / cold / limit;
      own.push(level * level + warmth * warmth);
    }
    const later = readings.slice(1).map((_, place) => place + 1);
    const spread = later.map((i) => later.map((j) =>
      own[0] + moved[i] * moved[j] + counted[i] * counted[j] + (i === j ? own[i] : 0)));
    return { over: over.slice(1), spread };
  }

  function fitter(over, spread) {
    const root = cholesky(spread);
    const white = (values) => {
      const found = [];
      values.forEach((value, i) => found.push((value - dot(root[i], found)) / root[i][i]));
      return found;
    };
    const left = white(over);
    return (shape, steady) => {
      const own = white(shape);
      return { over: dot(own, left), own: dot(own, own), steady: steady ? dot(own, white(steady)) : 0 };
    };
  }

  const logOf = (size, shape) => size * shape.over - (size * size * shape.own) / 2;

  function spaced(low, high, count) {
    const ratio = Math.log(high / low);
    return Array.from({ length: count }, (_, i) => low * Math.exp((ratio * (i + 0.5)) / count));
  }

  function home(boiler, shapes, last, steady, rates, shares) {
    const { times, quickest_home: quickest, latest_home: latest } = numbers(), homes = spaced(quickest, latest, times);
    const points = [];
    shapes.forEach((shape, place) => {
      const back = 1 - Math.exp(-last / homes[place]);
      for (let i = 0; i < shares; i += 1) {
        const size = (boiler.away * (i + 0.5)) / shares, alone = logOf(size, shape);
        for (const rate of rates) {
          points.push({ rate, home: size * back, log: alone + logOf(rate, steady) - rate * size * shape.steady });
        }
      }
    });
    return points;
  }

  /** @returns {Map<string, {rate: number, home: number, log: number}[]>} the points of each kind's grid */
  function weigh(boiler, readings, over, spread) {
    const n = numbers(), times = readings.slice(1).map((each) => each.time), last = times[times.length - 1];
    const fit = fitter(over, spread), steady = fit(times);
    const rates = spaced(boiler.matters, n.fastest, n.rates);
    const drifts = Array.from({ length: n.drifts }, (_, i) => boiler.matters * ((i + 0.5) / n.drifts - 0.5));
    const at = (rate) => ({ rate, home: 0, log: logOf(rate, steady) });
    const kinds = new Map([
      [n.kinds.quiet, drifts.map(at)], [n.kinds.let_in, rates.map(at)], [n.kinds.lost, rates.map((rate) => at(-rate))],
    ]);
    if (boiler.away > 0) {
      const shapes = spaced(n.quickest_home, n.latest_home, n.times)
        .map((time) => fit(times.map((each) => 1 - Math.exp(-each / time)), times));
      kinds.set(n.kinds.came_home, home(boiler, shapes, last, steady, [0], n.shares));
      kinds.set(n.kinds.both, home(boiler, shapes, last, steady, spaced(boiler.matters, n.fastest, n.pair_rates), n.pair_shares));
    }
    for (const [kind, points] of kinds) {
      const before = Math.log(n.before[kind] / points.length);
      for (const point of points) point.log += before;
    }
    return kinds;
  }

  function quantile(pairs, total, share) {
    const wanted = share * total;
    let reached = 0, low = 0, at = 0;
    for (const [value, weight] of pairs) {
      const middle = reached + weight / 2;
      if (middle >= wanted) return middle > at ? low + ((value - low) * (wanted - at)) / (middle - at) : value;
      reached += weight;
      low = value;
      at = middle;
    }
    return pairs[pairs.length - 1][0];
  }

  /** @returns {Amount} */
  function amount(points, value) {
    const top = points.reduce((most, { log }) => Math.max(most, log), -Infinity);
    const pairs = points.map((each) => [value(each), Math.exp(each.log - top)]).sort((a, b) => a[0] - b[0] || a[1] - b[1]);
    const total = pairs.reduce((sum, [, weight]) => sum + weight, 0);
    return { value: quantile(pairs, total, 0.5), low: quantile(pairs, total, 0.05), high: quantile(pairs, total, 0.95) };
  }

  function standUntil(boiler, readings, limit) {
    const { latest_home: latest } = numbers(), half = 1800, last = readings[readings.length - 1].time;
    const settled = boiler.away > 0 ? latest * Math.max(0, Math.log(boiler.away / limit)) : 0;
    const between = Math.ceil(Math.max(settled, last + 60) / half) * half;
    return { between, until: between + Math.ceil((2 * limit) / boiler.matters / half) * half };
  }

  function named(boiler, kind, counted, limit) {
    const { kinds, claims } = numbers();
    if ((kind === kinds.quiet || kind === kinds.nothing_in) && counted > limit) return kinds.called_in;
    return boiler.uncounted && claims[kind].includes(kinds.let_in) ? kind + kinds.or_called_in : kind;
  }

  /** @param {Boiler} boiler @param {Reading[]} readings two or more, each later than the one before @returns {Told} */
  function readLedger(boiler, readings) {
    const { kinds: name, claims, sure, limit: normal } = numbers();
    const { over, spread } = leftOver(boiler, readings), kinds = weigh(boiler, readings, over, spread);
    let top = -Infinity;
    for (const points of kinds.values()) for (const { log } of points) top = Math.max(top, log);
    const shares = new Map([...kinds].map(([kind, points]) => [kind, points.reduce((sum, { log }) => sum + Math.exp(log - top), 0)]));
    const total = [...shares.values()].reduce((sum, share) => sum + share, 0);
    const chance = (claim) => claims[claim].reduce((sum, kind) => sum + (shares.get(kind) || 0), 0) / total;
    const said = Object.keys(claims).find((claim) => chance(claim) >= sure) || "";
    const ranked = [...shares].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? 1 : -1));
    const likeliest = said || ranked[0][0];
    const { counted, time: last } = readings[readings.length - 1], end = over.length - 1;
    const limit = normal * Math.sqrt(spread[end][end]), off = counted * boiler.counterOff;
    const points = said ? claims[said].flatMap((kind) => kinds.get(kind) || []) : [];
    const wait = said ? { between: null, until: null } : standUntil(boiler, readings, limit);
    return {
      kind: said && named(boiler, said, counted, limit), sure: chance(likeliest),
      likeliest: named(boiler, likeliest, counted, limit),
      over: { value: over[end], low: over[end] - limit, high: over[end] + limit },
      calledIn: counted > 0 ? { value: counted, low: counted - off, high: counted + off } : null,
      letIn: said && claims[said].includes(name.let_in) ? amount(points, ({ rate }) => rate * last) : null,
      cameHome: said === name.came_home || said === name.both ? amount(points, (each) => each.home) : null,
      lost: said === name.lost ? amount(points, ({ rate }) => -rate * last) : null,
      ...wait,
    };
  }

  Object.assign(worksheets, { readLedger });
})();
