//! Dates: on which day of the week a run begins, and on which day something is done.

use std::fmt;

/// A day of the Gregorian calendar, as ISO 8601 writes it: 2026-11-30.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: i64,
    month: i64,
    day: i64,
}

/// Days of the months before each, in a year that is no leap year.
const BEFORE_MONTH: [i64; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

impl Date {
    /// None unless it is a day of the years 1900 to 2999, written with four, two and two digits.
    pub fn read(text: &str) -> Option<Date> {
        let parts: Vec<&str> = text.split('-').collect();
        let [year, month, day] = parts[..] else {
            return None;
        };
        let number = |text: &str, digits: usize| {
            let is_number = text.len() == digits && text.bytes().all(|byte| byte.is_ascii_digit());
            is_number.then(|| text.parse::<i64>().ok()).flatten()
        };
        let date = Date {
            year: number(year, 4)?,
            month: number(month, 2)?,
            day: number(day, 2)?,
        };
        let is_date = (1900..3000).contains(&date.year)
            && (1..=12).contains(&date.month)
            && (1..=date.days_in_month()).contains(&date.day);
        is_date.then_some(date)
    }

    fn is_leap_year(year: i64) -> bool {
        year % 4 == 0 && (year % 100 != 0 || year % 400 == 0)
    }

    fn days_in_month(&self) -> i64 {
        match self.month {
            2 => 28 + i64::from(Date::is_leap_year(self.year)),
            4 | 6 | 9 | 11 => 30,
            _ => 31,
        }
    }

    /// From 0, Monday, to 6.
    pub fn weekday(&self) -> u32 {
        // The first day of year 1 would have been a Monday.
        ((self.number() - 1) % 7) as u32
    }

    pub fn year(&self) -> i64 {
        self.year
    }

    /// "10 Dec"
    pub fn day_and_month(&self) -> String {
        format!("{} {}", self.day, MONTHS[self.month as usize - 1])
    }

    /// The day so many days later, or earlier.
    pub fn after(&self, days: i64) -> Date {
        let number = self.number() + days;
        // No year has more than 366 days, so that this is not a later one.
        let mut year = 1 + (number - 1).div_euclid(366);
        while Date::days_before(year + 1) < number {
            year += 1;
        }
        let in_year = number - Date::days_before(year);
        let before = |month: i64| {
            BEFORE_MONTH[month as usize - 1] + i64::from(month > 2 && Date::is_leap_year(year))
        };
        let month = (1..=12)
            .rfind(|&month| before(month) < in_year)
            .unwrap_or(1);
        Date {
            year,
            month,
            day: in_year - before(month),
        }
    }

    /// How many days after another day it is; negative if it is before that.
    pub fn days_since(&self, other: Date) -> i64 {
        self.number() - other.number()
    }

    /// Days from the first one of year 1, which is 1.
    fn number(&self) -> i64 {
        let is_behind_leap_day = self.month > 2 && Date::is_leap_year(self.year);
        Date::days_before(self.year)
            + BEFORE_MONTH[self.month as usize - 1]
            + i64::from(is_behind_leap_day)
            + self.day
    }

    /// Days of all years before one.
    fn days_before(year: i64) -> i64 {
        let years = year - 1;
        365 * years + years / 4 - years / 100 + years / 400
    }
}

impl fmt::Display for Date {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(to, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn weekday(date: &str) -> u32 {
        Date::read(date).expect("it is a date").weekday()
    }

    /// ISO 8601:2004 gives 12 April 1985 as the fifth day of its week; 1 January 2000 was a Saturday, 29 February 2000 a
    /// Tuesday, and 20 July 1969, when people first stood on the moon, a Sunday.
    #[test]
    fn weekdays_are_those_of_known_days() {
        let known = [
            ("1985-04-12", 4),
            ("2000-01-01", 5),
            ("2000-02-29", 1),
            ("1969-07-20", 6),
            ("2026-11-30", 0),
        ];
        for (date, day) in known {
            assert_eq!(weekday(date), day, "{date}");
        }
    }

    #[test]
    fn each_day_follows_the_one_before() {
        let before = Date::read("1999-12-31").expect("it is a date");
        let mut expected = weekday("1999-12-31");
        let mut days = 0;
        for year in 2000..2005 {
            for month in 1..=12 {
                for day in 1..=31 {
                    let text = format!("{year}-{month:02}-{day:02}");
                    let Some(date) = Date::read(&text) else {
                        continue;
                    };
                    expected = (expected + 1) % 7;
                    days += 1;
                    assert_eq!(before.after(days), date);
                    assert_eq!((date.after(-days), date.days_since(before)), (before, days));
                    assert_eq!(date.weekday(), expected, "{date}");
                    assert_eq!(date.to_string(), text);
                }
            }
        }
        // Five years with the leap days of 2000 and 2004 have 1827 days, which is 261 weeks.
        assert_eq!(expected, weekday("1999-12-31"));
    }

    /// A year has 365 days, or 366 where a 29 February lies between.
    #[test]
    fn days_are_written_with_their_month() {
        let new_year = Date::read("2026-12-31").expect("it is a date").after(1);
        assert_eq!(
            (new_year.year(), new_year.day_and_month()),
            (2027, "1 Jan".to_owned())
        );
        assert_eq!(new_year.after(365).to_string(), "2028-01-01");
        assert_eq!(new_year.after(365 + 366).to_string(), "2029-01-01");
    }

    #[test]
    fn what_is_no_day_is_refused() {
        for text in [
            "2026-02-29",
            "1900-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-04-31",
            "2026-4-1",
            "30.11.2026",
            "11/30/2026",
            "1899-12-31",
            "+026-11-30",
            "",
        ] {
            assert_eq!(Date::read(text), None, "{text}");
        }
    }
}
