"""The flow shop of tests/data/bench/flow.yaml in SimPy: 1 person, 6 stations, 1,000 jobs of 8 operations each.

A job waits where its last operation left it; the person walks to it, carries it to the next station, works, is free.
With one person and first come, every station is free whenever the person is, so one first-in-first-out queue for the
person is the whole decision procedure. Canonical events: 17 per job (arrival, and 8 x (arrived at the station, done)).

    python3 -m venv VENV && VENV/bin/pip install simpy==4.1.2
    VENV/bin/python simpy_flow.py --reps 10            # varying times, timing
    VENV/bin/python simpy_flow.py --fixed              # nothing varies: the figures in README.md
"""
import argparse, json, math, random, time
try:
    import simpy
except ImportError:
    simpy = None

STATIONS = [("rip", 2.0, 1.0, (1.0, 2.0, 5.0)), ("crosscut", 6.0, 1.0, (0.5, 1.0, 3.0)), ("plane", 10.0, 2.0, (2.0, 3.0, 7.0)),
            ("joint", 9.0, 6.0, (1.5, 2.5, 5.0)), ("assemble", 5.0, 7.0, (4.0, 7.0, 15.0)), ("sand", 1.0, 5.0, (2.0, 5.0, 9.0))]
ROUTES = [(1, 0, 3, 2, 0, 4, 5, 4), (0, 1, 2, 3, 1, 5, 4, 5), (1, 3, 2, 0, 1, 3, 4, 5), (3, 2, 1, 0, 2, 4, 5, 4)]
GAP, GATE, SPEED = 40.0, 6, 72.0  # minutes between jobs on average; the gate's index; metres per minute
XY = [(x, y) for _, x, y, _ in STATIONS] + [(0.0, 0.0)]
D = [[math.hypot(a[0] - b[0], a[1] - b[1]) for b in XY] for a in XY]


def one(rep, fixed):
    rng = random.Random(1000 + rep)
    env = simpy.Environment()
    person = simpy.Resource(env, 1)
    w = dict(pos=GATE, empty=0.0, loaded=0.0)
    flows = []

    def job(route):
        t0, place = env.now, GATE
        for m in route:
            r = person.request()
            yield r
            if place != m:
                d1, d2 = D[w["pos"]][place], D[place][m]
                w["empty"] += d1
                w["loaded"] += d2
            else:
                d1, d2 = D[w["pos"]][m], 0.0
                w["empty"] += d1
            w["pos"] = place = m
            yield env.timeout((d1 + d2) / SPEED)
            lo, mode, hi = STATIONS[m][3]
            yield env.timeout(mode if fixed else rng.triangular(lo, hi, mode))
            yield person.release(r)
        flows.append(env.now - t0)

    def source(k):
        if fixed:
            yield env.timeout(k // 2 * 2 * GAP + k % 2)
        for i in range(250):
            if not fixed:
                yield env.timeout(rng.expovariate(1 / (4 * GAP)))
            elif i:
                yield env.timeout(4 * GAP)
            env.process(job(ROUTES[k]))
    for k in range(4):
        env.process(source(k))
    env.run()
    return sum(flows) / len(flows), w["empty"], w["loaded"], env.now


if __name__ == "__main__":
    ap = argparse.ArgumentParser()
    ap.add_argument("--reps", type=int, default=10)
    ap.add_argument("--fixed", action="store_true")
    a = ap.parse_args()
    reps = 1 if a.fixed else a.reps
    t = time.process_time()
    out = [one(r, a.fixed) for r in range(reps)]
    t = time.process_time() - t
    mean = lambda i: sum(o[i] for o in out) / reps
    print(json.dumps(dict(reps=reps, lead_time_s=60 * mean(0), empty_m=mean(1), carrying_m=mean(2), makespan_s=60 * mean(3),
                          cpu_s=t, jobs_per_s=1000 * reps / t, events_per_s=17000 * reps / t)))
