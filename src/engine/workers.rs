//! The people who work on a task together.

use super::state::PersonNow;
use crate::shop::PersonId;

/// Who works on a task, whoever chose it first; nobody if the station works alone.
#[derive(Debug, Clone)]
pub struct Workers<'a> {
    next: Option<PersonId>,
    /// Links each of them to the next one. Where nobody has helpers it is empty.
    people: &'a [PersonNow],
}

impl<'a> Workers<'a> {
    #[inline]
    pub(super) fn alone(person: Option<PersonId>) -> Workers<'a> {
        Workers {
            next: person,
            people: &[],
        }
    }

    #[inline]
    pub(super) fn team(first: Option<PersonId>, people: &'a [PersonNow]) -> Workers<'a> {
        Workers {
            next: first,
            people,
        }
    }
}

impl Iterator for Workers<'_> {
    type Item = PersonId;

    #[inline]
    fn next(&mut self) -> Option<PersonId> {
        let now = self.next?;
        let of = self.people.get(now.index());
        self.next = of.and_then(|person| person.next_helper);
        Some(now)
    }
}
