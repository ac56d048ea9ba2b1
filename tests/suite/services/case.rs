//! A worked case, which knows what of it has been read.

use std::cell::RefCell;
use std::collections::BTreeSet;

use serde_json::Value;

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tolerance {
    Absolute,
    /// A share of what is above 1.
    Mixed,
}

pub struct Case {
    value: Value,
    tolerance: Tolerance,
    read: RefCell<BTreeSet<String>>,
    wrong: RefCell<Vec<String>>,
}

pub fn read(text: &str, tolerance: Tolerance) -> Vec<Case> {
    let all: Value = serde_json::from_str(text).expect("JSON");
    let all = all.as_array().expect("a list").clone();
    (all.into_iter())
        .map(|value| Case {
            value,
            tolerance,
            read: RefCell::default(),
            wrong: RefCell::default(),
        })
        .collect()
}

impl Case {
    pub fn id(&self) -> &str {
        self.value["id"].as_str().expect("an id")
    }

    /// The same case with another tolerance: what its own means is said in the data's README.
    pub fn by_share(&self) -> f64 {
        match &self.value["tolerance"] {
            Value::String(text) => {
                let share = text.trim_end_matches('%').trim().parse::<f64>();
                share.expect("a share") / 100.0
            }
            number => number.as_f64().expect("a tolerance"),
        }
    }

    fn part<'a>(&'a self, part: &str, key: &str) -> Option<&'a Value> {
        let found = self.value[part].get(key);
        if found.is_some() {
            self.read.borrow_mut().insert(format!("{part}.{key}"));
        }
        found
    }

    /// As it is written.
    pub fn tolerance(&self) -> String {
        self.value["tolerance"]
            .as_str()
            .unwrap_or_default()
            .to_owned()
    }

    pub fn input(&self, key: &str) -> &Value {
        let found = self.part("inputs", key);
        found.unwrap_or_else(|| panic!("{}: no input {key}", self.id()))
    }

    pub fn given(&self, key: &str) -> Option<&Value> {
        self.part("inputs", key)
    }

    pub fn number(&self, key: &str) -> f64 {
        number(self.input(key))
    }

    pub fn numbers(&self, key: &str) -> Vec<f64> {
        numbers(self.input(key))
    }

    pub fn expected(&self, key: &str) -> &Value {
        let found = self.part("expected", key);
        found.unwrap_or_else(|| panic!("{}: {key} is not expected", self.id()))
    }

    pub fn expects(&self, key: &str) -> bool {
        self.value["expected"].get(key).is_some()
    }

    /// That a figure is as expected, within the case's own tolerance.
    pub fn near(&self, key: &str, value: f64) {
        let expected = number(self.expected(key));
        self.close(key, value, expected);
    }

    /// Likewise of a figure that stands deeper.
    pub fn close(&self, what: &str, value: f64, expected: f64) {
        let tolerance = self.value["tolerance"].as_f64();
        let given = tolerance.unwrap_or_else(|| self.by_share());
        let allowed = match self.tolerance {
            Tolerance::Absolute => given,
            Tolerance::Mixed => given * expected.abs().max(1.0),
        };
        self.within(what, value, expected, allowed);
    }

    /// Within a share of what is expected.
    pub fn share(&self, what: &str, value: f64, expected: f64) {
        self.within(what, value, expected, self.by_share() * expected.abs());
    }

    fn within(&self, what: &str, value: f64, expected: f64, allowed: f64) {
        // A last digit of a number is nothing that a tolerance of 0 can mean.
        let allowed = allowed + 1e-12 * expected.abs();
        let is_near = (value - expected).abs() <= allowed;
        if !is_near {
            self.fault(format!("{what} is {value}, not {expected} ± {allowed}"));
        }
    }

    pub fn same<T: PartialEq + std::fmt::Debug>(&self, what: &str, found: T, expected: T) {
        if found != expected {
            self.fault(format!("{what} is {found:?}, not {expected:?}"));
        }
    }

    /// A figure that may be none.
    pub fn near_or_none(&self, key: &str, value: Option<f64>) {
        match (value, self.expected(key).as_f64()) {
            (Some(value), Some(expected)) => self.close(key, value, expected),
            (value, expected) => self.same(key, value, expected),
        }
    }

    fn fault(&self, what: String) {
        let told = format!("{}: {what}", self.id());
        self.wrong.borrow_mut().push(told);
    }

    /// What is not as expected, and what nobody has read.
    pub fn found_wrong(&self) -> Vec<String> {
        let mut found = self.wrong.borrow().clone();
        for part in ["inputs", "expected"] {
            let all = self.value[part].as_object().expect("an object");
            let unread = all
                .keys()
                .map(|key| format!("{part}.{key}"))
                .filter(|key| key != "inputs.what" && !self.read.borrow().contains(key));
            found.extend(unread.map(|key| format!("{}: {key} is not read", self.id())));
        }
        found
    }
}

pub fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no number"))
}

pub fn numbers(value: &Value) -> Vec<f64> {
    let all = value.as_array();
    let all = all.unwrap_or_else(|| panic!("{value} is no list"));
    all.iter().map(number).collect()
}
