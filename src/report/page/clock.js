/** How long it takes on the page's own time when every shop is shut, in microseconds. */
const SHUT_TAKES = 6 * 60 * MICROS;

/** The page's time runs as the calendar does while some shop is open, and passes quickly over the rest. */
const pageTime = (() => {
  const { begins, ends, shut } = written.clock;
  /** Moments, and the page's time at them. @type {[moment: number, page: number][]} */
  const knots = [[begins, 0]];
  /** @param {number} moment @param {number} takes */
  const goOn = (moment, takes) => {
    const last = knots[knots.length - 1];
    if (moment > last[0]) knots.push([moment, last[1] + takes]);
  };
  for (const [from, to] of shut) {
    goOn(from, from - knots[knots.length - 1][0]);
    goOn(to, Math.min(to - from, SHUT_TAKES));
  }
  goOn(ends, ends - knots[knots.length - 1][0]);

  /**
   * @param {number} value
   * @param {0 | 1} given
   */
  const between = (value, given) => {
    const wanted = 1 - given;
    const after = countUpTo(knots, value, (knot) => knot[given]);
    if (after === 0) return knots[0][wanted];
    if (after === knots.length) return knots[knots.length - 1][wanted];
    const [one, other] = [knots[after - 1], knots[after]];
    const share = (value - one[given]) / (other[given] - one[given]);
    return one[wanted] + (other[wanted] - one[wanted]) * share;
  };

  return {
    whole: knots[knots.length - 1][1],
    /** @param {number} moment */
    of: (moment) => between(moment, 0),
    /** @param {number} page */
    moment: (page) => between(page, 1),
  };
})();

/**
 * How long the shop has been open at a moment, as the program counts it.
 * @param {Replay} replay
 * @param {number} moment
 */
function shopTime(replay, moment) {
  const { sessions } = replay;
  if (sessions.length === 0) return moment;
  const count = countUpTo(sessions, moment, (session) => session[0]);
  if (count === 0) return sessions[0][2];
  const [opens, closes, before] = sessions[count - 1];
  return before + Math.min(moment, closes) - opens;
}

/**
 * @param {Replay} replay
 * @param {number} moment
 */
function isShut(replay, moment) {
  const { sessions } = replay;
  if (sessions.length === 0) return false;
  const count = countUpTo(sessions, moment, (session) => session[0]);
  return count === 0 || moment >= sessions[count - 1][1];
}

/** @param {number} value */
const twoDigits = (value) => String(value).padStart(2, "0");

/**
 * Hours, minutes and seconds.
 * @param {number} micros
 */
function duration(micros) {
  const seconds = Math.floor(micros / MICROS);
  return `${Math.floor(seconds / 3600)}:${twoDigits(Math.floor(seconds / 60) % 60)}:${twoDigits(seconds % 60)}`;
}

/**
 * What the clock shows.
 * @param {number} moment
 */
function clockWords(moment) {
  const { begins, keeps_hours: keepsHours, days } = written.clock;
  if (!keepsHours) return duration(moment - begins);
  const day = days[countUpTo(days, moment, (entry) => entry[0]) - 1];
  const ofDay = day ? moment - day[0] : moment;
  const minutes = Math.floor(ofDay / MICROS / 60);
  const time = `${twoDigits(Math.floor(minutes / 60))}:${twoDigits(minutes % 60)}`;
  return day ? `${day[1]}, ${time}` : time;
}
