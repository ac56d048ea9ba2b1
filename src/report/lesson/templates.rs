//! The pages and pictures that come with the program, with places for what differs.

use minijinja::{Environment, Error, Value};

/// What ends so is escaped.
const ALL: [(&str, &str); 9] = [
    ("frame.html", include_str!("frame.html")),
    ("plan.html", include_str!("plan.html")),
    ("first.html", include_str!("first.html")),
    ("walking.html", include_str!("walking.html")),
    ("line.html", include_str!("line.html")),
    ("two_ways.html", include_str!("two_ways.html")),
    ("cut_out.html", include_str!("cut_out.html")),
    ("before_after.html", include_str!("before_after.html")),
    ("key.html", include_str!("key.html")),
];

pub struct Templates(Environment<'static>);

impl Templates {
    pub fn new() -> Result<Templates, Error> {
        let mut pages = Environment::new();
        for (name, text) in ALL {
            pages.add_template(name, text)?;
        }
        Ok(Templates(pages))
    }

    /// HTML that stands in other HTML as it is.
    pub fn part(&self, name: &str, of: Value) -> Result<Value, Error> {
        self.whole(name, of).map(Value::from_safe_string)
    }

    pub fn picture(&self, of: Value) -> Result<Value, Error> {
        self.part("plan.html", of)
    }

    pub fn whole(&self, name: &str, of: Value) -> Result<String, Error> {
        self.0.get_template(name)?.render(of)
    }
}
