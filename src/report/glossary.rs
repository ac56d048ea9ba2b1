//! Words of the answers, as work study and queueing theory use them.

/// Each word with what it means here, and in whose sense.
pub const GLOSSARY: &[(&str, &str)] = &[
    (
        "lot",
        "pieces that move and are worked on together: all of a part that an order asks for, unless `batch` divides them",
    ),
    (
        "order",
        "one thing to be built, or several where a line of `orders` has a `count`: each is released, worked on and done",
    ),
    (
        "run",
        "one simulation of a layout with one set of chance; the same chance meets every layout, so that only the layouts differ; also called a replication",
    ),
    (
        "lead time",
        "from the release of an order to its last piece being done; the answers say \"from start to finish\"",
    ),
    (
        "percent",
        "of a difference in the JSON: the mean difference in percent of the mean of the base; `percent_low` and `percent_high` are the ends of the interval of that ratio, by Fieller's method, and not those of the difference divided by the mean",
    ),
    (
        "makespan",
        "from the beginning of a run until the last order is done; a run of a shop that keeps hours begins when it first opens, or with an order that comes before",
    ),
    (
        "hands-on",
        "time of people, not of orders: walking, handling and work at stations, but not waiting",
    ),
    (
        "utilisation",
        "the share of the time for which something is in use: a station with setup, running, what cures on it and being serviced, a person walking, handling and working; the answers say \"busy\", and the active-period method calls both active",
    ),
    ("busy", "in use: the same as utilisation"),
    (
        "walking",
        "metres walked by all people: empty-handed, carrying, and pushing a cart; of walks that the horizon cuts nothing",
    ),
    (
        "reserved",
        "a station that waits for a person, parts or gear that are on the way to it; with running, setup, curing, serviced, blocked, left standing and idle that is all of its time",
    ),
    (
        "running",
        "work on a lot, tear-down and taking off what a cure has tied up among it: of a station while it holds the lot, of a person while they are at it",
    ),
    (
        "serviced",
        "a station while what wears or fills up there is seen to, fetching included; whoever does it works (`servicing_s` in the JSON) and fetches, and the others wait",
    ),
    (
        "blocked",
        "a station with a lot in it on which nobody works, for want of room to set it down or until something is taken off",
    ),
    (
        "left standing",
        "a station with a lot in it while the shop is open, but its people are away or it must not be run",
    ),
    (
        "kept apart",
        "a lot that could be worked on but for what goes on or dries beside it: `not together`, `tacky` and `dusty`; and whoever has nothing else to do meanwhile",
    ),
    (
        "takes",
        "in `check`: the longest board, and at saws the largest sheet, that passes a machine where it stands: as far as the floor before and behind the cutter is free, in a strip as wide as the piece, over whatever is low enough; a sheet lies beside the blade with its whole width on one side; behind a planer there is also said how long a board may be for somebody to walk around to take it",
    ),
    (
        "bottleneck",
        "what the flow of work is limited by; the busiest often is it but need not be, so `shopstride bottleneck` relieves one thing at a time and plays again",
    ),
    (
        "queue",
        "lots that are ready for a station and wait for it, for people or for gear; a mean queue is taken over time",
    ),
    (
        "wait",
        "of a lot: from being ready for its next work until that is begun, the mean over the lots that came in the measured time, of which what still waits at its end counts as long as it has waited; each wait is put down to what was short at each moment: a station, a person who can do it, clamps or jigs, or the other parts of what is assembled; where one person does everything a station in use is that person at work, so what waits for it is said to wait for you (in the JSON it stays `waiting_station`)",
    ),
    (
        "share of queues",
        "of all the time that lots spend in queues, the part in the queue of this station",
    ),
    (
        "active period",
        "an unbroken spell of being in use: at each moment the bottleneck is whatever is in the longest one (Roser, Nakano and Tanaka, 2002); sole while that is one alone, shifting while the spell of the next has begun before the last one's has ended; active at a stretch is the mean length of such spells; of a station of several units, and of people who are alike, a spell is one in which all of them are in use, for as long as one is free nothing waits for them",
    ),
    (
        "flow",
        "how many orders are in the shop on average, how often one is done and how long each stays: the first is the product of the other two, by Little's law",
    ),
    (
        "Little's law",
        "on average there are as many orders in the shop as come in a unit of time, times the time that each stays, L = λ × W (Little, 1961); of every run of which the measured time begins and ends with an empty shop it holds to the last digit",
    ),
    (
        "work in process",
        "orders that are released and not done, the L of Little's law: on average as many as come in a unit of time, times the time that each stays (L = λ × W)",
    ),
    (
        "throughput",
        "orders done in a unit of time, the λ of Little's law while all that come are done",
    ),
    (
        "interval",
        "where a mean of very many runs would lie, with 95 % confidence unless `confidence` says otherwise: it covers chance, and not errors in the times and sizes of the file; Student's t, or, where the number of runs is left to the program, t after Hall's transformation (1992), which allows for skewed figures, so that its ends lie unevenly around the mean: `intervals` in the JSON says which",
    ),
    (
        "measured time",
        "a run without its warm-up: shares of time, throughput, work in process and queues are of it (`measured_s` in the JSON); it begins with the makespan where there is no warm-up",
    ),
    (
        "difference",
        "the other layout minus the base, run by run, since the same piece of work draws the same random numbers in both; in percent the ratio of two paired means with Fieller's interval (1954), for the base's mean is uncertain too",
    ),
    (
        "growing",
        "orders come faster than they are built, so that their number grows by as much from the middle third of the measured time to the last as before, or in each third while something is in use all the time and visibly more orders come than are done (`overloaded`, `work_in_process_by_third` and `saturated` in the JSON); a run that is short beside what one order takes says nothing of it",
    ),
    (
        "at capacity",
        "orders come about as fast as they can be built: their number grows from the middle third of the measured time to the last, though ever more slowly, while something is in use 98 % of the time or more (`at_capacity` in the JSON)",
    ),
    (
        "trip",
        "one walk from one place to another; there and back are two",
    ),
    (
        "string diagram",
        "the floor with every way as a line, as wide as it is walked often",
    ),
    (
        "from-to chart",
        "a table of how often people go from each place to each other one",
    ),
];
