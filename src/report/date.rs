//! A day of the calendar, given by the caller: the same document on the same day is the same file.

use crate::storage::clock;

/// A day of the Gregorian calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    /// Year.
    pub year: i64,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, from 1.
    pub day: u8,
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];
/// Days in the 400 years after which the calendar repeats.
const ERA_DAYS: i64 = 146_097;
/// Days from 1 March of the year 0 to 1 January 1970.
const EPOCH_DAYS: i64 = 719_468;

impl Date {
    /// The day it is in universal time.
    pub fn today() -> Self {
        Self::of_days(clock::today())
    }

    /// The day so many days after 1 January 1970. Years count from March, so that the leap day is a year's last.
    ///
    /// Source: Hinnant, "chrono-compatible low-level date algorithms", `civil_from_days`; recalled, and tested.
    pub fn of_days(days: i64) -> Self {
        let days = days.clamp(-3_000_000, 3_000_000) + EPOCH_DAYS;
        let (era, of_era) = (days.div_euclid(ERA_DAYS), days.rem_euclid(ERA_DAYS));
        let year = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
        let of_year = of_era - (365 * year + year / 4 - year / 100);
        let from_march = (5 * of_year + 2) / 153;
        let day = of_year - (153 * from_march + 2) / 5 + 1;
        let month = if from_march < 10 { from_march + 3 } else { from_march - 9 };
        Self { year: year + era * 400 + i64::from(month <= 2), month: month as u8, day: day as u8 }
    }
}

impl std::fmt::Display for Date {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let month = MONTHS.get(usize::from(self.month).wrapping_sub(1)).copied().unwrap_or("?");
        write!(f, "{} {month} {}", self.day, self.year)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reference_known_days() {
        assert_eq!(Date::of_days(0).to_string(), "1 January 1970");
        assert_eq!(Date::of_days(-1).to_string(), "31 December 1969");
        // 2000 was a leap year, 1900 was none
        assert_eq!(Date::of_days(11_016).to_string(), "29 February 2000");
        assert_eq!(Date::of_days(-25_509).to_string(), "28 February 1900");
        assert_eq!(Date::of_days(-25_508).to_string(), "1 March 1900");
        assert_eq!(Date::of_days(20_000).to_string(), "4 October 2024");
    }

    #[test]
    fn each_day_follows_the_one_before() {
        for days in -200_000..200_000 {
            let (today, next) = (Date::of_days(days), Date::of_days(days + 1));
            let within = next.day == today.day + 1 && next.month == today.month && next.year == today.year;
            let new_month = next.day == 1 && today.day >= 28 && next.month == today.month % 12 + 1;
            assert!(within || new_month, "{today} {next}");
        }
    }
}
