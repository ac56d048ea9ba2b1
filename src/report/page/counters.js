/**
 * What has been walked and done up to a moment.
 * @param {Replay} replay
 */
function countersOf(replay) {
  const walkers = replay.people.map((person) => {
    const walks = person.phases.filter((phase) => phase[7] > 0);
    let sum = 0;
    return { walks, sums: walks.map((walk) => (sum += walk[7])) };
  });
  const done = replay.orders
    .filter((order) => order.done !== null && order.counts)
    .sort((one, other) => Number(one.done) - Number(other.done));

  return {
    /** Nanometres: whole walks, and the part of those under way. @param {number} moment */
    walked: (moment) => {
      let all = 0;
      for (const { walks, sums } of walkers) {
        const ended = countUpTo(walks, moment, (walk) => walk[1]);
        if (ended > 0) all += sums[ended - 1];
        const next = walks[ended];
        if (next && next[0] < moment) all += next[7] * passed(replay, next, moment);
      }
      return all;
    },
    /**
     * Orders done, and their mean microseconds from start to finish; before there is one, how long the first has taken
     * so far.
     * @param {number} moment
     */
    finished: (moment) => {
      const count = countUpTo(done, moment, (order) => Number(order.done));
      if (count > 0) {
        const sum = done.slice(0, count).reduce((all, order) => all + Number(order.done) - order.released, 0);
        return { count, seconds: sum / MICROS / count };
      }
      const first = Math.min(...replay.orders.map((order) => order.released));
      return { count, seconds: moment > first ? (moment - first) / MICROS : 0 };
    },
    orders: replay.orders.length,
  };
}

/**
 * A length for people to read.
 * @param {number} metres
 */
function lengthWords(metres) {
  const { per_unit: perUnit, sign } = written.length;
  return `${Math.round(metres / perUnit)} ${sign}`;
}

/**
 * A time for people to read.
 * @param {number} seconds
 */
function timeWords(seconds) {
  const days = Math.floor(seconds / 86400);
  return `${days > 0 ? `${days} d ` : ""}${duration((seconds % 86400) * MICROS).slice(0, -3)} h`;
}
