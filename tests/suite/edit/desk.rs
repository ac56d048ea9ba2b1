//! Questions that wait for one who answers them in turn.

use serde_json::json;
use shopstride::editor::Desk;

#[test]
fn too_many_questions_at_once_are_refused_and_nothing_hangs() {
    let desk = Desk::default();
    let ask = || serde_json::from_value(json!({"ask": "state"})).expect("a question");
    let taken: Vec<_> = (0..100).map_while(|_| desk.hand_in(ask())).collect();
    assert_eq!(taken.len(), 32);
    desk.close();
    assert!(desk.hand_in(ask()).is_none());
    assert!(desk.next().is_none());
    for mut answer in taken {
        assert!(
            answer.try_recv().is_err(),
            "who waited is told that nobody answers"
        );
    }
}

#[test]
fn the_newest_question_wins() {
    let desk = Desk::default();
    let hand_in = |question| desk.hand_in(serde_json::from_value(question).expect("a question"));
    let tried = |x: f64| json!({"ask": "try", "station": "saw", "at": [x, 0.0], "turn": 0.0});
    let waiting: Vec<_> = [
        tried(1.0),
        tried(2.0),
        json!({"ask": "figures"}),
        tried(3.0),
    ]
    .into_iter()
    .map(|question| hand_in(question).expect("taken"))
    .collect();
    let job = desk.next().expect("a question");
    assert_eq!(
        job.ask,
        serde_json::from_value(tried(3.0)).expect("a question")
    );
    assert!(desk.is_newest());
    let looked = hand_in(json!({"ask": "look", "revision": 0}));
    assert!(
        desk.is_newest(),
        "who looks whether the file has changed disturbs nobody"
    );
    let later = hand_in(json!({"ask": "undo"}));
    assert!(!desk.is_newest());
    job.reply(json!("told"));
    let answers: Vec<_> = (waiting.into_iter())
        .map(|mut answer| answer.try_recv().expect("answered"))
        .collect();
    let stale = json!({"stale": true});
    assert_eq!(
        answers,
        [stale.clone(), stale.clone(), stale, json!("told")]
    );
    drop((looked, later));
}

#[test]
fn what_is_told_of_a_long_answer_is_there_until_something_else_is() {
    let desk = Desk::default();
    assert_eq!(desk.progress(), json!({"progress": ""}));
    desk.tell("3 rounds".to_owned());
    assert_eq!(desk.progress(), json!({"progress": "3 rounds"}));
}
