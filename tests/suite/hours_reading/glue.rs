//! Clamps, cures by temperature, what is tacky and dusty, and cures at the end of an evening.

use super::*;

#[test]
fn somebody_takes_the_clamps_off_and_until_then_the_bench_is_blocked() {
    let (outcome, hours) = shop(
        "
stations:
  bench: {does: {glue: {per lot: 10 min, gear: {clamps: 4}, cure: {time: 30 min, take off: 3 min}}}}
  saw: {does: {cut: {per lot: 25 min}}}
gear: {clamps: {count: 4}}
handling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}
projects: {door: {pieces: 1, route: [glue]}, leg: {pieces: 1, route: [cut]}}
orders: [{project: door}, {project: leg, count: 2}, {project: door, first: 61 min}, {project: leg, first: 62 min}]
rules: {switch station: when its queue is empty}
layouts: {x: {distances: {bench: {saw: 6 m}}}}
",
    );
    // Glued until 10:00, cured at 40:00. The legs are cut from 10:06 to 60:06, since the saw still offers one at 35:06. Then
    // six seconds back, and the clamps are off at 63:12. The saw is the last station still, so the third leg comes before
    // the second door: 63:18 to 88:18. The door from 88:24 to 98:24, cured at 128:24, and somebody is there.
    let end = 131 * MIN + 24 * S;
    assert_eq!(
        done(&outcome),
        [
            63 * MIN + 12 * S,
            35 * MIN + 6 * S,
            60 * MIN + 6 * S,
            end,
            88 * MIN + 18 * S
        ]
    );
    assert_eq!(outcome.walking_nm(), 4 * 6_000_000_000);
    assert_eq!(hours.blocked_us, [20 * MIN + 12 * S, 0]);
    assert_eq!(outcome.stations[0].curing_us, 60 * MIN);
    assert_eq!(outcome.stations[0].running_us, 26 * MIN);
    // A take-off is no lot, and nothing that waits in a queue.
    assert_eq!(outcome.stations[0].lots, 2);
    assert_eq!(outcome.crew[0].working_us, (20 + 75 + 6) * MIN);
}

#[test]
fn clamps_by_their_spacing_on_each_piece_or_once() {
    let both = |clamps: usize, per: &str| {
        let (outcome, _) = shop(&format!(
            "{AT_ONCE}
stations: {{bench: {{count: 2, does: {{glue: {{per lot: 10 min, gear: {{clamps: {{spacing: 8 in, per: {per}}}}}, cure: {{time: 1 h, ties up: [clamps]}}}}}}}}}}
gear: {{clamps: {{count: {clamps}}}}}
projects: {{panel: {{parts: {{board: {{pieces: 3, rough: [50 in, 4 in, 1 in], material at: bench, route: [glue]}}}}}}}}
orders: [{{project: panel, count: 2}}]
"
        ));
        done(&outcome)[1]
    };
    // 50 / 8 is more than six: seven spaces, eight clamps; on three pieces 24. The second panel waits for 10 min, or for
    // the clamps of the first.
    assert_eq!(both(16, "lot"), 80 * MIN);
    assert_eq!(both(15, "lot"), 140 * MIN);
    assert_eq!(both(48, "piece"), 80 * MIN);
    assert_eq!(both(47, "piece"), 140 * MIN);
}

fn cured(heat: &str, cure: &str, sessions: &str) -> i64 {
    let (outcome, _) = shop(&format!(
        "{AT_ONCE}{sessions}
heat: {heat}
stations: {{bench: {{does: {{glue: {{per lot: 1 h, cure: {cure}}}}}}}}}
projects: {{box: {{pieces: 1, route: [glue]}}}}
orders: [{{project: box}}]
"
    ));
    done(&outcome)[0]
}

#[test]
fn glue_sets_half_as_fast_ten_degrees_colder_and_not_at_all_below_its_least() {
    let heat = "{open: 21 C, shut: 11 C}";
    // Glued until 20:00 on Monday. An hour goes by at 21 °C; the 22 hours of the night do as much as eleven. Nine are left
    // at 21:00, which take eighteen.
    assert_eq!(cured(heat, "{time: 10 h}", EVENINGS), TUE + 15 * H);
    // Where it stands still at night it needs the hour of Monday, two of each day until Friday, and one on Saturday.
    assert_eq!(
        cured(heat, "{time: 10 h, least: 12 C}", EVENINGS),
        SAT + 20 * H
    );
    // At 16 °C, half of ten degrees less, 3600 s take 3600 x the square root of two = 5091.168 824 54 s.
    let heat = "{open: 16 C, shut: 16 C}";
    assert_eq!(cured(heat, "{time: 1 h}", ""), H + 5_091_168_825);
}

#[test]
fn nothing_dusty_begins_before_a_coat_is_dry() {
    let (outcome, _) = shop(&format!(
        "{AT_ONCE}
crew: {{ann: {{}}, bob: {{}}}}
stations:
  booth: {{count: 2, does: {{coat: {{per lot: 10 min, tacky: 1 h}}}}}}
  bench: {{count: 2, does: {{sand: {{per lot: 20 min, dusty: true}}}}}}
projects: {{door: {{pieces: 1, route: [coat]}}, top: {{pieces: 1, route: [sand]}}}}
orders: [{{project: door, count: 2}}, {{project: top}}, {{project: door, first: 80 min}}, {{project: top, first: 81 min}}]
"
    ));
    // Two coats at once, until 10 min, tacky until 70. The top is sanded from 70 to 90, so that the third door, there
    // since 80, is not coated before 90; the second top could be sanded beside the first, from 81 on.
    assert_eq!(
        done(&outcome),
        [10 * MIN, 10 * MIN, 90 * MIN, 111 * MIN, 101 * MIN]
    );
}

#[test]
fn glue_is_left_for_the_end_of_the_evening() {
    let evening = |rules: &str| {
        let (outcome, _) = shop(&format!(
            "{AT_ONCE}{EVENINGS}
stations:
  bench: {{does: {{glue: {{per lot: 20 min, cure: {{time: 1 h}}}}}}}}
  saw: {{does: {{cut: {{per lot: 30 min}}}}}}
projects: {{door: {{pieces: 1, route: [glue]}}, leg: {{pieces: 1, route: [cut]}}}}
orders: [{{project: door}}, {{project: leg, count: 4}}]
{rules}
"
        ));
        done(&outcome)
    };
    let at = |minutes: i64| MON + 19 * H + minutes * MIN;
    assert_eq!(
        evening(""),
        [at(80), at(50), at(80), at(110), TUE + 19 * H + 20 * MIN]
    );
    // After each of the first three legs there would be 90, 60, and 30 min left, enough for twenty. A fourth leg would
    // leave none, so the door is glued from 20:30 to 20:50, and cures until 21:50; of the fourth leg ten minutes are cut.
    assert_eq!(
        evening("rules: {cures: last in a session}"),
        [at(170), at(30), at(60), at(90), TUE + 19 * H + 20 * MIN]
    );
    // Where nobody ever goes, glue comes when there is nothing else.
    let (outcome, _) = shop(&format!(
        "{AT_ONCE}
stations: {{bench: {{does: {{glue: {{per lot: 20 min, cure: {{time: 1 h}}}}, sand: {{per lot: 30 min}}}}}}}}
projects: {{door: {{pieces: 1, route: [glue]}}, leg: {{pieces: 1, route: [sand]}}}}
orders: [{{project: door}}, {{project: leg}}]
rules: {{cures: last in a session}}
"
    ));
    assert_eq!(done(&outcome), [110 * MIN, 30 * MIN]);
}
