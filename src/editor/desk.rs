//! Where questions wait for the one who answers them, one after the other: the newest wins.

use std::collections::VecDeque;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

use serde_json::{Value, json};
use tokio::sync::oneshot;

use super::Ask;

/// No page asks for so much at once.
const MOST_WAITING: usize = 32;

/// A question, and where its answer goes.
pub struct Question {
    pub ask: Ask,
    reply: oneshot::Sender<Value>,
}

impl Question {
    /// Whoever asked may be gone; then nobody hears it.
    pub fn reply(self, answer: Value) {
        let _ = self.reply.send(answer);
    }
}

#[derive(Default)]
struct WaitingQuestions {
    jobs: VecDeque<Question>,
    is_closed: bool,
}

/// The questions that wait.
#[derive(Default)]
pub struct Desk {
    waiting: Mutex<WaitingQuestions>,
    came: Condvar,
    /// How far the answer is that takes long.
    progress: Mutex<String>,
}

impl Desk {
    /// Hands in a question; nothing where too many wait, or where nobody answers any more.
    pub fn hand_in(&self, ask: Ask) -> Option<oneshot::Receiver<Value>> {
        let (reply, answer) = oneshot::channel();
        let mut waiting = self.waiting();
        if waiting.is_closed || waiting.jobs.len() >= MOST_WAITING {
            return None;
        }
        waiting.jobs.push_back(Question { ask, reply });
        self.came.notify_one();
        Some(answer)
    }

    /// The next question, as soon as there is one; nothing once the desk is closed. What nobody wants any more is
    /// answered with that.
    pub fn next(&self) -> Option<Question> {
        let mut waiting = self.waiting();
        loop {
            if waiting.is_closed {
                return None;
            }
            let Some(job) = waiting.jobs.pop_front() else {
                let woken = self.came.wait(waiting);
                waiting = woken.unwrap_or_else(PoisonError::into_inner);
                continue;
            };
            if job.ask.is_passing() && waiting.jobs.iter().any(|later| !later.ask.is_look()) {
                job.reply(stale());
                continue;
            }
            return Some(job);
        }
    }

    /// Whether the question that is being answered is still the newest one.
    pub fn is_newest(&self) -> bool {
        let waiting = self.waiting();
        !waiting.is_closed && waiting.jobs.iter().all(|job| job.ask.is_look())
    }

    /// Says how far an answer is, in words.
    pub fn tell(&self, progress: String) {
        *self.progress.lock().unwrap_or_else(PoisonError::into_inner) = progress;
    }

    /// What was told last.
    pub fn progress(&self) -> Value {
        let told = self.progress.lock().unwrap_or_else(PoisonError::into_inner);
        json!({"progress": *told})
    }

    /// Nothing is taken or answered from now on.
    pub fn close(&self) {
        let mut waiting = self.waiting();
        waiting.is_closed = true;
        waiting.jobs.clear();
        self.came.notify_all();
    }

    fn waiting(&self) -> MutexGuard<'_, WaitingQuestions> {
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The answer to what nobody wants any more.
pub fn stale() -> Value {
    json!({"stale": true})
}
